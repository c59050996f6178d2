#include "scenarios/card/card_probes.hpp"

#include <cmath>

#include "scenarios/card/card_tasks.hpp"
#include "solver/core/hash.hpp"
#include "solver/state/slice_state.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {
namespace {

constexpr int kSlopeCopies = 4;
constexpr double kSlopeTime = 2.5;  // about, for the progress line [s]

}  // namespace

double restingPressureRatio(const TileRecipe& recipe, const Tile& tile) {
  KernelSettings settings;
  settings.material = recipe.material;
  settings.water = recipe.water;
  settings.timeStep = stableTimeStep(tile.grains, recipe.material, recipe.rayleighFraction);
  const auto kernel = makeKernel(KernelKind::kFast, tile.grains, settings);
  kernel->updateNeighbours();
  const Mat3 stress =
      sliceState(*kernel, {-2.0 / 3.0 * tile.depth, -1.0 / 3.0 * tile.depth}).stress();
  return 0.5 * (stress(0, 0) + stress(1, 1)) / stress(2, 2);
}

std::uint64_t CardSettings::hash() const {
  std::uint64_t h = hashText("holdground card settings");
  for (const double stress : stresses) h = hashBits(h, stress);
  for (const double x : {inertialNumber, strain, longestSlope}) h = hashBits(h, x);
  return hashBits(h, readings);
}

CardProbes runCardProbes(const TileRecipe& recipe, const Tile& tile, const Tile& small,
                         const CardSettings& card) {
  CardProbes result;
  result.k0 = restingPressureRatio(recipe, tile);
  result.shear.resize(card.stresses.size());
  const double step = stableTimeStep(small.grains, recipe.material, recipe.rayleighFraction);
  std::vector<CardTask> tasks;
  for (std::size_t k = 0; k < card.stresses.size(); ++k) {
    ShearCellSettings cell;
    cell.material = recipe.material;
    cell.timeStep = step;
    cell.normalStress = card.stresses[k];
    cell.inertialNumber = card.inertialNumber;
    cell.strain = card.strain;
    cell.readings = card.readings;
    const double rate = card.inertialNumber *
                        std::sqrt(cell.normalStress / recipe.material.density) /
                        meanVolumeDiameter(small.grains);
    tasks.push_back({card.strain / rate, [&, k, cell](const ProbeProgress& progress) {
                       result.shear[k] = shearStrength(shearTile(small.grains, cell, progress));
                     }});
  }
  const GrainSet bed = layTiles(small, kSlopeCopies, 1);
  const auto addSlope = [&](const Water& water, CutSlope& slope) {
    SlopeSettings settings;
    settings.bed.material = recipe.material;
    settings.bed.water = water;
    settings.bed.timeStep = step;
    settings.longestTime = card.longestSlope;
    // It is as many times longer to compute as it has more grains.
    tasks.push_back({kSlopeCopies * kSlopeTime, [&, settings](const ProbeProgress& progress) {
                       slope = cutSlope(bed, settings, progress);
                     }});
  };
  if (recipe.water.density > 0.0) addSlope(recipe.water, result.underWater);
  addSlope(Water{0.0, recipe.water.dragCoefficient}, result.dry);
  runCardTasks(tasks);
  return result;
}

}  // namespace holdground
