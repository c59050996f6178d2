// What mud remembers of the pressure it was packed under: strength at a low stress after a high
// one. Contacts that keep a dent hold the more, the harder they were pressed; a pull-off of one
// size knows nothing of it (Thakur et al. 2014 saw the same of the unconfined strength of powders).
#include <gtest/gtest.h>

#include "solver/bed/tile.hpp"
#include "solver/probe/shear_cell.hpp"
#include "solver/probe/strength.hpp"
#include "solver/state/stable_time_step.hpp"
#include "tests/support/beds.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

constexpr double kLow = 500.0, kHigh = 10.0e3;  // [Pa]

/// Loose, and deep enough to be sheared when it has been pressed.
const GrainSet& looseTile() {
  static const GrainSet tile = [] {
    TileRecipe recipe;
    recipe.material = bedSettings().material;
    recipe.length = recipe.width = 0.28;
    recipe.depth = 0.36;
    return settleTile(recipe).grains;
  }();
  return tile;
}

/// Peak of the shear stress under the low stress over that of a bed that was never pressed harder.
double gainByPacking(const GrainMaterial& mud) {
  const GrainSet& tile = looseTile();
  double peak[2];
  for (const int packed : {0, 1}) {
    ShearCellSettings settings;
    settings.material = mud;
    settings.timeStep = stableTimeStep(tile, mud);
    settings.normalStress = kLow;
    settings.packingStress = packed == 1 ? kHigh : 0.0;
    settings.inertialNumber = 0.05;
    settings.strain = 0.3;
    settings.readings = 120;
    peak[packed] = shearStrength(shearTile(tile, settings)).peakShear;
  }
  return peak[1] / peak[0];
}

}  // namespace

TEST(Consolidation, RaisesTheStrengthOfContactsThatKeepADent) {
  omp_set_num_threads(1);
  GrainMaterial mud = bedSettings().material;
  mud.friction = 0.2;
  mud.rollingFriction = 0.0;
  mud.pullOffStress = 500.0;
  mud.plasticity = 0.7;
  mud.adhesiveShare = 2.0;
  EXPECT_GT(gainByPacking(mud), 1.5);
}

// The same bed, as strong by a pull-off of one size: packing moves its grains a little, no more.
TEST(Consolidation, DoesNotRaiseThatOfAPullOffOfOneSize) {
  omp_set_num_threads(1);
  GrainMaterial mud = bedSettings().material;
  mud.friction = 0.2;
  mud.rollingFriction = 0.0;
  mud.pullOffStress = 2.0e3;
  EXPECT_NEAR(gainByPacking(mud), 1.0, 0.2);
}

}  // namespace holdground
