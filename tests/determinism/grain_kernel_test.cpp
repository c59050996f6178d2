// The same bits for any number of threads, and after a freeze and a thaw.
#include <gtest/gtest.h>
#include <omp.h>

#include "solver/bed/tile.hpp"
#include "solver/core/errors.hpp"
#include "tests/support/two_soils.hpp"

namespace holdground {
namespace {

GrainSet fallingCloud() {
  CloudShape shape;
  shape.across = 10;
  shape.layers = 12;
  shape.spacing = 2.1;
  shape.spread = 0.03;
  shape.speed = 1.0;
  shape.frozenFloor = true;
  return cloudOf(shape);
}

/// Stones and single grains together, falling.
GrainSet fallingStones() {
  TileRecipe recipe;
  recipe.smallestDiameter = 0.05;
  recipe.largestDiameter = 0.08;
  recipe.shape = GrainShape::kAngular;
  recipe.length = recipe.width = 0.5;
  recipe.depth = 0.4;
  return looseGrains(recipe);
}

/// Contacts of the bed remember how hard they were pressed.
KernelSettings dentedSettings() {
  KernelSettings settings = bedSettings();
  settings.material.pullOffStress = 500.0;
  settings.material.plasticity = 0.6;
  settings.material.adhesiveShare = 1.0;
  settings.timeStep *= 0.6;
  return settings;
}

class ThreadCount {
 public:
  explicit ThreadCount(int count) : before_(omp_get_max_threads()) { omp_set_num_threads(count); }
  ~ThreadCount() { omp_set_num_threads(before_); }

 private:
  int before_;
};

}  // namespace

class GrainKernelDeterminismTest : public KernelTest {};

TEST_P(GrainKernelDeterminismTest, SameBitsOnAnyNumberOfThreads) {
  const GrainSet start = fallingCloud();
  std::uint64_t expected = 0;
  double friction = 0.0;
  for (const int threads : {1, 2, 3, 8}) {
    const ThreadCount scope(threads);
    const auto kernel = kernelOf(start, bedSettings());
    const int rebuilds = steps(*kernel, 500);
    EXPECT_GT(rebuilds, 5);
    if (threads == 1) {
      expected = kernel->stateHash();
      friction = kernel->energy().friction;
    }
    EXPECT_EQ(kernel->stateHash(), expected) << threads << " threads";
    EXPECT_EQ(kernel->energy().friction, friction) << threads << " threads";
  }
}

TEST_P(GrainKernelDeterminismTest, StonesHaveTheSameBitsOnAnyNumberOfThreads) {
  const GrainSet start = fallingStones();
  ASSERT_GT(start.stones.size(), 50u);
  std::uint64_t expected = 0;
  for (const int threads : {1, 2, 3, 8}) {
    const ThreadCount scope(threads);
    const auto kernel = kernelOf(start, bedSettings());
    EXPECT_GT(steps(*kernel, 300), 1);
    if (threads == 1) expected = kernel->stateHash();
    EXPECT_EQ(kernel->stateHash(), expected) << threads << " threads";
  }
}

TEST_P(GrainKernelDeterminismTest, DentsHaveTheSameBitsOnAnyNumberOfThreads) {
  const GrainSet start = fallingCloud();
  std::uint64_t expected = 0;
  double plastic = 0.0;
  for (const int threads : {1, 2, 3, 8}) {
    const ThreadCount scope(threads);
    const auto kernel = kernelOf(start, dentedSettings());
    EXPECT_GT(steps(*kernel, 500), 2);
    if (threads == 1) {
      expected = kernel->stateHash();
      plastic = kernel->energy().plastic;
      EXPECT_GT(plastic, 0.0);
    }
    EXPECT_EQ(kernel->stateHash(), expected) << threads << " threads";
    EXPECT_EQ(kernel->energy().plastic, plastic) << threads << " threads";
  }
}

TEST_P(GrainKernelDeterminismTest, AStackHasTheSameBitsOnAnyNumberOfThreads) {
  const GrainSet start = inTwoSoils(fallingCloud(), 0.25);
  std::uint64_t expected = 0;
  double plastic = 0.0;
  for (const int threads : {1, 2, 3, 8}) {
    const ThreadCount scope(threads);
    const auto kernel = kernelOf(start, twoSoilSettings());
    EXPECT_GT(steps(*kernel, 500), 2);
    if (threads == 1) {
      expected = kernel->stateHash();
      plastic = kernel->energy().plastic;
      EXPECT_GT(plastic, 0.0);
    }
    EXPECT_EQ(kernel->stateHash(), expected) << threads << " threads";
    EXPECT_EQ(kernel->energy().plastic, plastic) << threads << " threads";
  }
}

TEST_P(GrainKernelDeterminismTest, HashSeesEveryDent) {
  const auto kernel = kernelOf(fallingCloud(), dentedSettings());
  steps(*kernel, 300);
  GrainSet bed = kernel->store();
  const auto hashOf = [&] {
    const auto loaded = kernelOf(bed, dentedSettings());
    loaded->updateNeighbours();
    return loaded->stateHash();
  };
  const std::uint64_t before = hashOf();
  ASSERT_GT(bed.contacts.size(), 10u);
  for (ContactMemory& contact : bed.contacts)
    if (contact.dent > 0.0) {
      contact.dent *= 1.0 + 1e-6;
      break;
    }
  EXPECT_NE(hashOf(), before);
}

class ThawedRunTest : public GrainKernelDeterminismTest {
 protected:
  void goesOnBitForBit(const GrainSet& start, const KernelSettings& settings) const;
};

TEST_P(GrainKernelDeterminismTest, HashSeesEveryStone) {
  GrainSet start = fallingStones();
  const std::uint64_t before = kernelOf(start, bedSettings())->stateHash();
  start.stones.back().spin.y() += 1e-12;
  EXPECT_NE(kernelOf(start, bedSettings())->stateHash(), before);
}

TEST_P(ThawedRunTest, GoesOnBitForBit) { goesOnBitForBit(fallingCloud(), bedSettings()); }
TEST_P(ThawedRunTest, GoesOnBitForBitWithStones) {
  goesOnBitForBit(fallingStones(), bedSettings());
}
TEST_P(ThawedRunTest, GoesOnBitForBitWithDents) {
  goesOnBitForBit(fallingCloud(), dentedSettings());
}
TEST_P(ThawedRunTest, GoesOnBitForBitInAStack) {
  goesOnBitForBit(inTwoSoils(fallingCloud(), 0.25), twoSoilSettings());
}

void ThawedRunTest::goesOnBitForBit(const GrainSet& start, const KernelSettings& settings) const {
  const auto whole = kernelOf(start, settings);
  const auto half = kernelOf(start, settings);
  steps(*whole, 600);
  steps(*half, 237);
  const std::vector<std::byte> frozen = half->freeze();
  const auto resumed = kernelOf(start, settings);
  steps(*resumed, 50);  // whatever it held must not matter
  resumed->thaw(frozen);
  EXPECT_EQ(resumed->stateHash(), half->stateHash());
  for (int k = 237; k < 600; ++k) ASSERT_EQ(step(*resumed), step(*half)) << "step " << k;
  EXPECT_EQ(resumed->stateHash(), whole->stateHash());
  EXPECT_EQ(resumed->freeze(), whole->freeze());
  EXPECT_EQ(resumed->energy().friction, whole->energy().friction);
  EXPECT_EQ(resumed->energy().plastic, whole->energy().plastic);
}

TEST_P(GrainKernelDeterminismTest, HashSeesEveryGrain) {
  GrainSet start = fallingCloud();
  const std::uint64_t before = kernelOf(start, bedSettings())->stateHash();
  start.velocity.back().y() += 1e-6;
  EXPECT_NE(kernelOf(start, bedSettings())->stateHash(), before);
}

TEST_P(GrainKernelDeterminismTest, DamagedCheckpointIsRefused) {
  const auto kernel = kernelOf(fallingCloud(), bedSettings());
  std::vector<std::byte> frozen = kernel->freeze();
  frozen.resize(frozen.size() / 2);
  EXPECT_THROW(kernel->thaw(frozen), SystemError);
}

HOLDGROUND_ON_EVERY_KERNEL(GrainKernelDeterminismTest);
HOLDGROUND_ON_EVERY_KERNEL(ThawedRunTest);

}  // namespace holdground
