#include "solver/material/critical_time_step.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "solver/core/errors.hpp"
#include "solver/state/stable_time_step.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {

// Rayleigh times of two softened pairs: 10 mm sand size and 100 mm cobble (from the formula, by
// hand): 4.455e-4 s and 1.394e-3 s.
TEST(CriticalTimeStep, RayleighTimeOfSandAndCobble) {
  EXPECT_NEAR(rayleighTime(0.005, 2650.0, 1.0e7, 0.30), 4.455e-4, 5e-8);
  EXPECT_NEAR(rayleighTime(0.05, 2650.0, 1.0e8, 0.25), 1.394e-3, 5e-7);
}

TEST(CriticalTimeStep, SmallestMovingGrainDecides) {
  Ball frozen, small, large;
  frozen.radius = 0.001;
  frozen.frozen = true;
  small.radius = 0.01;
  large.radius = 0.05;
  const GrainMaterial material;
  const double expected =
      0.2 * rayleighTime(0.01, material.density, material.youngModulus, material.poissonRatio);
  EXPECT_DOUBLE_EQ(stableTimeStep(sceneOf(Domain{}, {frozen, large, small}), material), expected);
  EXPECT_DOUBLE_EQ(stableTimeStep(sceneOf(Domain{}, {frozen}), material), 0.1 * expected);
  GrainMaterial dented;
  dented.plasticity = 0.75;  // unloads four times as stiffly
  EXPECT_DOUBLE_EQ(stableTimeStep(sceneOf(Domain{}, {small}), dented), 0.5 * expected);
  EXPECT_THROW(stableTimeStep(GrainSet{}, material), InputError);
}

// Light soft grains against a stiff soil are stiffer than among themselves: E* of the pair is up to
// twice theirs.
TEST(CriticalTimeStep, SoftGrainsAgainstAStiffSoilDecide) {
  Ball ball, held;
  ball.radius = held.radius = 0.01;
  held.frozen = true;
  GrainSet set = sceneOf(Domain{}, {ball, held});
  set.soil = {0, 1};
  GrainMaterial soft, stiff;
  soft.youngModulus = 1e7;
  stiff.youngModulus = 1e13;
  const double alone = stableTimeStep(set, soft);
  EXPECT_NEAR(stableTimeStep(set, std::vector{soft, stiff}) / alone, std::sqrt(0.5), 1e-5);
  EXPECT_DOUBLE_EQ(stableTimeStep(set, std::vector{soft, soft}), alone);
  stiff.plasticity = 0.75;
  EXPECT_NEAR(stableTimeStep(set, std::vector{soft, stiff}) / alone, 0.5 * std::sqrt(0.5), 1e-5);
}

}  // namespace holdground
