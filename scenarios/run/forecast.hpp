#pragma once
// What a pull will cost, measured on the very bed before it starts.
// Checked by: tests/unit/scenarios/forecast_test.cpp

#include <cstdint>
#include <string>

#include "scenarios/schema/trial_spec.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

struct Forecast {
  std::uint64_t steps = 0;
  std::size_t grains = 0;
  double rate = 0.0;      ///< measured [grain-steps/s]
  double wallTime = 0.0;  ///< [s]
  double memory = 0.0;    ///< [bytes]
  double disk = 0.0;      ///< [bytes]
};

/// Times a few steps of the bed alone on a kernel that is thrown away.
/// @param framedGrains  how many grains a frame keeps. @param simulatedTime  [s]
Forecast forecastPull(const TrialSpec& trial, const GrainSet& bed, std::size_t framedGrains,
                      const KernelSettings& settings, double simulatedTime);

/// "85,000 grains, 70,000 steps: about 3 min, 90 MB of memory, 40 MB of disk"
std::string forecastText(const Forecast& forecast);

}  // namespace holdground
