#pragma once
// Which grains the frames of a record keep: all, or those near the anchor's path.
// Frame: world. The path begins at the setting point, x = y = 0, and is as long as the drag may be.
// Checked by: tests/unit/scenarios/frame_region_test.cpp

#include <cstdint>
#include <vector>

#include "scenarios/schema/trial_spec.hpp"
#include "solver/state/grain_set.hpp"

namespace holdground {

/// A box with vertical sides about a horizontal path.
struct FrameRegion {
  double length = 0.0;     ///< of the path [m]
  double direction = 0.0;  ///< of the path, from x towards port [rad]
  double margin = 0.0;     ///< beyond the path at either end and either side [m]
};

/// Ids, rising, of the grains of which an image of the periodic bed has its centre in the box.
std::vector<std::uint32_t> grainsInRegion(const GrainSet& bed, const FrameRegion& region);

/// Ids of the grains the frames of a trial keep. Empty: all of them.
/// @param anchorLength  [m]
std::vector<std::uint32_t> framedGrains(const TrialSpec& trial, double anchorLength,
                                        const GrainSet& bed);

/// Share of the bed's plane that frames keep, about; for a forecast, before there are grains.
double framedShare(const TrialSpec& trial, double anchorLength, double lengthX, double lengthY);

}  // namespace holdground
