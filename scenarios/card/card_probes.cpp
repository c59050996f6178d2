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

Water dryOf(const TileRecipe& recipe) { return {0.0, recipe.water.dragCoefficient}; }

/// Cuts copies of a small tile; the slope is written to `result`.
CardTask slopeTask(const TileRecipe& recipe, const Tile& small, const Water& water,
                   const CardSettings& card, CutSlope& result) {
  SlopeSettings settings;
  settings.bed.material = recipe.material;
  settings.bed.water = water;
  settings.bed.timeStep = stableTimeStep(small.grains, recipe.material, recipe.rayleighFraction);
  settings.longestTime = card.longestSlope;
  // It is as many times longer to compute as it has more grains.
  return {kSlopeCopies * kSlopeTime, [&small, &result, settings](const ProbeProgress& progress) {
            result = cutSlope(layTiles(small, kSlopeCopies, 1), settings, progress);
          }};
}

}  // namespace

double restingPressureRatio(const TileRecipe& recipe, const Tile& tile) {
  KernelSettings settings = recipe.kernelSettings();
  settings.timeStep = stableTimeStep(tile.grains, recipe.soils(), recipe.rayleighFraction);
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

bool isCohesive(const GrainMaterial& grains) {
  return grains.pullOffStress > 0.0 || grains.plasticity * grains.adhesiveShare > 0.0;
}

Estimate cardAngle(std::span<const ShearStrength> cells, bool cohesive) {
  if (!cohesive) return frictionAngle(cells);
  const Estimate sine = strengthLine(cells).sine;
  const double cosine = std::sqrt(std::max(1e-2, 1.0 - sine.mean * sine.mean));
  return {std::asin(std::clamp(sine.mean, -1.0, 1.0)), sine.standardError / cosine};
}

CardProbes runCardProbes(const TileRecipe& recipe, const Tile& tile, const Tile& small,
                         const CardSettings& settings) {
  CardProbes result = probeSmallTile(recipe, small, settings, Slopes::kAll, "card");
  result.k0 = restingPressureRatio(recipe, tile);
  return result;
}

std::vector<CutSlope> cutDrySlopes(const TileRecipe& recipe, std::span<const Tile> small,
                                   const CardSettings& settings, const std::string& what) {
  std::vector<CutSlope> slopes(small.size());
  std::vector<CardTask> tasks;
  for (std::size_t k = 0; k < small.size(); ++k)
    tasks.push_back(slopeTask(recipe, small[k], dryOf(recipe), settings, slopes[k]));
  runCardTasks(tasks, what);
  return slopes;
}

CardProbes probeSmallTile(const TileRecipe& recipe, const Tile& small, const CardSettings& card,
                          Slopes slopes, const std::string& what) {
  CardProbes result;
  result.shear.resize(card.stresses.size());
  const double step = stableTimeStep(small.grains, recipe.material, recipe.rayleighFraction);
  std::vector<CardTask> tasks;
  for (std::size_t k = 0; k < card.stresses.size(); ++k) {
    ShearCellSettings cell;
    cell.material = recipe.material;
    cell.timeStep = step;
    cell.normalStress = card.stresses[k];
    cell.inertialNumber = card.inertialNumberOf(recipe.shape);
    cell.strain = card.strain;
    cell.readings = card.readings;
    const double rate = cell.inertialNumber *
                        std::sqrt(cell.normalStress / recipe.material.density) /
                        meanVolumeDiameter(small.grains, recipe.material.density);
    tasks.push_back({card.strain / rate, [&, k, cell](const ProbeProgress& progress) {
                       result.shear[k] = shearStrength(shearTile(small.grains, cell, progress));
                     }});
  }
  if (slopes == Slopes::kAll) {
    if (recipe.water.density > 0.0)
      tasks.push_back(slopeTask(recipe, small, recipe.water, card, result.underWater));
    tasks.push_back(slopeTask(recipe, small, dryOf(recipe), card, result.dry));
  }
  runCardTasks(tasks, what);
  return result;
}

}  // namespace holdground
