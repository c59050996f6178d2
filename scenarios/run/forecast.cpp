#include "scenarios/run/forecast.hpp"

#include <fmt/format.h>

#include <chrono>
#include <cmath>

#include "scenarios/cli/progress.hpp"

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

}  // namespace

Forecast forecastPull(const TrialSpec& trial, const GrainSet& bed, std::size_t framedGrains,
                      const KernelSettings& settings, double simulatedTime) {
  const auto kernel = makeKernel(trial.kernel, bed, settings);
  const auto step = [&kernel] {
    kernel->updateNeighbours();
    kernel->computePairForces();
    kernel->integrate();
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
  Forecast forecast;
  const auto grains = static_cast<double>(bed.size());
  forecast.grains = bed.size();
  forecast.steps = static_cast<std::uint64_t>(std::ceil(simulatedTime / settings.timeStep));
  forecast.rate = grains * static_cast<double>(steps) / seconds;
  forecast.wallTime = kMovingGround * grains * static_cast<double>(forecast.steps) / forecast.rate;
  forecast.memory = kFixedMemory + kMemoryPerGrain * grains;
  const double frames = simulatedTime / trial.output.frameInterval;
  forecast.disk = static_cast<double>(framedGrains) * kDiskPerGrainFrame * frames +
                  grains * kCheckpointPerGrain +
                  500.0 * simulatedTime / trial.output.seriesInterval;
  return forecast;
}

std::string forecastText(const Forecast& f) {
  return fmt::format("{} grains, {} steps: about {}, {:.0f} MB of memory, {:.0f} MB of disk",
                     f.grains, f.steps, durationText(f.wallTime), f.memory / 1e6, f.disk / 1e6);
}

}  // namespace holdground
