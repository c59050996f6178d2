#pragma once
// Paints Drawings (postprocess/chart/drawing.hpp) over pictures with VTK's two-dimensional pen.
// Needs a display (offscreen_display.hpp).

#include <memory>

#include "postprocess/chart/drawing.hpp"
#include "postprocess/picture/raster.hpp"

namespace holdground {

class Canvas {
 public:
  /// SystemError when the typeface is not installed.
  Canvas(int width, int height);
  ~Canvas();

  /// The drawing over a picture of the canvas's size, enlarged by `scale`.
  Raster paint(const Raster& below, const Drawing& drawing, double scale = 1.0);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

/// The drawing alone, `scale` pixels for each of its own.
Raster painted(const Drawing& drawing, int scale);

}  // namespace holdground
