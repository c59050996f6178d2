// Times the step of a settled bed, fast kernel and reference in turn within one run, everything
// included: pair list, contact forces, energy ledger, water, motion.
//
// usage: bench_step [GRAINS ...]      (default: 20000 100000 500000)
// Prints CSV: million grain-steps a second, the median of seven turns of each kernel.
// The bed is copies of a settled tile, stirred as an anchor would: it creeps while it is timed, so
// that pair lists are rebuilt.

#include <fmt/format.h>
#include <omp.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "solver/bed/tile.hpp"
#include "solver/material/modulus_rule.hpp"
#include "solver/state/grain_kernel.hpp"
#include "solver/state/stable_time_step.hpp"

namespace {

using namespace holdground;

constexpr int kTurns = 7;
constexpr double kTurnSeconds = 0.7;

/// Loose sand of 40 mm grains, about a thousand to a tile 0.5 m square.
TileRecipe recipeOf() {
  TileRecipe recipe;
  recipe.smallestDiameter = 0.036;
  recipe.largestDiameter = 0.044;
  recipe.material.youngModulus = softenedYoungModulus(30e3, recipe.material.poissonRatio);
  recipe.length = recipe.width = 0.6;
  recipe.depth = 0.8;
  return recipe;
}

Tile settledTile() {
  const TileRecipe recipe = recipeOf();
  const TileCache cache(std::filesystem::temp_directory_path() / "holdground-benchmark-beds");
  if (std::optional<Tile> known = cache.find(recipe)) return *std::move(known);
  std::fprintf(stderr, "settling a tile of %zu grains once\n", grainCount(recipe));
  Tile tile = settleTile(recipe);
  cache.keep(recipe, tile);
  return tile;
}

/// A bed of about so many grains: copies of the tile, as square as they go.
GrainSet bedOf(const Tile& tile, std::size_t grains) {
  const double copies = static_cast<double>(grains) / static_cast<double>(tile.grains.size());
  const int across = std::max(1, static_cast<int>(std::lround(std::sqrt(copies))));
  const int along = std::max(1, static_cast<int>(std::lround(copies / across)));
  GrainSet bed = layTiles(tile, along, across);
  // Sheared slowly: 0.1 m/s over the depth, the pace of ground near a fluke.
  const double depth = tile.depth;
  for (std::size_t id = 0; id < bed.size(); ++id)
    if (!bed.frozen[id]) bed.velocity[id].x() += 0.1 * (1.0 + bed.position[id].z() / depth);
  return bed;
}

/// Million grain-steps a second over one turn.
double timeTurn(GrainKernel& kernel) {
  using Clock = std::chrono::steady_clock;
  const auto start = Clock::now();
  double seconds = 0.0;
  int count = 0;
  for (; seconds < kTurnSeconds || count < 3; ++count) {
    kernel.updateNeighbours();
    kernel.computePairForces();
    kernel.integrate();
    seconds = std::chrono::duration<double>(Clock::now() - start).count();
  }
  return 1e-6 * count * static_cast<double>(kernel.size()) / seconds;
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

void timeBed(const GrainSet& bed, int threads) {
  omp_set_num_threads(threads);
  KernelSettings settings;
  settings.material = recipeOf().material;
  settings.timeStep = stableTimeStep(bed, settings.material);
  const auto fast = makeKernel(KernelKind::kFast, bed, settings);
  const auto reference = makeKernel(KernelKind::kReference, bed, settings);
  timeTurn(*fast);
  timeTurn(*reference);
  std::vector<double> fastRates, referenceRates;
  for (int turn = 0; turn < kTurns; ++turn) {
    fastRates.push_back(timeTurn(*fast));
    referenceRates.push_back(timeTurn(*reference));
  }
  const double fastRate = median(fastRates), referenceRate = median(referenceRates);
  fmt::print("{},{},{:.2f},{:.2f},{:.2f}\n", bed.size(), threads, fastRate, referenceRate,
             fastRate / referenceRate);
  std::fflush(stdout);
}

}  // namespace

int main(int argc, char** argv) {
  std::vector<std::size_t> sizes;
  for (int k = 1; k < argc; ++k) sizes.push_back(std::strtoull(argv[k], nullptr, 10));
  if (sizes.empty()) sizes = {20000, 100000, 500000};
  if (std::find(sizes.begin(), sizes.end(), 0u) != sizes.end()) {
    std::fprintf(stderr, "usage: bench_step [GRAINS ...]\n");
    return 2;
  }
  const Tile tile = settledTile();
  fmt::print("grains,threads,fast_mgs,reference_mgs,ratio\n");
  for (const std::size_t grains : sizes) {
    const GrainSet bed = bedOf(tile, grains);
    for (int threads = 1; threads <= std::min(2, omp_get_num_procs()); ++threads)
      timeBed(bed, threads);
  }
  return 0;
}
