// A tile lies as ground that was laid gently: its sideways stress is that of a first loading.

#include <gtest/gtest.h>

#include "solver/bed/tile.hpp"
#include "solver/state/slice_state.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {
namespace {

TileRecipe deepTile() {
  TileRecipe recipe;
  recipe.smallestDiameter = 0.04;
  recipe.largestDiameter = 0.048;
  recipe.length = recipe.width = 0.5;
  recipe.depth = 0.6;
  recipe.frozenThickness = 0.048;
  recipe.material.youngModulus = 1.6e7;
  return recipe;
}

/// Mean horizontal over vertical stress of the middle third.
double pressureRatio(const TileRecipe& recipe) {
  const Tile tile = settleTile(recipe);
  KernelSettings settings;
  settings.material = recipe.material;
  settings.water = recipe.water;
  settings.timeStep = stableTimeStep(tile.grains, recipe.material);
  const auto kernel = makeKernel(KernelKind::kFast, tile.grains, settings);
  kernel->updateNeighbours();
  const Mat3 stress =
      sliceState(*kernel, {-2.0 / 3.0 * tile.depth, -1.0 / 3.0 * tile.depth}).stress();
  return 0.5 * (stress(0, 0) + stress(1, 1)) / stress(2, 2);
}

TileRecipe mud(double friction, double pullOffStress, double depth) {
  TileRecipe recipe = deepTile();
  recipe.depth = depth;
  recipe.material.density = 1930.0;
  recipe.material.youngModulus = 9.4e7;
  recipe.material.friction = friction;
  recipe.material.rollingFriction = 0.0;
  recipe.material.restitutionCoefficient = 0.7;
  recipe.material.pullOffStress = pullOffStress;
  recipe.settlingFriction = 0.1;
  return recipe;
}

}  // namespace

TEST(PressureAtRest, OfALooseTileIsThatOfAFirstLoading) {
  // 1 - sin phi (Jaky 1944) is 0.56 for the 26 degrees that a shear cell measures in such grains.
  // Sand that was pressed before has more, (1 - sin phi) OCR^(sin phi) (Mayne & Kulhawy 1982): 0.69
  // when it once bore no more than 1.6 times what it bears. Grains dropped at full weight gave 0.7
  // to 0.8. Both formulas from memory; they scatter by a tenth about measurements.
  EXPECT_NEAR(pressureRatio(deepTile()), 0.56, 0.11);
}

TEST(PressureAtRest, OfMudWithoutFrictionIsNoTension) {
  // Ground cannot hang between walls that are not there. Three packings had 0.40 to 0.56; -0.47 to
  // -0.69 when the friction they settled with was left on after they stuck.
  EXPECT_GT(pressureRatio(mud(0.0, 20e3, 1.37)), 0.0);
}

TEST(PressureAtRest, OfMudWithFrictionIsLessOfATensionForBeingDrawnTogether) {
  // Not cured: a bed that rubs cannot follow. Three packings had -0.65 to -0.79; -1.43 to -1.59
  // without being drawn together. The bar is half-way.
  EXPECT_GT(pressureRatio(mud(0.15, 12e3, 0.7)), -1.1);
}

}  // namespace holdground
