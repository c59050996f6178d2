// The shear cell against balance of forces, and its lid against the bed it is glued to.
#include "solver/probe/shear_cell.hpp"

#include <gtest/gtest.h>

#include "solver/bed/tile.hpp"
#include "solver/core/errors.hpp"
#include "solver/probe/glued_plate.hpp"
#include "solver/probe/strength.hpp"
#include "solver/state/stable_time_step.hpp"
#include "tests/support/beds.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

ShearCellSettings quickCell(const GrainSet& tile, KernelKind kind) {
  ShearCellSettings settings;
  settings.material = bedSettings().material;
  settings.timeStep = stableTimeStep(tile, settings.material);
  settings.normalStress = 3000.0;
  settings.inertialNumber = 0.05;
  settings.strain = 0.6;
  settings.readings = 240;
  settings.kernel = kind;
  return settings;
}

}  // namespace

class ShearCellTest : public KernelTest {};

TEST_P(ShearCellTest, StressInTheMiddleIsThatOnTheLid) {
  const GrainSet tile = settledBed();
  const ShearRecord record = shearTile(tile, quickCell(tile, GetParam()));
  // Pressed and at rest: the lid carries its stress, and every plane under it, to the speed at
  // which it counts as at rest.
  EXPECT_NEAR(record.pressed.lidForce.z(), 3000.0, 0.01 * 3000.0);
  EXPECT_NEAR(record.pressed.slice.stress()(2, 2), 3000.0, 0.02 * 3000.0);
  // Sheared: Newton over the upper part, whose momentum comes and goes: fluctuations of 10 % at
  // any time, with about 30 independent readings in the second half: 2 %.
  const ShearStrength strength = shearStrength(record);
  EXPECT_NEAR(strength.lidNormalShare, 1.0, 0.03);
  EXPECT_NEAR(strength.lidShearShare, 1.0, 0.03);
  // It shears, it rubs as spheres of friction 0.5 do, roughly, at this rate.
  EXPECT_GT(strength.shearShare, 0.5);
  EXPECT_GT(strength.sine.mean, 0.3);
  EXPECT_LT(strength.sine.mean, 0.6);
  EXPECT_NEAR(record.readings.back().strain, 0.6, 0.003);
}

HOLDGROUND_ON_EVERY_KERNEL(ShearCellTest);

TEST(ShearCell, SameBitsForAnyNumberOfThreads) {
  const GrainSet tile = settledBed();
  ShearCellSettings settings = quickCell(tile, KernelKind::kFast);
  settings.strain = 0.02;
  settings.readings = 8;
  omp_set_num_threads(1);
  const ShearRecord one = shearTile(tile, settings);
  omp_set_num_threads(2);
  const ShearRecord two = shearTile(tile, settings);
  omp_set_num_threads(1);
  EXPECT_EQ(one.readings.back().slice.contactStress, two.readings.back().slice.contactStress);
  EXPECT_EQ(one.readings.back().lidForce, two.readings.back().lidForce);
}

TEST(ShearCell, RefusesATileThatIsTooThin) {
  omp_set_num_threads(1);
  TileRecipe recipe;
  recipe.material = bedSettings().material;
  recipe.length = recipe.width = 0.24;
  recipe.depth = 0.16;
  const GrainSet tile = settleTile(recipe).grains;
  EXPECT_THROW(shearTile(tile, quickCell(tile, KernelKind::kFast)), InputError);
}

TEST(GluedPlate, CarriesTheWeightThatHangsFromIt) {
  // Two grains glued to a plate that is held: springs of k sink by W/k, and the plate bears both.
  omp_set_num_threads(1);
  Ball a, b, deep;
  a.radius = b.radius = deep.radius = 0.02;
  a.position = Vec3(0.1, 0.0, 0.0);
  b.position = Vec3(-0.1, 0.0, 0.01);
  deep.position = Vec3(0.0, 0.0, -0.2);
  deep.frozen = true;
  const GrainSet set = sceneOf(Domain{0.6, 0.6, -0.5, 0.5}, {a, b, deep});
  KernelSettings settings = bedSettings();
  settings.water.density = 0.0;
  auto kernel = makeKernel(KernelKind::kReference, set, settings);
  GluedPlate plate(set, -0.05, settings.material, BodyDrive{});
  ASSERT_EQ(plate.glued(), 2u);
  EXPECT_NEAR(plate.underside(), -0.015, 1e-12);
  for (int k = 0; k < 4000; ++k) {
    const bool moved = kernel->updateNeighbours();
    plate.hold(*kernel, moved || k == 0, settings.timeStep);
    kernel->advance();
    plate.move(settings.timeStep);
  }
  const double weight = 2.0 * massOf(settings, 0.02) * settings.gravity;
  EXPECT_NEAR(plate.reaction().z(), -weight, 1e-6 * weight);
  EXPECT_THROW(GluedPlate(set, 1.0, settings.material, BodyDrive{}), InputError);
}

}  // namespace holdground
