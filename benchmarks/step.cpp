// Times the step of a pull, fast kernel and reference in turn within one run, everything included:
// pair list, contact forces, anchor, energy ledger, water, motion.
//
// usage: bench_step [GRAINS ...]      (default: 20000 100000 500000; from the repository's root)
// Prints CSV: million grain-steps a second, the median of several turns of each kernel.
// The bed is copies of a settled tile of the shipped loose sand; the shipped anchor is pulled over
// it at 0.4 m/s, so that pair lists are rebuilt as often as in a pull. A turn lasts a whole number
// of list lives. Stderr tells rebuilds and the share of each stage.

#include <fmt/format.h>
#include <omp.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <vector>

#include "scenarios/run/build_anchor.hpp"
#include "scenarios/run/build_simulation.hpp"
#include "scenarios/run/tile_source.hpp"
#include "scenarios/schema/trial_file.hpp"
#include "solver/simulation/simulation.hpp"

namespace {

using namespace holdground;

constexpr int kTurns = 5;
constexpr double kTurnSeconds = 0.7;       // at least
constexpr std::uint64_t kTurnSteps = 400;  // at most, should the bed come to rest
constexpr double kWarmUp = 0.05;           // simulated, of the pull [s]

/// The shipped sand in a tile of about 20,000 grains, and a pull that is soon under way.
TrialSpec benchmarkTrial() {
  TrialSpec trial = readTrialFile("scenarios/trials/quickstart.toml");
  trial.bed.tileLength = 1.6;
  trial.bed.tileWidth = 1.13;
  trial.bed.depth = 0.8;
  trial.pull.settleTime = 0.02;
  trial.pull.speed.startTime = 0.02;
  return trial;
}

/// A bed of about so many grains: copies of the tile, as square as their number allows.
GrainSet bedOf(const Tile& tile, std::size_t grains) {
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
Turn timeTurn(Simulation& simulation) {
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

double median(std::vector<double> values) {
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

void timeBed(const TrialSpec& trial, const TileRecipe& recipe, const GrainSet& bed) {
  const int mostThreads = std::min(2, omp_get_num_procs());
  omp_set_num_threads(mostThreads);
  Contender fast("fast", KernelKind::kFast, trial, recipe, bed);
  Contender reference("reference", KernelKind::kReference, trial, recipe, bed);
  for (int threads = 1; threads <= mostThreads; ++threads) {
    omp_set_num_threads(threads);
    fast.startCounting();
    reference.startCounting();
    for (int turn = 0; turn < kTurns; ++turn) {
      fast.takeTurn();
      reference.takeTurn();
    }
    fast.tell(threads);
    reference.tell(threads);
    fmt::print("{},{},{:.2f},{:.2f},{:.2f}\n", bed.size(), threads, fast.rate(), reference.rate(),
               fast.rate() / reference.rate());
    std::fflush(stdout);
  }
}

int run(const std::vector<std::size_t>& sizes) {
  const TrialSpec trial = benchmarkTrial();
  const TileRecipe recipe = tileRecipe(trial.bed, trial.seed, trial.rayleighFraction);
  const Tile tile = obtainTile(recipe);
  fmt::print("grains,threads,fast_mgs,reference_mgs,ratio\n");
  for (const std::size_t grains : sizes) timeBed(trial, recipe, bedOf(tile, grains));
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  std::vector<std::size_t> sizes;
  for (int k = 1; k < argc; ++k) sizes.push_back(std::strtoull(argv[k], nullptr, 10));
  if (sizes.empty()) sizes = {20000, 100000, 500000};
  if (std::find(sizes.begin(), sizes.end(), 0u) != sizes.end()) {
    fmt::print(stderr, "usage: bench_step [GRAINS ...]\n");
    return 2;
  }
  try {
    return run(sizes);
  } catch (const std::exception& error) {
    fmt::print(stderr, "bench_step: {}\n", error.what());
    return 2;
  }
}
