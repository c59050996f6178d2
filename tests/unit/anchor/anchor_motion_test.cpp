#include "solver/anchor/anchor_motion.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace holdground {
namespace {

/// A flat triangle for a fluke, both centres off the origin of the anchor frame.
Anchor triangleAnchor() {
  Anchor anchor;
  AnchorPart fluke;
  fluke.role = PartRole::kFluke;
  fluke.mesh.vertices = {Vec3(-0.2, -0.1, 0.0), Vec3(0.2, 0.0, 0.0), Vec3(-0.2, 0.1, 0.0)};
  fluke.mesh.triangles = {{0, 1, 2}};
  anchor.parts.push_back(fluke);
  anchor.mass = 20.0;
  anchor.volume = 0.0025;
  anchor.centreOfMass = Vec3(-0.05, 0.0, 0.03);
  anchor.centreOfVolume = Vec3(0.02, 0.01, 0.05);
  anchor.toe = Vec3(0.2, 0.0, 0.0);
  anchor.heel = Vec3(-0.2, 0.0, 0.0);
  anchor.shackle = Vec3(0.3, 0.0, 0.25);
  return anchor;
}

}  // namespace

TEST(AnchorMotion, SettingPoseTouchesTheAskedHeightWithItsLowestPoint) {
  Anchor anchor = triangleAnchor();
  anchor.settingPose = {0.3, 0.1, 0.2};
  const RigidMotion motion = settingMotion(anchor, 0.04);
  double lowest = 1.0;
  for (const Vec3& vertex : anchor.parts[0].mesh.vertices)
    lowest = std::min(lowest, worldPoint(anchor, motion, vertex).z());
  EXPECT_NEAR(lowest, 0.04, 1e-15);
  const AnchorPosition position = positionOf(anchor, motion);
  EXPECT_NEAR(position.attitude.pitch, 0.3, 1e-14);
  EXPECT_NEAR(position.attitude.list, 0.1, 1e-14);
  EXPECT_NEAR(position.attitude.heading, 0.2, 1e-14);
  EXPECT_EQ(motion.centreOfMass.x(), 0.0);
  EXPECT_EQ(motion.velocity, Vec3::Zero());
}

TEST(AnchorMotion, FacesThePullWhateverItsDirection) {
  Anchor anchor = triangleAnchor();
  anchor.settingPose.heading = 0.2;
  for (const double azimuth : {0.5 * kPi, -2.9}) {
    const AnchorPosition position =
        positionOf(anchor, settingMotion(anchor, 0.0, azimuth), azimuth);
    const Vec3 chord = position.toe - position.heel;
    EXPECT_NEAR(std::remainder(std::atan2(chord.y(), chord.x()) - azimuth - 0.2, 2.0 * kPi), 0.0,
                1e-14);
    EXPECT_NEAR(position.attitude.heading, 0.2, 1e-14);
  }
}

TEST(AnchorMotion, EmbedmentIsDepthBelowTheBedSurface) {
  const Anchor anchor = triangleAnchor();
  RigidMotion motion = settingMotion(anchor, -0.1);
  motion.centreOfMass.x() += 2.0;
  const AnchorPosition position = positionOf(anchor, motion);
  EXPECT_NEAR(position.toeEmbedment, 0.1, 1e-15);
  EXPECT_NEAR(position.heelEmbedment, 0.1, 1e-15);
  EXPECT_NEAR(position.shackleEmbedment, -0.15, 1e-15);
  EXPECT_NEAR(position.toe.x(), 2.25, 1e-15);
  EXPECT_EQ(position.buriedFlukeShare, 1.0);
}

TEST(AnchorMotion, BuriedShareOfATiltedTriangleIsItsCutArea) {
  // Toe down by the pitch, toe at depth t of the fluke's length: the buried tip is a similar
  // triangle of t^2 of the area.
  Anchor anchor = triangleAnchor();
  anchor.settingPose.pitch = 0.5;
  const RigidMotion motion = settingMotion(anchor, -0.25 * 0.4 * std::sin(0.5));
  EXPECT_NEAR(positionOf(anchor, motion).buriedFlukeShare, 0.0625, 1e-14);
  anchor.settingPose.pitch = -0.5;  // heel down: the tip is what sticks out
  const RigidMotion heelDown = settingMotion(anchor, -0.25 * 0.4 * std::sin(0.5));
  EXPECT_NEAR(positionOf(anchor, heelDown).buriedFlukeShare, 1.0 - 0.5625, 1e-14);
}

TEST(AnchorMotion, AreaBelowSurfaceDoesNotDependOnTheOrderOfCorners) {
  const Vec3 a(0.0, 0.0, 1.0), b(1.0, 0.0, -1.0), c(0.0, 1.0, 0.5);
  const double area = areaBelowSurface(a, b, c);
  EXPECT_GT(area, 0.0);
  EXPECT_NEAR(areaBelowSurface(c, a, b), area, 1e-15);
  EXPECT_NEAR(areaBelowSurface(b, a, c), area, 1e-15);
}

TEST(AnchorMotion, BuoyancyActsAtTheCentreOfVolume) {
  const Anchor anchor = triangleAnchor();
  const RigidMotion motion = settingMotion(anchor, 0.0);
  const BodyLoad up = buoyancyLoad(anchor, motion, 1025.0, 9.81);
  const double lift = 1025.0 * 0.0025 * 9.81;
  EXPECT_NEAR(up.force.z(), lift, 1e-12);
  // Lever 0.07 forward, 0.01 to port: bow up (negative y), port up (positive x).
  EXPECT_NEAR(up.torque.y(), -0.07 * lift, 1e-12);
  EXPECT_NEAR(up.torque.x(), 0.01 * lift, 1e-12);
  EXPECT_NEAR(weightLoad(anchor, 9.81).force.z(), -196.2, 1e-12);
}

TEST(AnchorMotion, PotentialEnergyIsWhatWeightAndBuoyancyGiveBack) {
  const Anchor anchor = triangleAnchor();
  RigidMotion low = settingMotion(anchor, 0.0), high = low;
  high.centreOfMass.z() += 1.5;
  const double work = (20.0 - 1025.0 * 0.0025) * 9.81 * 1.5;
  EXPECT_NEAR(
      potentialEnergy(anchor, high, 1025.0, 9.81) - potentialEnergy(anchor, low, 1025.0, 9.81),
      work, 1e-10);
}

}  // namespace holdground
