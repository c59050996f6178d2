#include "solver/probe/driven_body.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

constexpr double kStep = 1e-3;

BodyDrive along(AxisDrive x, AxisDrive y, AxisDrive z) { return {{x, y, z}, Vec3::Zero()}; }

DrivenBody bodyOf(double mass, const BodyDrive& drive) {
  return DrivenBody(mass, Vec3(1.0, 2.0, 3.0), Quat::Identity(), drive);
}

}  // namespace

TEST(DrivenBody, GoesItsWayWhateverPushesIt) {
  DrivenBody body = bodyOf(
      0.0, along(AxisDrive::velocity(0.5), AxisDrive::velocity(-2.0), AxisDrive::velocity(0.0)));
  double work = 0.0;
  for (int k = 0; k < 1000; ++k) work += body.integrate({Vec3(10.0, 20.0, 30.0), {}}, kStep);
  // A thousand roundings of a place of 3 m.
  EXPECT_LT((body.motion().pivot - Vec3(1.5, 0.0, 3.0)).norm(), 1000 * 4.5e-16);
  EXPECT_NEAR(work, -(10.0 * 0.5 - 20.0 * 2.0), 1e-11);
  EXPECT_EQ(body.kineticEnergy(), 0.0);
}

TEST(DrivenBody, FallsByNewtonsLawAlongAForceDrivenAxis) {
  DrivenBody body = bodyOf(4.0, along({}, {}, AxisDrive::force(10.0)));
  for (int k = 0; k < 1000; ++k) body.integrate({Vec3(7.0, 7.0, 2.0), Vec3::Zero()}, kStep);
  // Leapfrog from rest: a dt^2 n (n + 1) / 2 after n steps, a = 12 N / 4 kg.
  EXPECT_NEAR(body.motion().pivot.z() - 3.0, 3.0 * 0.5 * kStep * kStep * 1000 * 1001, 1e-11);
  EXPECT_EQ(body.motion().pivot.x(), 1.0);
  EXPECT_EQ(body.motion().pivot.y(), 2.0);
}

TEST(DrivenBody, DampingEndsAtForceOverDamping) {
  DrivenBody body = bodyOf(4.0, along({}, {}, AxisDrive::force(-10.0, 80.0)));
  // Time constant m / c = 0.05 s: exp(-40) is left after 2 s.
  for (int k = 0; k < 2000; ++k) body.integrate({}, kStep);
  EXPECT_NEAR(body.motion().velocity.z(), -10.0 / 80.0, 1e-14);
}

TEST(DrivenBody, WorkOfTheDriveIsWhatTheBodyGainsAndGivesAway) {
  DrivenBody body = bodyOf(
      2.0, along(AxisDrive::force(3.0, 5.0), AxisDrive::velocity(0.7), AxisDrive::force(-1.0)));
  double put = 0.0, given = 0.0;
  for (int k = 0; k < 500; ++k) {
    const Vec3 force(std::sin(0.02 * k), 1.5, 2.0 * std::cos(0.03 * k));
    const Vec3 before = body.motion().pivot;
    put += body.integrate({force, Vec3::Zero()}, kStep);
    // Displacements of half steps on either side of the full step, for the mean velocity.
    static Vec3 last = Vec3::Zero();
    const Vec3 step = body.motion().pivot - before;
    const Vec3 lastStep = k == 0 ? Vec3(0.0, step.y(), 0.0) : last;
    given -= force.dot(0.5 * (step + lastStep));
    last = step;
  }
  // Kinetic energy at the half step, which the last displacement gives.
  DrivenBody copy = body;
  const Vec3 before = copy.motion().pivot;
  copy.setDrive(along(AxisDrive::force(0.0), AxisDrive::velocity(0.7), AxisDrive::force(0.0)));
  copy.integrate({}, kStep);
  const Vec3 half = (copy.motion().pivot - before) / kStep;
  const double kinetic = 0.5 * 2.0 * (half.x() * half.x() + half.z() * half.z());
  EXPECT_NEAR(put, kinetic + given, 1e-11);
}

TEST(DrivenBody, TurnsAboutItsPivotByItsSpin) {
  BodyDrive drive;
  drive.spin = Vec3(0.0, 0.0, 0.5 * kPi);
  DrivenBody body = bodyOf(0.0, drive);
  double work = 0.0;
  for (int k = 0; k < 1000; ++k)
    work += body.integrate({Vec3::Zero(), Vec3(0.0, 0.0, -2.0)}, kStep);
  EXPECT_LT((body.motion().orientation * Vec3::UnitX() - Vec3::UnitY()).norm(), 1e-12);
  EXPECT_EQ(body.motion().pivot, Vec3(1.0, 2.0, 3.0));
  EXPECT_NEAR(work, 2.0 * 0.5 * kPi, 1e-11);
}

TEST(DrivenBody, ShowsTheMeanVelocityWhileItChanges) {
  DrivenBody body = bodyOf(0.0, along(AxisDrive::velocity(1.0), {}, {}));
  body.integrate({}, kStep);
  body.setDrive(along(AxisDrive::velocity(2.0), {}, {}));
  EXPECT_EQ(body.motion().velocity.x(), 1.5);
  body.integrate({}, kStep);
  EXPECT_EQ(body.motion().velocity.x(), 2.0);
  EXPECT_NEAR(body.motion().pivot.x(), 1.0 + 3.0 * kStep, 1e-15);
}

TEST(DrivenBody, KeepsItsVelocityWhenLetGo) {
  DrivenBody body = bodyOf(5.0, along({}, {}, AxisDrive::velocity(0.4)));
  body.integrate({}, kStep);
  body.setDrive(along({}, {}, AxisDrive::force(0.0)));
  EXPECT_DOUBLE_EQ(body.kineticEnergy(), 0.5 * 5.0 * 0.16);
  body.integrate({}, kStep);
  EXPECT_DOUBLE_EQ(body.motion().velocity.z(), 0.4);
}

TEST(DrivenBody, RefusesDrivesThatMakeNoSense) {
  EXPECT_THROW(bodyOf(0.0, along({}, {}, AxisDrive::force(1.0))), InputError);
  EXPECT_THROW(bodyOf(-1.0, {}), InputError);
  EXPECT_THROW(bodyOf(1.0, along({}, {}, AxisDrive::force(1.0, -1.0))), InputError);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THROW(bodyOf(1.0, along(AxisDrive::velocity(nan), {}, {})), InputError);
}

}  // namespace holdground
