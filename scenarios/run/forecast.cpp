#include "scenarios/run/forecast.hpp"

#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <limits>
#include <optional>

#include "scenarios/cli/progress.hpp"
#include "solver/core/errors.hpp"
#include "solver/kernel_fast/packed_state.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {

namespace {

// Measured on pulls of the shipped anchor (see benchmarks/): moving ground, steel, ledger, samples
// and frames cost this much more than the same steps of a bed at rest.
constexpr double kMovingGround = 1.25;
// Bytes a grain: kernel with its lists, exchange form, frame being written.
constexpr double kMemoryPerGrain = 700.0;
constexpr double kFixedMemory = 40e6;
// Bytes a grain and frame after compression, and of a checkpoint.
constexpr double kDiskPerGrainFrame = 3.0;
constexpr double kCheckpointPerGrain = 300.0;
constexpr double kSecondsOfTiming = 0.4;
// What a thread does of a bed that falls or is pulled through, when it shares its memory with
// another [grain-steps/s]: benchmarks/results measured 10 and 2 million at rest.
constexpr double kNominalRate = 8e6;
constexpr double kNominalReferenceRate = 2e6;
// Shipped beds came to rest after 2 to 10 s of simulated time.
constexpr double kNominalSettling = 5.0;

/// Both kernels name a grain by 32 bits; the fast one names its place in bytes.
double mostGrains(KernelKind kernel) {
  return kernel == KernelKind::kFast ? fast::kLargestCount
                                     : std::numeric_limits<std::uint32_t>::max();
}

/// Why there are too many; nothing when there are not.
std::optional<std::string> tooMany(double perTile, double copies, KernelKind kernel) {
  const double most = mostGrains(kernel);
  if (perTile * copies <= most) return std::nullopt;
  return fmt::format(
      "found about {:.3g} grains ({:.3g} in a tile, {:g} tile{}), allowed is at most {:.3g}; "
      "coarser grains, a smaller tile or fewer copies need less",
      perTile * copies, perTile, copies, copies == 1.0 ? "" : "s", most);
}

/// All that does not have to be measured.
Forecast needs(const OutputSpec& output, double grains, double framedGrains, double timeStep,
               double simulatedTime) {
  Forecast forecast;
  forecast.grains = static_cast<std::size_t>(grains);
  forecast.steps = static_cast<std::uint64_t>(std::ceil(simulatedTime / timeStep));
  forecast.memory = kFixedMemory + kMemoryPerGrain * grains;
  forecast.disk = framedGrains * kDiskPerGrainFrame * simulatedTime / output.frameInterval +
                  grains * kCheckpointPerGrain + 500.0 * simulatedTime / output.seriesInterval;
  return forecast;
}

}  // namespace

Forecast reckonPull(const TrialSpec& trial, const TileRecipe& recipe, double copies,
                    double framedShare, double simulatedTime) {
  const double perTile = expectedGrainCount(recipe);
  if (const auto fault = tooMany(perTile, copies, trial.kernel)) {
    const bool oneIs = tooMany(perTile, 1.0, trial.kernel).has_value();
    if (oneIs) throw InputError(fmt::format("{}: tile: {}", trial.bed.source.path, *fault));
    const bool across = trial.reading.has("tiles.across") && trial.copiesY > trial.copiesX;
    throw trial.reading.fault(across ? "tiles.across" : "tiles.along", *fault);
  }
  // The step follows from the smallest grain.
  const double step = stableTimeStep(smallestGrain(recipe), recipe.soils(), trial.rayleighFraction);
  const double grains = perTile * copies;
  Forecast forecast = needs(trial.output, grains, framedShare * grains, step, simulatedTime);
  const double rate = trial.kernel == KernelKind::kFast ? kNominalRate : kNominalReferenceRate;
  forecast.settlingWork = perTile * kNominalSettling / step / kNominalRate;
  forecast.runWork = kMovingGround * grains * static_cast<double>(forecast.steps) / rate;
  return forecast;
}

Forecast reckonTile(const TileRecipe& recipe, const std::string& bedFile) {
  const double grains = expectedGrainCount(recipe);
  if (const auto fault = tooMany(grains, 1.0, KernelKind::kFast))
    throw InputError(fmt::format("{}: tile: {}", bedFile, *fault));
  Forecast forecast;
  forecast.grains = static_cast<std::size_t>(grains);
  forecast.memory = kFixedMemory + kMemoryPerGrain * grains;
  return forecast;
}

Forecast forecastPull(const TrialSpec& trial, const GrainSet& bed, std::size_t framedGrains,
                      const KernelSettings& settings, double simulatedTime) {
  const auto kernel = makeKernel(trial.kernel, bed, settings);
  const auto step = [&kernel] {
    kernel->updateNeighbours();
    kernel->advance();
  };
  for (int k = 0; k < 5; ++k) step();
  using Clock = std::chrono::steady_clock;
  const auto start = Clock::now();
  double seconds = 0.0;
  std::uint64_t steps = 0;
  while (seconds < kSecondsOfTiming) {
    step();
    ++steps;
    seconds = std::chrono::duration<double>(Clock::now() - start).count();
  }
  const auto grains = static_cast<double>(bed.size());
  Forecast forecast = needs(trial.output, grains, static_cast<double>(framedGrains),
                            settings.timeStep, simulatedTime);
  forecast.rate = grains * static_cast<double>(steps) / seconds;
  forecast.wallTime = kMovingGround * grains * static_cast<double>(forecast.steps) / forecast.rate;
  return forecast;
}

std::string forecastText(const Forecast& f) {
  const std::string time = f.rate > 0.0 ? "about " + durationText(f.wallTime) + ", " : "";
  return fmt::format("{} grains, {} steps: {}{:.0f} MB of memory, {:.0f} MB of disk", f.grains,
                     f.steps, time, f.memory / 1e6, f.disk / 1e6);
}

std::string guessText(const Forecast& f, int threads) {
  return fmt::format(
      "about {}; roughly {} to settle the bed and {} for the rest (guessed from {:g} million "
      "grain-steps/s a thread; measured once the bed is there)",
      forecastText(f), durationText(f.settlingWork / threads), durationText(f.runWork / threads),
      kNominalRate / 1e6);
}

}  // namespace holdground
