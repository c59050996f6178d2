#pragma once
// The grains a camera can see: most of a bed is hidden behind its cut face, and drawing it anyway
// costs ten times the picture.
// Every line of sight of a grid, several to a grain, is followed to the first few grains it meets
// inside the window; grains that are met by none are left out.
// Checked by: tests/unit/picture/visible_grains_test.cpp

#include <vector>

#include "postprocess/picture/bed_window.hpp"
#include "postprocess/picture/side_view.hpp"

namespace holdground {

/// Those of `grains` that are seen from the camera, or lie just behind, in their order.
/// @param spacing  of the lines of sight; a tenth of a typical diameter leaves no chink open
///                 [m]
std::vector<SeenGrain> visibleGrains(const std::vector<SeenGrain>& grains, const BedWindow& window,
                                     const SideView& view, double spacing);

}  // namespace holdground
