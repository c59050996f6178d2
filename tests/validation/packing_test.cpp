// How spheres pack, and how hard grains that stick hold together, against published values. About a
// minute on one core. What it printed stands in tests/validation/published_checks.md.
//   Frictionless, isotropic: solid 0.639, 6 contacts; friction 0.3 from a gas: 0.593, 4.5 (Agnolin
//   & Roux 2007, Phys. Rev. E 76:061302). Very high friction: about 0.55, 4 (Silbert 2010, Soft
//   Matter 6:2918; 0.555 for slow settling in a liquid, Onoda & Liniger 1990, Phys. Rev. Lett.
//   64:2727). Contacts count grains that bear force. All but the ranges of Silbert from memory.
//   Tensile strength phi Z F/(pi d^2), F the pull-off force (Rumpf 1970, from memory).
#include <gtest/gtest.h>

#include <cmath>
#include <iostream>
#include <map>

#include "solver/bed/tile.hpp"
#include "solver/material/modulus_rule.hpp"
#include "solver/probe/glued_plate.hpp"
#include "solver/state/slice_state.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {
namespace {

TileRecipe recipeOf(double friction) {
  TileRecipe recipe;
  recipe.smallestDiameter = 0.040;
  recipe.largestDiameter = 0.048;
  recipe.length = recipe.width = 0.5;
  recipe.depth = 0.7;
  recipe.frozenThickness = 0.048;
  recipe.material.friction = friction;
  recipe.material.rollingFriction = 0.0;
  recipe.settlingFriction = friction;
  recipe.material.youngModulus = softenedYoungModulus(30e3, recipe.material.poissonRatio);
  return recipe;
}

std::unique_ptr<GrainKernel> weightless(const TileRecipe& recipe, const GrainSet& grains) {
  KernelSettings settings;
  settings.material = recipe.material;
  settings.water.density = 0.0;
  settings.gravity = 0.0;
  settings.timeStep = stableTimeStep(grains, recipe.material);
  return makeKernel(KernelKind::kFast, grains, settings);
}

struct Packing {
  double solid, contacts, pressureRatio;
};

/// Middle half of the depth; contacts of the grains that have at least one.
Packing packed(double friction) {
  const TileRecipe recipe = recipeOf(friction);
  const Tile tile = settleTile(recipe);
  const auto kernel = weightless(recipe, tile.grains);
  kernel->updateNeighbours();
  const Slice middle{-0.75 * tile.depth, -0.25 * tile.depth};
  const SliceState state = sliceState(*kernel, middle);
  std::map<std::uint32_t, int> ends;
  kernel->visitPairs([&](const auto& pair) {
    ++ends[pair.slotA];
    ++ends[pair.slotB];
  });
  double sum = 0.0;
  int bearing = 0;
  for (const auto& [slot, count] : ends) {
    const double z = kernel->sample(slot).position.z();
    if (z < middle.lower || z > middle.upper || count < 2) continue;
    sum += count;
    ++bearing;
  }
  const Mat3 stress = state.stress();
  const Packing result{state.solidFraction, sum / bearing,
                       0.5 * (stress(0, 0) + stress(1, 1)) / stress(2, 2)};
  std::cout << "friction " << friction << ": solid " << result.solid << ", contacts "
            << result.contacts << ", K0 " << result.pressureRatio << std::endl;
  return result;
}

TEST(Packing, FallsFromTheDensestToTheLoosestWithFriction) {
  const Packing slippery = packed(0.02), some = packed(0.3), rough = packed(10.0);
  // A fiftieth of the frictionless value's way to 0.3 is friction's, 0.002; overlap by weight adds
  // 3 delta/d, 0.003; the rest, 0.01, is the scatter of a tile of 11 x 11 x 15 grains.
  EXPECT_NEAR(slippery.solid, 0.639, 0.015);
  EXPECT_NEAR(slippery.contacts, 6.0, 0.5);
  // Gravity does not press alike from all sides: 0.02.
  EXPECT_NEAR(some.solid, 0.593, 0.02);
  // The loosest is that of infinitely slow settling; dropped, even slowly, is denser: 0.03.
  EXPECT_NEAR(rough.solid, 0.555, 0.03);
  EXPECT_GT(some.contacts, rough.contacts);
}

TEST(Packing, GrainsThatStickTearBelowRumpfsStrength) {
  TileRecipe recipe = recipeOf(0.0);
  recipe.settlingFriction = 0.1;
  recipe.material.pullOffStress = 10e3;
  const Tile tile = settleTile(recipe);
  const auto kernel = weightless(recipe, tile.grains);
  const double step = stableTimeStep(tile.grains, recipe.material);
  BodyDrive drive;
  drive.axis[2] = AxisDrive::velocity(0.02);  // 3 % of the height a second
  GluedPlate lid(tile.grains, -1.25 * recipe.largestDiameter, recipe.material, drive);
  const double area = recipe.length * recipe.width;
  double strongest = 0.0, solid = 0.0, contacts = 0.0;
  for (int k = 0; k * step < 3.0; ++k) {
    const bool moved = kernel->updateNeighbours();
    if (k == 0) {
      const SliceState s = sliceState(*kernel, {-0.75 * tile.depth, -0.25 * tile.depth});
      solid = s.solidFraction;
      contacts = s.coordination;
    }
    lid.hold(*kernel, moved || k == 0, step);
    kernel->advance();
    lid.move(step);
    strongest = std::max(strongest, -lid.reaction().z() / area);
  }
  const double expected = solid * contacts / kPi * recipe.material.pullOffStress;
  std::cout << "tensile strength " << strongest << " Pa, Rumpf " << expected << " Pa (solid "
            << solid << ", contacts " << contacts << ")" << std::endl;
  // The formula takes all contacts of a plane to let go at once, which overstates what holds: a
  // factor of two is usual. Missed here (0.32 of it; published_checks.md says so): that it is an
  // upper bound is asked for, and as a guard against change, no check, a fifth of it.
  EXPECT_GT(strongest, 0.2 * expected);
  EXPECT_LT(strongest, expected);
}

}  // namespace
}  // namespace holdground
