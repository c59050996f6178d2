#pragma once
// Drawings as scalable vector files (W3C SVG 1.1), written by hand so that words stay words.
// Checked by: tests/unit/chart/svg_test.cpp

#include <filesystem>
#include <string>

#include "postprocess/chart/drawing.hpp"

namespace holdground {

/// The drawing as an SVG document (UTF-8).
std::string toSvg(const Drawing& drawing);

/// Writes the document. SystemError when the file cannot be written.
void writeSvg(const Drawing& drawing, const std::filesystem::path& file);

}  // namespace holdground
