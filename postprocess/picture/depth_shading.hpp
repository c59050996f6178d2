#pragma once
// Shade from a picture's own depths: hollows and the foot of a step get darker, which makes single
// grains and the anchor's outline readable.
// Source: Mittring 2007, "Finding next gen: CryEngine 2" (SIGGRAPH course), the idea of occlusion
// from the depth buffer; Luft, Colditz, Deussen 2006, "Image enhancement by unsharp masking the
// depth buffer".
// Departs: parallel view, so depths are metres and the neighbourhood has one size everywhere.
// Checked by: tests/unit/picture/depth_shading_test.cpp

#include <vector>

#include "postprocess/picture/raster.hpp"

namespace holdground {

struct DepthShading {
  double reach = 0.06;           ///< how far an occluder is felt [m]
  double strength = 0.75;        ///< 0 none .. 1 black in a closed hollow
  double metresPerPixel = 1e-3;  ///< of the depths [m]
  int samples = 12;              ///< neighbours looked at by each pixel
};

/// Light that is left at each pixel, 0 .. 1.
/// @param depth  away from the camera, one a pixel, rows from the top [m]
std::vector<float> openness(const std::vector<float>& depth, int width, int height,
                            const DepthShading& shading);

/// Multiplies the colours by the light left. Sizes must agree.
void shade(Raster& raster, const std::vector<float>& light);

}  // namespace holdground
