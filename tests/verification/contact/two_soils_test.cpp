// Two grains of unlike soils, and each of them by itself, against closed forms, on both kernels.
#include <gtest/gtest.h>

#include <cmath>

#include "solver/contact/soil_laws.hpp"
#include "tests/support/impact.hpp"

namespace holdground {
namespace {

constexpr double kRadius = 0.02;

GrainMaterial lump() {
  GrainMaterial m;
  m.density = 1900.0;
  m.youngModulus = 2.0e7;
  m.poissonRatio = 0.35;
  m.friction = 0.1;
  m.rollingFriction = 0.0;
  m.restitutionCoefficient = 1.0;
  return m;
}

GrainMaterial stone() {
  GrainMaterial m;
  m.youngModulus = 1.0e8;
  m.friction = 0.6;
  m.rollingFriction = 0.0;
  m.restitutionCoefficient = 1.0;
  return m;
}

KernelSettings weightless() {
  KernelSettings settings;
  settings.material = lump();
  settings.lowerSoils = {stone()};
  settings.water.density = 0.0;
  settings.gravity = 0.0;
  settings.timeStep = 2.0e-6;
  return settings;
}

/// Grain 0 of soil 0 on the left of grain 1 of soil 1, their surfaces a gap apart [m].
GrainSet pairOf(double gap, const Vec3& velocity) {
  Ball left, right;
  left.radius = right.radius = kRadius;
  left.position = Vec3(-kRadius - 0.5 * gap, 0.0, 0.0);
  right.position = -left.position;
  left.velocity = velocity;
  right.velocity = -velocity;
  GrainSet set = sceneOf(Domain{0.6, 0.3, -0.3, 0.3}, {left, right});
  set.soil = {0, 1};
  return set;
}

double massOfSoil(const GrainMaterial& m) {
  return m.density * 4.0 / 3.0 * kPi * kRadius * kRadius * kRadius;
}

/// Of the only pair, on grain 0.
Vec3 forceOf(const GrainKernel& kernel) {
  Vec3 force = Vec3::Zero();
  std::size_t pairs = 0;
  kernel.visitPairs([&](const PairSample& pair) {
    ++pairs;
    force = kernel.sample(pair.slotA).id == 0 ? pair.force : Vec3(-pair.force);
  });
  EXPECT_EQ(pairs, 1u);
  return force;
}

}  // namespace

class TwoSoilsTest : public KernelTest {};

// Some 500 steps a contact; 0.1 % for where in a step it begins, as in hertz_impact_test.cpp.
TEST_P(TwoSoilsTest, ImpactOfUnlikeGrainsIsTheClosedForm) {
  const double speed = 0.5;
  const KernelSettings settings = weightless();
  const double mass = 1.0 / (1.0 / massOfSoil(lump()) + 1.0 / massOfSoil(stone()));
  const HertzImpact exact = hertzImpact(effectiveModuli(lump().youngModulus, lump().poissonRatio,
                                                        stone().youngModulus, stone().poissonRatio)
                                            .young,
                                        0.5 * kRadius, mass, 2.0 * speed);
  const auto kernel = kernelOf(pairOf(1e-5, Vec3(speed, 0.0, 0.0)), settings);
  double largest = 0.0;
  for (int k = 0; k < 2.0 * exact.duration / settings.timeStep; ++k) {
    step(*kernel);
    const Vec3 apart = grainOf(*kernel, 0).position - grainOf(*kernel, 1).position;
    largest = std::max(largest, 2.0 * kRadius - apart.norm());
  }
  EXPECT_NEAR(largest / exact.largestOverlap, 1.0, 1e-3);
  // Elastic: the relative speed turns round, and the centre of mass goes on.
  const double v0 = grainOf(*kernel, 0).velocity.x(), v1 = grainOf(*kernel, 1).velocity.x();
  EXPECT_NEAR((v1 - v0) / (2.0 * speed), 1.0, 1e-3);
  const double m0 = massOfSoil(lump()), m1 = massOfSoil(stone());
  EXPECT_NEAR((m0 * v0 + m1 * v1) / ((m0 - m1) * speed), 1.0, 1e-3);
}

TEST_P(TwoSoilsTest, InterfaceSlipsAtTheLesserFriction) {
  const auto kernel = kernelOf(pairOf(-2e-4, Vec3(0.0, 1.0, 0.0)), weightless());
  for (int k = 0; k < 5; ++k) step(*kernel);  // 1 m/s strains the spring far past its limit
  kernel->updateNeighbours();
  const Vec3 force = forceOf(*kernel);
  ASSERT_LT(force.x(), 0.0);
  EXPECT_NEAR(std::hypot(force.y(), force.z()) / -force.x(), lump().friction, 2e-3);
}

TEST_P(TwoSoilsTest, TheWeakersCohesionHoldsOverAGap) {
  KernelSettings settings = weightless();
  settings.material.pullOffStress = 20.0e3;
  settings.material.pullOffRange = 0.15;
  const double gap = 1e-3;
  const auto kernel = kernelOf(pairOf(gap, Vec3::Zero()), settings);
  kernel->updateNeighbours();
  const double diameter = 2.0 * kRadius;
  const double expected = 20.0e3 * diameter * diameter * (1.0 - gap / (0.15 * diameter));
  EXPECT_NEAR(forceOf(*kernel).x() / expected, 1.0, 1e-4);
  step(*kernel);
  const double pulled = grainOf(*kernel, 0).velocity.x();
  // v(1/2) and the prediction to the full step: 3/2 dt of the first step's acceleration.
  EXPECT_NEAR(pulled / (1.5 * settings.timeStep * expected / massOfSoil(lump())), 1.0, 1e-3);
}

// The stone rubs more, so its want of cohesion does not count against the lump; were it the lump
// that rubs more, the pair would not stick.
TEST_P(TwoSoilsTest, TheStrongersCohesionDoesNot) {
  KernelSettings settings = weightless();
  settings.lowerSoils[0].pullOffStress = 20.0e3;
  const auto kernel = kernelOf(pairOf(1e-3, Vec3::Zero()), settings);
  kernel->updateNeighbours();
  std::size_t pairs = 0;
  kernel->visitPairs([&](const PairSample&) { ++pairs; });
  EXPECT_EQ(pairs, 0u);
}

TEST_P(TwoSoilsTest, EachSinksUnderItsOwnWeightInWater) {
  KernelSettings settings = weightless();
  settings.gravity = kStandardGravity;
  settings.water = {1025.0, 0.0};
  settings.timeStep = 1e-4;
  const auto kernel = kernelOf(pairOf(0.05, Vec3::Zero()), settings);
  const EnergyLedger start = kernel->energy();
  const int count = 1000;
  steps(*kernel, count);
  // Velocity at the full step, one half step beyond the half-step's.
  const double time = (count + 0.5) * settings.timeStep;
  for (const std::uint32_t id : {0u, 1u}) {
    const double net = kStandardGravity * (1.0 - 1025.0 / (id == 0 ? lump() : stone()).density);
    EXPECT_NEAR(grainOf(*kernel, id).velocity.z() / (-net * time), 1.0, 1e-4) << id;
    EXPECT_EQ(grainOf(*kernel, id).soil, id);
  }
  const EnergyLedger now = kernel->energy();
  EXPECT_NEAR((now.potential - start.potential) / -now.kinetic, 1.0, 2e-3);
}

HOLDGROUND_ON_EVERY_KERNEL(TwoSoilsTest);

}  // namespace holdground
