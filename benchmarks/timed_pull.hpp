#pragma once
// What the benchmarks of a pull share: a bed of copies, and kernels that take turns on it.
//
// A turn lasts a whole number of lives of the pair list, everything included: pair list, contact
// forces, anchor, energy ledger, water, motion.

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <vector>

#include "scenarios/run/build_anchor.hpp"
#include "scenarios/run/build_simulation.hpp"
#include "scenarios/schema/trial_file.hpp"
#include "solver/simulation/simulation.hpp"

namespace holdground {

inline constexpr int kTurns = 5;
inline constexpr double kTurnSeconds = 0.7;       // at least
inline constexpr std::uint64_t kTurnSteps = 400;  // at most, should the bed come to rest
inline constexpr double kWarmUp = 0.05;           // simulated, of the pull [s]

/// A bed of about so many grains: copies of the tile, as square as their number allows.
inline GrainSet bedOf(const Tile& tile, std::size_t grains) {
  const double share = static_cast<double>(grains) / static_cast<double>(tile.grains.size());
  const int copies = std::max(1, static_cast<int>(std::lround(share)));
  int across = static_cast<int>(std::sqrt(copies));
  while (copies % across != 0) --across;
  return layTiles(tile, copies / across, across);
}

struct Turn {
  double rate;      ///< million grain-steps a second
  double rebuilds;  ///< per 1000 steps
};

/// Whole lives of the pair list: from just after a rebuild to just after a later one.
inline Turn timeTurn(Simulation& simulation) {
  using Clock = std::chrono::steady_clock;
  const std::uint64_t firstStep = simulation.step(), firstList = simulation.listRebuilds();
  const auto start = Clock::now();
  double seconds = 0.0;
  std::uint64_t steps = 0, lists = firstList;
  for (bool done = false; !done;) {
    simulation.advanceOneStep();
    seconds = std::chrono::duration<double>(Clock::now() - start).count();
    steps = simulation.step() - firstStep;
    const bool rebuilt = simulation.listRebuilds() != lists;
    lists = simulation.listRebuilds();
    done = (rebuilt && seconds > kTurnSeconds) || steps == kTurnSteps;
  }
  const auto count = static_cast<double>(steps);
  return {1e-6 * count * static_cast<double>(simulation.kernel().size()) / seconds,
          1e3 * static_cast<double>(lists - firstList) / count};
}

inline double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

/// One kernel's pull and what was measured of it.
class Contender {
 public:
  Contender(const char* name, KernelKind kind, const TrialSpec& trial, const TileRecipe& recipe,
            const GrainSet& bed)
      : name_(name),
        simulation_(bed, buildAnchor(trial.anchor), settingsOf(kind, trial, recipe, bed)) {
    while (simulation_.time() < kWarmUp) simulation_.advanceOneStep();
  }

  void startCounting() {
    rates_.clear();
    rebuilds_.clear();
    timeTurn(simulation_);  // ends just after a rebuild, with warm caches
    before_ = simulation_.timers();
  }
  void takeTurn() {
    const Turn turn = timeTurn(simulation_);
    rates_.push_back(turn.rate);
    rebuilds_.push_back(turn.rebuilds);
  }
  double rate() const { return median(rates_); }
  /// Pairs that act on each other, for a grain.
  double pairsPerGrain() const {
    std::size_t pairs = 0;
    simulation_.kernel().visitPairs([&](const auto&) { ++pairs; });
    return static_cast<double>(pairs) / static_cast<double>(simulation_.kernel().size());
  }

  void tell(int threads) const {
    const auto [slowest, fastest] = std::minmax_element(rates_.begin(), rates_.end());
    fmt::print(stderr,
               "{} grains, {} threads, {}: {:.2f} to {:.2f} mgs, {:.0f} rebuilds in 1000 steps;",
               simulation_.kernel().size(), threads, name_, *slowest, *fastest, median(rebuilds_));
    double total = 0.0;
    for (std::size_t k = 0; k < kStageNames.size(); ++k) total += secondsOf(k);
    for (std::size_t k = 0; k < kStageNames.size(); ++k)
      fmt::print(stderr, " {} {:.0f} %", kStageNames[k], 100.0 * secondsOf(k) / total);
    fmt::print(stderr, "\n");
  }

 private:
  static SimulationSettings settingsOf(KernelKind kind, const TrialSpec& trial,
                                       const TileRecipe& recipe, const GrainSet& bed) {
    SimulationSettings settings = simulationSettings(trial, recipe, bed);
    settings.kernel = kind;
    return settings;
  }
  double secondsOf(std::size_t k) const {
    const auto stage = static_cast<Stage>(k);
    return simulation_.timers().seconds(stage) - before_.seconds(stage);
  }

  const char* name_;
  Simulation simulation_;
  StageTimers before_;
  std::vector<double> rates_, rebuilds_;
};

}  // namespace holdground
