#include "solver/contact/sphere_pair.hpp"

#include <gtest/gtest.h>

#include <random>

namespace holdground {
namespace {

/// Two spheres of different size that overlap, moving anyhow, and a force at their contact.
struct RandomPair {
  Vec3 positionI, positionJ, velocityI, velocityJ, spinI, spinJ;
  double radiusI, radiusJ;
  ContactGeometry geometry;
  LeverArms arm;
  ContactForce contact;

  explicit RandomPair(std::mt19937& engine) {
    std::uniform_real_distribution<double> u(-1.0, 1.0);
    const auto vector = [&] { return Vec3(u(engine), u(engine), u(engine)); };
    radiusI = 0.02 + 0.01 * u(engine);
    radiusJ = 0.05 + 0.02 * u(engine);
    positionI = vector();
    positionJ = positionI + (radiusI + radiusJ) * 0.99 * vector().normalized();
    velocityI = vector(), velocityJ = vector(), spinI = vector(), spinJ = vector();
    const Vec3 d = positionI - positionJ;
    geometry =
        pairGeometry(d, d.norm(), radiusI + radiusJ, pairConstants(radiusI, radiusJ, 3.0, 0.5));
    arm = leverArms(d.norm(), radiusI, radiusJ);
    contact.normal = 5.0 + u(engine);
    const Vec3 any = vector();
    contact.tangential = any - any.dot(geometry.normal) * geometry.normal;
    contact.rolling = vector();
  }
};

}  // namespace

TEST(SpherePair, BothArmsReachTheSamePoint) {
  std::mt19937 engine(1);
  const RandomPair pair(engine);
  const Vec3 fromI = pair.positionI - pair.arm.i * pair.geometry.normal;
  const Vec3 fromJ = pair.positionJ + pair.arm.j * pair.geometry.normal;
  EXPECT_LE((fromI - fromJ).norm(), 1e-15);
}

// Velocity of a point of a rigid body: v + w x r.
TEST(SpherePair, RelativeVelocityIsThatOfTheTwoContactPoints) {
  std::mt19937 engine(2);
  for (int k = 0; k < 100; ++k) {
    const RandomPair pair(engine);
    const Vec3 atI = pair.velocityI + pair.spinI.cross(-pair.arm.i * pair.geometry.normal);
    const Vec3 atJ = pair.velocityJ + pair.spinJ.cross(pair.arm.j * pair.geometry.normal);
    const ContactMotion motion = pairMotion(
        {pair.velocityI, pair.spinI}, {pair.velocityJ, pair.spinJ}, pair.geometry.normal, pair.arm);
    EXPECT_LE((motion.velocity - (atI - atJ)).norm(), 1e-14);
  }
}

// Rounding only: the torques are those of the force at the common point.
TEST(SpherePair, PowerAndAngularMomentumBalance) {
  std::mt19937 engine(3);
  for (int k = 0; k < 100; ++k) {
    const RandomPair pair(engine);
    const PairLoad load = pairLoad(pair.contact, pair.geometry.normal, pair.arm);
    const ContactMotion motion = pairMotion(
        {pair.velocityI, pair.spinI}, {pair.velocityJ, pair.spinJ}, pair.geometry.normal, pair.arm);
    const double onGrains = load.force.dot(pair.velocityI - pair.velocityJ) +
                            load.torqueI.dot(pair.spinI) + load.torqueJ.dot(pair.spinJ);
    const double atContact =
        load.force.dot(motion.velocity) + pair.contact.rolling.dot(motion.spin);
    EXPECT_NEAR(onGrains, atContact, 1e-13);
    const Vec3 torque =
        (pair.positionI - pair.positionJ).cross(load.force) + load.torqueI + load.torqueJ;
    EXPECT_LE(torque.norm(), 1e-14);
  }
}

TEST(SpherePair, RollingInertiaOfEqualSpheresIsSevenTenthsOfOne) {
  const double mass = 3.0, radius = 0.02;
  EXPECT_NEAR(rollingInertia(1.0 / mass, radius, 1.0 / mass, radius), 0.7 * mass * radius * radius,
              1e-15);
  EXPECT_NEAR(rollingInertia(1.0 / mass, radius, 0.0, 1.0), 1.4 * mass * radius * radius, 1e-15);
}

}  // namespace holdground
