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
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <vector>

#include "benchmarks/timed_pull.hpp"
#include "scenarios/run/tile_source.hpp"

namespace {

using namespace holdground;

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
