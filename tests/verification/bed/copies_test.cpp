// Copies of a tile behave as the periodic tile they were made of.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "solver/bed/tile.hpp"
#include "solver/state/stable_time_step.hpp"
#include "tests/support/kernels.hpp"
#include "tests/support/small_pull.hpp"

namespace holdground {

class LaidTiles : public KernelTest {};

TEST_P(LaidTiles, MoveAsThePeriodicTileDoes) {
  constexpr int kSteps = 200;
  const Tile& tile = smallTile();
  const GrainSet bed = layTiles(tile, 3, 3);
  KernelSettings settings;
  settings.material = smallRecipe().material;
  settings.timeStep = stableTimeStep(tile.grains, settings.material);
  const auto one = kernelOf(tile.grains, settings);
  const auto nine = kernelOf(bed, settings);
  for (int step = 0; step < kSteps; ++step)
    for (GrainKernel* kernel : {one.get(), nine.get()}) {
      kernel->updateNeighbours();
      kernel->advance();
    }
  // Bound: the two differ at first by the rounding of an overlap, e = d 2^-23 in the fast kernel
  // (single precision), d 2^-50 in the reference (sums of coordinates of 1.5 m in double). A
  // constant error of overlap accelerates a grain by w^2 e, w^2 = kn/m; over time t that is
  // e (w t)^2/2. With w dt = 0.3 at the stiffest contact met, e (0.3 * 200)^2 / 2 = 1800 e; the
  // contacts about a grain, at most twelve, may add up.
  const double rounding = 0.06 * (isReference() ? std::exp2(-50) : std::exp2(-23));
  const double bound = 12 * 1800 * rounding;
  const GrainSet small = one->store(), large = nine->store();
  double farthest = 0.0;
  for (std::size_t k = 0; k < large.size(); ++k) {
    Vec3 d = large.position[k] - small.position[k % small.size()];
    d.x() -= small.domain.lengthX * std::round(d.x() / small.domain.lengthX);
    d.y() -= small.domain.lengthY * std::round(d.y() / small.domain.lengthY);
    farthest = std::max(farthest, d.norm());
  }
  EXPECT_LT(farthest, bound);
}

TEST_P(LaidTiles, MoveAlikeSeenFromAnotherPlace) {
  constexpr int kSteps = 200;
  const GrainSet bed = layTiles(smallTile(), 2, 1);
  GrainSet shifted = bed;
  setOrigin(shifted, 0.1234, -0.0567);
  KernelSettings settings;
  settings.material = smallRecipe().material;
  settings.timeStep = stableTimeStep(bed, settings.material);
  const auto here = kernelOf(bed, settings);
  const auto there = kernelOf(shifted, settings);
  for (int step = 0; step < kSteps; ++step)
    for (GrainKernel* kernel : {here.get(), there.get()}) {
      kernel->updateNeighbours();
      kernel->advance();
    }
  // The bound of the test above: places are rounded anew.
  const double rounding = 0.06 * (isReference() ? std::exp2(-50) : std::exp2(-23));
  const double bound = 12 * 1800 * rounding;
  const GrainSet one = here->store(), other = there->store();
  double farthest = 0.0;
  for (std::size_t k = 0; k < one.size(); ++k) {
    Vec3 d = other.position[k] + Vec3(0.1234, -0.0567, 0.0) - one.position[k];
    d.x() -= bed.domain.lengthX * std::round(d.x() / bed.domain.lengthX);
    d.y() -= bed.domain.lengthY * std::round(d.y() / bed.domain.lengthY);
    farthest = std::max(farthest, d.norm());
  }
  EXPECT_LT(farthest, bound);
}

HOLDGROUND_ON_EVERY_KERNEL(LaidTiles);

}  // namespace holdground
