#include "solver/kernel_reference/reference_kernel.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "solver/core/errors.hpp"
#include "tests/support/beds.hpp"

namespace holdground {

TEST(ReferenceKernel, RefusesABedTooNarrowForItsGrains) {
  Ball ball;
  ball.radius = 0.1;
  const GrainSet narrow = sceneOf(Domain{0.41, 1.0, -1.0, 1.0}, {ball});
  EXPECT_THROW(ReferenceKernel(narrow, bedSettings()), InputError);
  EXPECT_THROW(ReferenceKernel(GrainSet{}, bedSettings()), InputError);
}

TEST(ReferenceKernel, NamesTheGrainThatIsLost) {
  Ball kept, lost;
  kept.frozen = true;
  kept.position.z() = -0.5;
  lost.position.x() = 0.3;
  lost.velocity.z() = -5.0;
  ReferenceKernel kernel(sceneOf(Domain{}, {kept, lost}), bedSettings());
  try {
    steps(kernel, 100000);
    FAIL() << "the grain fell for ever";
  } catch (const SimulationError& error) {
    EXPECT_THAT(error.what(), testing::HasSubstr("grain 1"));
  }
}

TEST(ReferenceKernel, FrozenGrainsStayAndCarry) {
  Ball held, resting;
  held.radius = resting.radius = 0.02;
  held.frozen = true;
  held.velocity = Vec3(1.0, 0.0, 0.0);
  resting.position.z() = 0.0399;
  ReferenceKernel kernel(sceneOf(Domain{}, {held, resting}), bedSettings());
  steps(kernel, 2000);
  EXPECT_EQ(grainOf(kernel, 0).position, Vec3(Vec3::Zero()));
  EXPECT_NEAR(grainOf(kernel, 1).position.z(), 0.04, 1e-4);
}

TEST(ReferenceKernel, OnlyGrainsWithOpenSkyFeelTheWater) {
  Ball lower, upper;
  lower.radius = upper.radius = 0.02;
  upper.position = Vec3(0.01, 0.0, 0.0401);
  for (Ball* ball : {&lower, &upper}) ball->velocity = Vec3(0.5, 0.0, 0.0);
  KernelSettings settings = bedSettings();
  settings.gravity = 0.0;
  ReferenceKernel kernel(sceneOf(Domain{}, {lower, upper}), settings);
  step(kernel);
  EXPECT_EQ(grainOf(kernel, 0).velocity.x(), 0.5);
  EXPECT_LT(grainOf(kernel, 1).velocity.x(), 0.5);
}

TEST(ReferenceKernel, StoredAndLoadedBedIsTheSameBed) {
  ReferenceKernel kernel(cloudOf(CloudShape{}), bedSettings());
  steps(kernel, 300);
  const GrainSet stored = kernel.store();
  ASSERT_GT(stored.contacts.size(), 10u);
  const GrainSet again = ReferenceKernel(stored, bedSettings()).store();
  EXPECT_EQ(largestDistance(stored, again), 0.0);
  EXPECT_EQ(stored.contacts.size(), again.contacts.size());
}

}  // namespace holdground
