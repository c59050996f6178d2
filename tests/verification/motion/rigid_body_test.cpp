// A rigid body against closed forms: Landau & Lifshitz, Mechanics, sections 33, 36, 37 (free tops);
// periods of the asymmetric top from the Jacobi elliptic functions there (arithmetic-geometric
// mean).

#include "solver/motion/rigid_body.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

const Mat3 kAsymmetric = Vec3(1.0, 2.0, 3.0).asDiagonal();

RigidBody freeTop(const Mat3& inertia, const Vec3& spin) {
  RigidMotion start;
  start.orientation = Quat(Eigen::AngleAxisd(0.7, Vec3(1.0, -2.0, 0.5).normalized()));
  start.spin = start.orientation * spin;
  return RigidBody(1.5, inertia, start);
}

Vec3 bodySpin(const RigidBody& body) {
  return body.motion().orientation.conjugate() * body.motion().spin;
}

/// Time between the first and third sign change of the spin about the second axis: one period.
double flipPeriod(const Vec3& spin, double timeStep) {
  RigidBody body = freeTop(kAsymmetric, spin);
  double first = 0.0;
  int crossings = 0;
  for (int step = 1;; ++step) {
    const double before = bodySpin(body).y();
    body.integrate({}, timeStep);
    const double after = bodySpin(body).y();
    if (before * after >= 0.0) continue;
    const double time = (step - after / (after - before)) * timeStep;
    if (++crossings == 1) first = time;
    if (crossings == 3) return time - first;
  }
}

}  // namespace

TEST(RigidBody, IntermediateAxisFlipsWithThePublishedPeriod) {
  // Tolerance: 0.1 % of the period asked for, 1e-5 reached at this step.
  EXPECT_NEAR(flipPeriod({0.01, 1.0, 0.0}, 0.005), 41.509220, 1e-5 * 41.5);
  EXPECT_NEAR(flipPeriod({0.0, 1.0, 0.01}, 0.005), 37.702072, 1e-5 * 37.7);
  EXPECT_NEAR(flipPeriod({0.1, 1.0, 0.1}, 0.005), 22.996263, 1e-5 * 23.0);
}

TEST(RigidBody, PeriodConvergesWithOrderTwo) {
  const double exact = 22.996263;
  const double coarse = flipPeriod({0.1, 1.0, 0.1}, 0.08) - exact;
  const double fine = flipPeriod({0.1, 1.0, 0.1}, 0.04) - exact;
  EXPECT_NEAR(std::log2(coarse / fine), 2.0, 0.05);
}

TEST(RigidBody, FreeTopKeepsEnergyAndAngularMomentum) {
  RigidBody body = freeTop(kAsymmetric, {0.01, 1.0, 0.0});
  const double energy = body.kineticEnergy();
  const Vec3 angular = body.angularMomentum();
  EXPECT_NEAR(2.0 * energy, 2.0001, 1e-12);
  EXPECT_NEAR(angular.norm(), std::sqrt(4.0001), 1e-12);
  for (int step = 0; step < 20000; ++step) body.integrate({}, 0.02);
  EXPECT_NEAR(body.kineticEnergy(), energy, 1e-12);  // rounding of 20,000 steps
  EXPECT_EQ(body.angularMomentum(), angular);
  EXPECT_NEAR(
      (kAsymmetric * bodySpin(body) - body.motion().orientation.conjugate() * angular).norm(), 0.0,
      1e-14);
}

TEST(RigidBody, SymmetricTopPrecessesInBodyAndSpace) {
  const Mat3 disc = Vec3(1.0, 1.0, 2.0).asDiagonal();
  const double tilt = 0.05, spin = 3.0, timeStep = 2e-4;
  RigidBody body = freeTop(disc, {tilt, 0.0, spin});
  const double bodyRate = (2.0 - 1.0) / 1.0 * spin;
  const double spaceRate = body.angularMomentum().norm() / 1.0;
  const Vec3 axis = body.angularMomentum().normalized();
  const Vec3 symmetryStart = body.motion().orientation * Vec3::UnitZ();
  // Ten turns of the body precession.
  const int steps = static_cast<int>(std::lround(10.0 * 2.0 * kPi / bodyRate / timeStep));
  for (int step = 0; step < steps; ++step) body.integrate({}, timeStep);
  const double time = steps * timeStep;
  const Vec3 inBody = bodySpin(body);
  EXPECT_NEAR(inBody.x(), tilt * std::cos(bodyRate * time), 1e-4 * tilt);
  EXPECT_NEAR(inBody.y(), tilt * std::sin(bodyRate * time), 1e-4 * tilt);
  const Vec3 expected = Eigen::AngleAxisd(spaceRate * time, axis) * symmetryStart;
  EXPECT_NEAR((body.motion().orientation * Vec3::UnitZ() - expected).norm(), 0.0, 1e-4 * tilt);
}

TEST(RigidBody, FallsAsAParabola) {
  // Started at the half step before, leapfrog is exact for a constant force.
  const double timeStep = 1e-3;
  RigidMotion start;
  start.velocity = Vec3(1.0, 0.0, 0.5 * kStandardGravity * timeStep);
  RigidBody body(2.0, Mat3::Identity(), start);
  const BodyLoad weight{Vec3(0.0, 0.0, -2.0 * kStandardGravity), Vec3::Zero()};
  for (int step = 0; step < 1000; ++step) body.integrate(weight, timeStep);
  EXPECT_NEAR(body.motion().centreOfMass.x(), 1.0, 1e-12);
  EXPECT_NEAR(body.motion().centreOfMass.z(), -0.5 * kStandardGravity, 1e-12);
  EXPECT_NEAR(body.motion().velocity.z(), -kStandardGravity, 1e-12);
}

namespace {

/// A body on springs that pull two of its points home: force and torque depend on where it is.
BodyLoad springs(const RigidMotion& motion) {
  BodyLoad load;
  for (const Vec3& arm : {Vec3(0.3, 0.1, 0.0), Vec3(-0.2, 0.2, 0.4)}) {
    const Vec3 point = motion.centreOfMass + motion.orientation * arm;
    load += BodyLoad::at(-40.0 * (point - arm), point, motion.centreOfMass);
  }
  return load;
}

}  // namespace

TEST(RigidBody, WorkOfAllLoadsIsTheChangeOfKineticEnergyToRounding) {
  RigidMotion start;
  start.centreOfMass = Vec3(0.1, -0.2, 0.05);
  start.spin = Vec3(2.0, 1.0, -3.0);
  RigidBody body(1.5, kAsymmetric, start);
  const double before = body.halfStepKineticEnergy();
  double work = 0.0;
  for (int step = 0; step < 5000; ++step) {
    const BodyLoad load = springs(body.motion());
    body.integrate(load, 2e-3);
    work += body.workOf(load);
  }
  EXPECT_NEAR(body.halfStepKineticEnergy() - before, work, 1e-11);
}

TEST(RigidBody, RetracesItsPathWhenReversed) {
  const double timeStep = 5e-3;
  RigidMotion start;
  start.centreOfMass = Vec3(0.1, -0.2, 0.05);
  start.spin = Vec3(2.0, 1.0, -3.0);
  start.velocity = Vec3(0.3, 0.0, 0.1);
  RigidBody body(1.5, kAsymmetric, start);
  for (int step = 0; step < 1000; ++step) body.integrate(springs(body.motion()), timeStep);

  // Half a step further, then all velocities turned round.
  const BodyLoad load = springs(body.motion());
  RigidMotion turned = body.motion();
  turned.velocity = -(body.momentum() + timeStep * load.force) / body.mass();
  const Vec3 angular = -(body.angularMomentum() + timeStep * load.torque);
  const Mat3 r = turned.orientation.toRotationMatrix();
  turned.spin = r * (kAsymmetric.inverse() * (r.transpose() * angular));
  RigidBody back(1.5, kAsymmetric, turned);
  for (int step = 0; step < 1000; ++step) back.integrate(springs(back.motion()), timeStep);
  // Rounding, grown by the motion's own sensitivity over 2,000 steps.
  EXPECT_NEAR((back.motion().centreOfMass - start.centreOfMass).norm(), 0.0, 1e-9);
  EXPECT_NEAR(back.motion().orientation.angularDistance(start.orientation), 0.0, 1e-7);
}

TEST(RigidBody, PrescribedMotionIgnoresLoadsButBooksTheirWork) {
  RigidMotion start;
  start.velocity = Vec3(0.4, 0.0, 0.0);
  start.spin = Vec3(0.0, 0.0, 0.5);
  RigidBody body = RigidBody::prescribed(start);
  const BodyLoad drag{Vec3(-100.0, 5.0, 0.0), Vec3(0.0, 0.0, -2.0)};
  for (int step = 0; step < 1000; ++step) body.integrate(drag, 1e-3);
  EXPECT_NEAR(body.motion().centreOfMass.x(), 0.4, 1e-12);
  EXPECT_EQ(body.motion().velocity, start.velocity);
  // The Cayley map turns by 2 atan(w dt/2) a step: (w dt)^3/12 too little each.
  EXPECT_NEAR(body.motion().orientation.angularDistance(Quat::Identity()), 0.5, 1e-7);
  EXPECT_DOUBLE_EQ(body.workOf(drag), 1e-3 * (-40.0 - 1.0));
  EXPECT_EQ(body.kineticEnergy(), 0.0);
}

TEST(RigidBody, ThawedBodyContinuesBitForBit) {
  RigidMotion start;
  start.centreOfMass = Vec3(0.1, -0.2, 0.05);
  start.spin = Vec3(2.0, 1.0, -3.0);
  RigidBody whole(1.5, kAsymmetric, start), resumed(1.5, kAsymmetric, RigidMotion{});
  for (int step = 0; step < 100; ++step) whole.integrate(springs(whole.motion()), 1e-3);
  resumed.thaw(whole.freeze());
  for (int step = 0; step < 100; ++step) {
    whole.integrate(springs(whole.motion()), 1e-3);
    resumed.integrate(springs(resumed.motion()), 1e-3);
  }
  EXPECT_EQ(whole.freeze(), resumed.freeze());
}

TEST(RigidBody, RefusesMassAndInertiaThatCannotBe) {
  EXPECT_THROW(RigidBody(0.0, Mat3::Identity(), {}), InputError);
  EXPECT_THROW(RigidBody(1.0, -Mat3::Identity(), {}), InputError);
}

}  // namespace holdground
