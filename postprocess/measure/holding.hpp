#pragma once
// Holding, defined once and used everywhere.
//
// Prescribed speed: over the samples of the last metre of drift, the mean and the 90th percentile
// of the horizontal load at the shackle, and the peak over the whole pull. The last metre begins
// when the drift last rose past its final value less one metre. Samples lie evenly in time, so
// these are what a load cell read at a fixed rate shows. A pull of less than a metre is averaged
// whole. Prescribed load: the greatest load never gone below for 30 s of trial time in which the
// drift changed by less than 0.1 anchor length; both numbers come from the trial. Each sample
// stands for one interval, so that a hold of exactly 30 s counts with the load it held.
// Checked by: tests/unit/measure/holding_test.cpp

#include <cstddef>
#include <optional>
#include <vector>

#include "solver/record/format_series.hpp"

namespace holdground {

inline constexpr double kAveragedDrift = 1.0;  ///< [m]

struct SpeedHolding {
  double mean = 0.0;            ///< [N]
  double percentile90 = 0.0;    ///< [N]
  double peak = 0.0;            ///< over the whole pull [N]
  double peakDrift = 0.0;       ///< drift at the peak [m]
  double averagedDrift = 0.0;   ///< one metre, less when the pull was shorter, not below 0 [m]
  std::size_t firstSample = 0;  ///< of those averaged
  double earlierMean = 0.0;     ///< over the first half of the ground averaged [N]
  double laterMean = 0.0;       ///< over its second half [N]
};

/// Nothing without samples of the pull.
std::optional<SpeedHolding> holdingAtSpeed(const std::vector<SeriesRow>& series);

/// The greatest load [N] held for `duration` [s] of trial time with a change of drift below
/// `drift` [m]; nothing when no load was. The duration is resolved to an interval of the samples.
std::optional<double> heldLoad(const std::vector<SeriesRow>& series, double duration, double drift);

}  // namespace holdground
