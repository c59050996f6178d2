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

// What rigid-body impulses leave out, for contacts of T = 5 ms and overlaps of at most 0.54 mm, 0.8
// of it on the mean over the force. The spheres slide past each other at up to 0.24 m/s.
//  - Tangential: they are 0.03 m/s T = 0.15 mm aside on the mean over a push that is half a sine; a
//    line of centres turned by 7.5e-4 gives, over mu = 0.4, 1.9e-3 of the impulse.
//  - Normal: mu times that turn of (1 + e) V_n is missing, 9e-4 of the rebound at e = 0.5; and
//  going
//    round each other parts them without a push by the integral of v_t^2/(2R), mean square 3/8 of
//    (0.24 m/s)^2: 5.4e-4 m/s, at most 2.7e-3 of the rebound.
//  - Spin: the arm of friction is R less half the overlap, 2.2e-3 of the change.
// The order of the step, (pi/1000)^2, is far below; 5e-4 is left for the restitution's solution.
constexpr double kTangential = 2.4e-3;
constexpr double kNormal = 4.1e-3;
constexpr double kSpin = 2.7e-3;

// Equal spins of one sense rub at the contact; each sphere sees what it would see from a wall with
// V_n = 0.2 m/s: V_t' = mu (1 + e) V_n = 0.12 m/s, spin less by (5/2) mu (1 + e) V_n/R = 3 rad/s.
TEST_P(SpinImpactTest, EqualSpinsSlideAndTakeAsMuchFromBoth) {
  for (const double spin : {6.0, 10.0, 40.0}) {
    const ImpactResult result = runImpact(GetParam(), spinScene(0.1, 0.1, spin, spin));
    // The contact point of the left sphere moves up (+y): it is pushed down, the other up.
    EXPECT_NEAR(result.first.velocity.y() / -0.12, 1.0, kTangential) << spin;
    EXPECT_NEAR(result.second.velocity.y() / 0.12, 1.0, kTangential) << spin;
    EXPECT_NEAR((spin - result.first.spin.z()) / 3.0, 1.0, kSpin) << spin;
    EXPECT_NEAR((spin - result.second.spin.z()) / 3.0, 1.0, kSpin) << spin;
    EXPECT_NEAR(result.second.velocity.x() / 0.1, 1.0, kNormal) << spin;
  }
}

TEST_P(SpinImpactTest, OppositeSpinsRollLikeGears) {
  const ImpactResult result = runImpact(GetParam(), spinScene(0.1, 0.1, 10.0, -10.0));
  // The surfaces differ by the rounding of 1 m/s. Were that of one sign, 6e-8 m/s in the fast
  // kernel over T, the spring of kt = 5e6 N/m would give 11 kg 6e-7 m/s and, at an arm of 0.1
  // m, 1.5e-5 rad/s. In double precision it is 2^-29 of that; the spins themselves take 500
  // roundings of 2e-15.
  const double velocity = isReference() ? 1e-14 : 6e-7, spin = isReference() ? 1e-12 : 1.5e-5;
  EXPECT_NEAR(result.first.velocity.y(), 0.0, velocity);
  EXPECT_NEAR(result.first.spin.z(), 10.0, spin);
  EXPECT_NEAR(result.second.spin.z(), -10.0, spin);
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
  // As above with 0.38 mm and 3.5 ms: shorter, so 1.6e-3 and 3e-4; of the overlap, 0.3 mm on the
  // mean, the smaller sphere may take more than half: all of it is 5e-3 of its radius.
  EXPECT_NEAR(result.first.velocity.y() / (-tangentialImpulse / mass1), 1.0, kTangential);
  EXPECT_NEAR(result.second.velocity.y() / (tangentialImpulse / mass2), 1.0, kTangential);
  EXPECT_NEAR((0.2 - result.first.velocity.x()) / (normalImpulse / mass1), 1.0, 8e-4);
  const double change1 = 2.5 * tangentialImpulse / (mass1 * radius1);
  const double change2 = 2.5 * tangentialImpulse / (mass2 * radius2);
  EXPECT_NEAR((spin - result.first.spin.z()) / change1, 1.0, 3e-3 + 5e-4);
  EXPECT_NEAR((spin - result.second.spin.z()) / change2, 1.0, 5e-3 + 5e-4);
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
