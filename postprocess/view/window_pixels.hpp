#pragma once
// What a VTK window shows, and pictures as PNG files.

#include <filesystem>

#include "postprocess/picture/raster.hpp"

class vtkRenderWindow;

namespace holdground {

/// Colours of the last rendering.
Raster pixelsOf(vtkRenderWindow* window);

/// Depth of the last rendering, 0 at the near .. 1 at the far clipping plane, rows from the top.
std::vector<float> depthsOf(vtkRenderWindow* window);

/// SystemError when the file cannot be written.
void writePng(const Raster& raster, const std::filesystem::path& file);

}  // namespace holdground
