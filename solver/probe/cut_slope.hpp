#pragma once
// The slope a bed keeps after it was cut: a block is left standing, the ground beside it taken away
// to half the depth at once, and what slides down comes to rest under gravity.
//
// It is a slope after a collapse, so lower than that of a poured heap and than the friction angle
// of slow shearing; plane, because the bed is endless across. Each side is a straight line fitted
// to the mean surface across, between a quarter and three quarters of the relief that is left.
// Frame: world; the block is about x = 0. Promises: the same bits for any number of threads.
// Checked by: tests/unit/probe/slope_fit_test.cpp, tests/verification/probe/cut_slope_test.cpp

#include "solver/probe/shear_cell.hpp"
#include "solver/state/height_map.hpp"

namespace holdground {

struct SlopeSettings {
  KernelSettings bed;        ///< material, water, gravity, time step
  double blockShare = 0.42;  ///< of the length along x that is left standing
  double longestTime = 6.0;  ///< [s]
  KernelKind kernel = KernelKind::kFast;
};

struct CutSlope {
  double left = 0.0, right = 0.0;  ///< angles of the two sides [rad]
  double relief = 0.0;             ///< height left between block and trench [m]
  double cut = 0.0;                ///< height of the cut [m]
  double time = 0.0;               ///< until rest [s]
  bool isAtRest = false;           ///< false when the longest time was not enough

  double mean() const { return 0.5 * (left + right); }
  double standardError() const { return 0.5 * (left > right ? left - right : right - left); }
  /// A wall that stays upright has no angle of repose: steeper than 60 degrees.
  bool stands() const { return mean() > kPi / 3.0; }
};

/// @param bed  periodic, its surface at z = 0, held grains at the bottom.
CutSlope cutSlope(const GrainSet& bed, const SlopeSettings& settings,
                  const ProbeProgress& progress = {});

/// Angles of both sides of a bed that is high about x = 0 and low at its ends.
CutSlope fitSlopes(const HeightMap& surface);

}  // namespace holdground
