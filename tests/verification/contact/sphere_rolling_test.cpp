// Rolling, sliding and resting of one grain on steel.
// Sources: Ai, Chen, Rotter & Ooi 2011, Powder Technol. 206:269 (rolling to rest, incline); the
// rest textbook rigid-body mechanics of a solid sphere.

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/contact_meshes.hpp"
#include "tests/support/contact_world.hpp"

namespace holdground {
namespace {

constexpr double kRadius = 0.05;
constexpr double kGravity = kStandardGravity;

ContactWorldSettings cobble(KernelKind kind, const Surface& surface) {
  ContactWorldSettings settings;
  settings.kind = kind;
  settings.material = {2650.0, 1.0e8, 0.25, 0.5, 0.1, 0.3};
  settings.surface = surface;
  settings.domain = {4.0, 1.0, -1.5, 1.5};
  settings.gravity = kGravity;
  settings.timeStep = 1e-4;  // 0.07 of the Rayleigh time
  return settings;
}

/// Overlap of a grain at rest under `force` [m]: Hertz.
double restOverlap(const GrainMaterial& material, double force) {
  const double modulus =
      material.youngModulus / (1.0 - material.poissonRatio * material.poissonRatio);
  return std::pow(3.0 * force / (4.0 * modulus * std::sqrt(kRadius)), 2.0 / 3.0);
}

/// A grain touching a plane that falls toward +x by `slope`, at `along` from the middle.
ContactWorld onIncline(const ContactWorldSettings& settings, double slope, double along,
                       double speed, double spin) {
  const Quat tilt(Eigen::AngleAxisd(slope, Vec3::UnitY()));
  const double weight = sphereMass(settings.material, kRadius) * kGravity * std::cos(slope);
  const Vec3 position = tilt * Vec3(along, 0.01, kRadius - restOverlap(settings.material, weight));
  GrainList grains(settings.domain);
  grains.add(kRadius, position, tilt * Vec3(speed, 0.0, 0.0), Vec3(0.0, spin, 0.0));
  return ContactWorld(settings, grains.set(), {test::sheet(3.8, 0.9, 38, 9)},
                      ContactWorld::fixedBody(tilt));
}

class SphereRolling : public ::testing::TestWithParam<KernelKind> {};

}  // namespace

TEST_P(SphereRolling, SagsUnderItsWeightAsHertzSays) {
  const ContactWorldSettings settings = cobble(GetParam(), {0.5, 0.0});
  ContactWorld world = onIncline(settings, 0.0, 0.0, 0.0, 0.0);
  world.run(0.5);
  const double weight = sphereMass(settings.material, kRadius) * kGravity;
  const double overlap = kRadius - world.grain(0).position.z();
  EXPECT_NEAR(overlap, restOverlap(settings.material, weight), 1e-3 * overlap);
  EXPECT_NEAR(-world.load().total.force.z(), weight, 1e-4 * weight);
}

TEST_P(SphereRolling, SetBackItRestsNearerAndRollsAsBefore) {
  // Only the distance changes: weight, sag and the arm of friction are those of the whole grain, so
  // a grain thrown without spin still ends at 5/7 of its speed, textbook.
  const double setback = 0.3, speed = 1.0;
  ContactWorldSettings settings = cobble(GetParam(), {0.5, 0.0});
  settings.material.steelSetback = setback;
  const double weight = sphereMass(settings.material, kRadius) * kGravity;
  const double sag = restOverlap(settings.material, weight);
  GrainList grains(settings.domain);
  grains.add(kRadius, Vec3(-1.0, 0.01, (1.0 - 2.0 * setback) * kRadius - sag),
             Vec3(speed, 0.0, 0.0));
  ContactWorld world(settings, grains.set(), {test::sheet(3.8, 0.9, 38, 9)},
                     ContactWorld::fixedBody());
  world.run(1.0);
  EXPECT_NEAR(world.grain(0).position.z(), (1.0 - 2.0 * setback) * kRadius - sag, 1e-3 * sag);
  EXPECT_NEAR(world.grain(0).velocity.x(), 5.0 / 7.0 * speed, 2e-3 * speed);
  EXPECT_NEAR(world.grain(0).spin.y(), 5.0 / 7.0 * speed / kRadius, 2e-3 * speed / kRadius);
}

TEST_P(SphereRolling, RollsToRestAndStays) {
  const double rollingFriction = 0.1, speed = 1.0;
  ContactWorld world =
      onIncline(cobble(GetParam(), {0.5, rollingFriction}), 0.0, -1.0, speed, speed / kRadius);
  const double rate = rollingFriction * kGravity;
  const double deceleration = 5.0 / 7.0 * rate;
  world.run(0.7);
  EXPECT_NEAR(world.grain(0).velocity.x(), speed - 0.7 * deceleration, 0.01 * speed);
  world.run(1.4 * speed / rate - 0.7 + 0.5);
  EXPECT_NEAR(world.grain(0).position.x() + 1.0, 0.7 * speed * speed / rate, 0.01 * 0.714);
  EXPECT_LT(world.grain(0).velocity.norm(), 1e-6);
}

TEST_P(SphereRolling, StaysOnASlopeBelowItsRollingFrictionAndLeavesAbove) {
  for (const double degrees : {5.0, 6.5}) {  // atan 0.1 is 5.71 degrees
    ContactWorld world =
        onIncline(cobble(GetParam(), {0.5, 0.1}), degrees * kPi / 180.0, -0.5, 0.0, 0.0);
    world.run(2.0);
    const double speed = world.grain(0).velocity.norm();
    if (degrees < 5.71) {
      EXPECT_LT(speed, 1e-6) << degrees;
    } else {
      EXPECT_GT(speed, 0.1) << degrees;
    }
  }
}

TEST_P(SphereRolling, RollsDownWithFiveSeventhsOfGravity) {
  const double slope = 20.0 * kPi / 180.0;
  ContactWorld world = onIncline(cobble(GetParam(), {0.3, 0.0}), slope, -1.0, 0.0, 0.0);
  world.run(0.1);  // the tangential spring rings a little at first
  const double before = world.grain(0).velocity.norm();
  world.run(0.5);
  const double acceleration = (world.grain(0).velocity.norm() - before) / 0.5;
  EXPECT_NEAR(acceleration, 5.0 / 7.0 * kGravity * std::sin(slope), 2e-3 * acceleration);
}

TEST_P(SphereRolling, SlidesUntilFiveSeventhsOfItsSpeedRolls) {
  const double friction = 0.3, speed = 1.0;
  ContactWorld world = onIncline(cobble(GetParam(), {friction, 0.0}), 0.0, -1.0, speed, 0.0);
  const double time = 2.0 * speed / (7.0 * friction * kGravity);
  const double distance = 12.0 * speed * speed / (49.0 * friction * kGravity);
  double slipping = speed;
  while (slipping > 1e-3) {
    world.step();
    const GrainSample grain = world.grain(0);
    slipping = grain.velocity.x() - kRadius * grain.spin.y();
  }
  EXPECT_NEAR(world.time(), time, 5e-3 * time);
  EXPECT_NEAR(world.grain(0).position.x() + 1.0, distance, 5e-3 * distance);
  world.run(0.2);
  EXPECT_NEAR(world.grain(0).velocity.x(), 5.0 / 7.0 * speed, 2e-3);
}

TEST_P(SphereRolling, SlidingFrictionIsMuTimesNormalForceAndItsWorkIsBookedOnTheTriangles) {
  const double friction = 0.3;
  ContactWorld world = onIncline(cobble(GetParam(), {friction, 0.0}), 0.0, -1.0, 1.0, 0.0);
  world.run(0.05);
  const Vec3 force = world.load().total.force;
  EXPECT_NEAR(force.x(), -friction * force.z(), 1e-3 * force.x());
  double onTriangles = 0.0;
  for (const double work : world.contacts().slidingWork()) onTriangles += work;
  const double booked = world.energy().friction;
  EXPECT_NEAR(onTriangles, booked, 1e-12);
  // What is lost is what the centre and the spin no longer have.
  const GrainSample grain = world.grain(0);
  const double mass = 1.0 / grain.inverseMass;
  const double left = 0.5 * mass * grain.velocity.squaredNorm() +
                      0.2 * mass * kRadius * kRadius * grain.spin.squaredNorm();
  EXPECT_NEAR(booked, 0.5 * mass - left, 5e-3 * booked);
}

INSTANTIATE_TEST_SUITE_P(Kernels, SphereRolling,
                         ::testing::Values(KernelKind::kReference, KernelKind::kFast),
                         [](const auto& kind) { return kernelName(kind.param); });

}  // namespace holdground
