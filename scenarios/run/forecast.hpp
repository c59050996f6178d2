#pragma once
// What a pull will cost: reckoned from the recipe before its bed is there, then measured on it.
// Checked by: tests/unit/scenarios/forecast_test.cpp

#include <cstdint>
#include <string>

#include "scenarios/schema/trial_spec.hpp"
#include "solver/bed/tile.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

struct Forecast {
  std::uint64_t steps = 0;
  std::size_t grains = 0;
  double rate = 0.0;      ///< measured [grain-steps/s]; 0: not yet
  double wallTime = 0.0;  ///< [s]; 0: not yet known
  // Guessed from a nominal rate, while nothing is there to be timed: work of one thread.
  double settlingWork = 0.0;  ///< of the tile [s]
  double runWork = 0.0;       ///< of the pull [s]
  double memory = 0.0;        ///< [bytes]
  double disk = 0.0;          ///< [bytes]
};

/// All but the time, from the recipe alone and without its grains. InputError when no kernel could
/// hold so many. @param framedShare  of the grains that a frame keeps. @param simulatedTime  [s]
Forecast reckonPull(const TrialSpec& trial, const TileRecipe& recipe, double copies,
                    double framedShare, double simulatedTime);

/// The same for settling a tile. It needs no disk to speak of. @param bedFile  to blame
Forecast reckonTile(const TileRecipe& recipe, const std::string& bedFile);

/// Times a few steps of the bed alone on a kernel that is thrown away.
/// @param framedGrains  how many grains a frame keeps. @param simulatedTime  [s]
Forecast forecastPull(const TrialSpec& trial, const GrainSet& bed, std::size_t framedGrains,
                      const KernelSettings& settings, double simulatedTime);

/// "85000 grains, 70,000 steps: about 3 min, 90 MB of memory, 40 MB of disk"
/// Without a time while that is not known.
std::string forecastText(const Forecast& forecast);

/// "about 85000 grains, ...; roughly 2 min to settle the bed and 3 min for the rest (...)"
std::string guessText(const Forecast& reckoned, int threads);

}  // namespace holdground
