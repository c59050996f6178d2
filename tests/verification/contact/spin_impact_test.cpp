// Impacts of spinning spheres: benchmarks 6 to 8 of Chung & Ooi 2011, Granular Matter 13:643
// (set-up from memory, results from rigid-body impulses: Walton 1993; Foerster et al. 1994).
// J_n = (1 + e) m* V_n, and J_t = mu J_n where the contact slides throughout.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/impact.hpp"

namespace holdground {
namespace {

constexpr double kFriction = 0.4;
constexpr double kRestitution = 0.5;

/// Two spheres that meet along x with equal and opposite speeds.
ImpactScene spinScene(double radius1, double radius2, double spin1, double spin2) {
  GrainMaterial material;
  material.youngModulus = 1.0e9;
  material.poissonRatio = 0.33;
  material.density = 2700.0;
  material.friction = kFriction;
  material.rollingFriction = 0.0;
  material.restitutionCoefficient = kRestitution;
  const double speed = 0.2;
  ImpactScene scene = headOnScene(material, radius1, 2.0 * speed, 1e-6);
  scene.second.position.x() += radius2 - radius1;
  scene.second.radius = radius2;
  scene.first.spin = Vec3(0.0, 0.0, spin1);
  scene.second.spin = Vec3(0.0, 0.0, spin2);
  scene.domain = {3.0, 3.0, -1.0, 1.0};
  scene.timeStep = 4e-6;
  return scene;
}

/// Angular momentum [kg m^2/s] about the origin.
Vec3 angularMomentum(const GrainSample& grain, double mass) {
  return mass * grain.position.cross(grain.velocity) +
         0.4 * mass * grain.radius * grain.radius * grain.spin;
}

}  // namespace

class SpinImpactTest : public KernelTest {};

// Equal spins of one sense rub at the contact; each sphere sees what it would see from a wall with
// V_n = 0.2 m/s: V_t' = mu (1 + e) V_n = 0.12 m/s, spin less by (5/2) mu (1 + e) V_n/R = 3 rad/s.
TEST_P(SpinImpactTest, EqualSpinsSlideAndTakeAsMuchFromBoth) {
  for (const double spin : {6.0, 10.0, 40.0}) {
    const ImpactResult result = runImpact(GetParam(), spinScene(0.1, 0.1, spin, spin));
    // The contact point of the left sphere moves up (+y): it is pushed down, the other up.
    EXPECT_NEAR(result.first.velocity.y() / -0.12, 1.0, 5e-3) << spin;
    EXPECT_NEAR(result.second.velocity.y() / 0.12, 1.0, 5e-3) << spin;
    EXPECT_NEAR(result.first.spin.z(), spin - 3.0, 0.02) << spin;
    EXPECT_NEAR(result.second.spin.z(), spin - 3.0, 0.02) << spin;
    EXPECT_NEAR(result.second.velocity.x() / 0.1, 1.0, 5e-3) << spin;
  }
}

TEST_P(SpinImpactTest, OppositeSpinsRollLikeGears) {
  const ImpactResult result = runImpact(GetParam(), spinScene(0.1, 0.1, 10.0, -10.0));
  EXPECT_NEAR(result.first.velocity.y(), 0.0, 1e-6);
  EXPECT_NEAR(result.first.spin.z(), 10.0, 1e-5);
  EXPECT_NEAR(result.second.spin.z(), -10.0, 1e-5);
  EXPECT_NEAR(result.ledger.friction, 0.0, 1e-6 * result.ledger.kinetic);
}

TEST_P(SpinImpactTest, SpheresOfDifferentSizeShareOneImpulse) {
  const double radius1 = 0.1, radius2 = 0.06, spin = 30.0;
  const ImpactScene scene = spinScene(radius1, radius2, spin, spin);
  const KernelSettings settings = settingsOf(scene);
  const double mass1 = massOf(settings, radius1), mass2 = massOf(settings, radius2);
  const double reduced = mass1 * mass2 / (mass1 + mass2);
  const double normalImpulse = (1.0 + kRestitution) * reduced * 0.4;
  const double tangentialImpulse = kFriction * normalImpulse;
  const ImpactResult result = runImpact(GetParam(), scene);
  EXPECT_NEAR(result.first.velocity.y() / (-tangentialImpulse / mass1), 1.0, 5e-3);
  EXPECT_NEAR(result.second.velocity.y() / (tangentialImpulse / mass2), 1.0, 5e-3);
  EXPECT_NEAR(result.first.velocity.x(), 0.2 - normalImpulse / mass1, 1e-3 * 0.2);
  EXPECT_NEAR(result.first.spin.z(), spin - 2.5 * tangentialImpulse / (mass1 * radius1), 0.02);
  EXPECT_NEAR(result.second.spin.z(), spin - 2.5 * tangentialImpulse / (mass2 * radius2), 0.05);
}

// The reference to 1e-10 of the spins' own; the fast kernel to the rounding of its numbers:
// 2^-24 a step over some 500 steps of contact, which add up as a random walk.
TEST_P(SpinImpactTest, MomentumAndAngularMomentumAreKept) {
  const ImpactScene scene = spinScene(0.1, 0.06, 30.0, 12.0);
  const KernelSettings settings = settingsOf(scene);
  const double mass1 = massOf(settings, 0.1), mass2 = massOf(settings, 0.06);
  const auto sample = [](const Ball& ball) {
    return GrainSample{ball.position, ball.velocity, ball.spin, ball.radius, 1.0, 0};
  };
  const ImpactResult result = runImpact(GetParam(), scene);
  const Vec3 linear = mass1 * (result.first.velocity - scene.first.velocity) +
                      mass2 * (result.second.velocity - scene.second.velocity);
  const Vec3 angular =
      angularMomentum(result.first, mass1) + angularMomentum(result.second, mass2) -
      angularMomentum(sample(scene.first), mass1) - angularMomentum(sample(scene.second), mass2);
  const double tolerance = isReference() ? 1e-10 : 5e-6;
  EXPECT_LE(linear.norm(), tolerance * mass1 * 0.2);
  EXPECT_LE(angular.norm(), tolerance * 0.4 * mass1 * 0.1 * 0.1 * 30.0);
}

HOLDGROUND_ON_EVERY_KERNEL(SpinImpactTest);

}  // namespace holdground
