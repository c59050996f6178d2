// A cut bed comes to rest as a slope; one that sticks stands.
#include "solver/probe/cut_slope.hpp"

#include <gtest/gtest.h>

#include "solver/bed/tile.hpp"
#include "tests/support/beds.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {

TEST(CutSlope, SandSlidesToASlopeAndStickingGrainsStand) {
  omp_set_num_threads(1);
  Tile tile;
  tile.grains = settledBed();
  const GrainSet bed = layTiles(tile, 3, 1);
  SlopeSettings settings;
  settings.bed = bedSettings();
  const CutSlope sand = cutSlope(bed, settings);
  EXPECT_TRUE(sand.isAtRest);
  // Spheres of friction 0.5 and rolling friction 0.1: between what no friction and what no rolling
  // at all would give; a cut of four diameters is too low for more.
  EXPECT_GT(sand.mean(), 0.2);
  EXPECT_LT(sand.mean(), 0.8);
  EXPECT_FALSE(sand.stands());
  EXPECT_GT(sand.relief, 0.5 * sand.cut);

  settings.bed.material.pullOffStress = 50e3;
  settings.longestTime = 0.6;
  EXPECT_TRUE(cutSlope(bed, settings).stands());
}

}  // namespace holdground
