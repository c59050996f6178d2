// Two spheres that meet at an angle, spinning, part in the same way wherever they meet, however
// fast both drift and in the mirror. Newton's laws; no published figure is needed.
//
// The bound on what they leave with. Rounding a velocity V + v each step to half a unit u of its
// last place is a random walk of u (V + v) sqrt(steps), three times that for the largest of some.
// Rounding the distance d of the centres (difference, length, radius: 4.5 u d at most) and the
// positions acts as an overlap that is off by e; Hertz's force is then off by 1.5 e/overlap and its
// impulse by 2 e/(largest overlap); the tangential force follows it. Two runs, and a spin takes 5/2
// of what a velocity does: 2 (2 + 2.5 mu), below 8.
#include <gtest/gtest.h>

#include <cmath>

#include "solver/material/effective_moduli.hpp"
#include "tests/support/impact.hpp"

namespace holdground {
namespace {

constexpr double kLarge = 0.020, kSmall = 0.015;  // radii [m]
constexpr int kSteps = 500;
const Domain kDomain{0.6, 0.6, -0.3, 0.3};
const Vec3 kDrift(2.0, -1.0, 0.5);  // [m/s]

struct Meeting {
  GrainSet start;
  KernelSettings settings;
  HertzImpact impact;
  double speed;  ///< of approach [m/s]
};

/// At about 50 degrees to the line of centres, so that the contact sticks and slides, 400 steps
/// long; the first touches the second at the middle of the domain.
Meeting obliqueMeeting() {
  ImpactScene scene;
  scene.material.youngModulus = 1e8;
  scene.material.friction = 0.4;
  scene.material.rollingFriction = 0.1;
  scene.material.restitutionCoefficient = 0.7;
  const Vec3 line = Vec3(0.6, 0.5, -0.4).normalized();  // from first to second
  const Vec3 velocity(0.9, -0.35, 0.1);                 // of approach
  const double closing = velocity.dot(line);
  const auto mass = [&](double r) { return scene.material.density * 4.0 / 3.0 * kPi * r * r * r; };
  const double reducedMass = mass(kLarge) * mass(kSmall) / (mass(kLarge) + mass(kSmall));
  const double young = scene.material.youngModulus, poisson = scene.material.poissonRatio;
  Meeting meeting;
  meeting.impact = hertzImpact(effectiveModuli(young, poisson, young, poisson).young,
                               kLarge * kSmall / (kLarge + kSmall), reducedMass, closing);
  scene.timeStep = meeting.impact.duration / 400.0;
  scene.first.radius = kLarge;
  scene.second.radius = kSmall;
  scene.first.velocity = 0.5 * velocity;
  scene.second.velocity = -0.5 * velocity;
  scene.first.spin = Vec3(8.0, -15.0, 11.0);
  scene.second.spin = Vec3(-20.0, 5.0, 9.0);
  scene.second.position = (kLarge + kSmall) * line + 3.3 * scene.timeStep * closing * line;
  meeting.settings = settingsOf(scene);
  meeting.start = sceneOf(kDomain, {scene.first, scene.second});
  meeting.speed = velocity.norm();
  return meeting;
}

GrainSet run(KernelKind kind, const Meeting& meeting, const GrainSet& start) {
  const auto kernel = makeKernel(kind, start, meeting.settings);
  steps(*kernel, kSteps);
  return kernel->store();
}

/// Of a velocity, or of a spin times the radius [m/s].
double bound(KernelKind kind, const Meeting& meeting) {
  const bool isFast = kind == KernelKind::kFast;
  const double unit = std::ldexp(1.0, isFast ? -24 : -53);
  const double place = isFast ? std::ldexp(kDomain.lengthX, -32) : unit * kDomain.lengthX;
  const double overlap = 4.5 * unit * (kLarge + kSmall) + 2.0 * place;
  return 3.0 * unit * (kDrift.norm() + meeting.speed) * std::sqrt(kSteps) +
         8.0 * meeting.speed * overlap / meeting.impact.largestOverlap;
}

/// Largest difference of what the two left with [m/s].
double difference(const GrainSet& a, const GrainSet& b) {
  double largest = 0.0;
  for (std::size_t id = 0; id < a.size(); ++id) {
    largest = std::max(largest, (a.velocity[id] - b.velocity[id]).norm());
    largest = std::max(largest, a.radius[id] * (a.spin[id] - b.spin[id]).norm());
  }
  return largest;
}

}  // namespace

class ImpactInvarianceTest : public KernelTest {};

TEST_P(ImpactInvarianceTest, BoundIsFarBelowWhatTheImpactChanges) {
  const Meeting meeting = obliqueMeeting();
  const GrainSet end = run(GetParam(), meeting, meeting.start);
  EXPECT_GT((end.position[1] - end.position[0]).norm(), kLarge + kSmall) << "still touching";
  EXPECT_GT((end.velocity[1] - end.velocity[0]).dot(end.position[1] - end.position[0]), 0.0);
  double change = meeting.speed;
  for (std::size_t id = 0; id < 2; ++id) {
    change = std::min(change, (end.velocity[id] - meeting.start.velocity[id]).norm());
    change = std::min(change, end.radius[id] * (end.spin[id] - meeting.start.spin[id]).norm());
  }
  EXPECT_GT(change, 0.05 * meeting.speed);
  EXPECT_LT(bound(GetParam(), meeting), (isReference() ? 1e-10 : 0.01) * change);
}

// Here and there, and across the edges of the domain.
TEST_P(ImpactInvarianceTest, TheyPartTheSameWayElsewhere) {
  const Meeting meeting = obliqueMeeting();
  const GrainSet here = run(GetParam(), meeting, meeting.start);
  for (const Vec3& shift : {Vec3(0.1234, -0.0871, 0.0567), Vec3(0.29, 0.0, 0.0),
                            Vec3(-0.1, 0.285, -0.1), Vec3(0.287, 0.288, 0.0)}) {
    GrainSet moved = meeting.start;
    for (Vec3& position : moved.position) {
      position += shift;
      for (int axis = 0; axis < 2; ++axis)
        position[axis] -= kDomain.lengthX * std::round(position[axis] / kDomain.lengthX);
    }
    EXPECT_LE(difference(here, run(GetParam(), meeting, moved)), bound(GetParam(), meeting))
        << "moved by " << shift.transpose() << " m";
  }
}

// The drift carries them over two edges of the domain while they touch.
TEST_P(ImpactInvarianceTest, TheyPartTheSameWayWhileBothDrift) {
  const Meeting meeting = obliqueMeeting();
  const GrainSet here = run(GetParam(), meeting, meeting.start);
  for (const Vec3& drift : {kDrift, Vec3(-kDrift), Vec3(0.0, 0.0, kDrift.norm())}) {
    GrainSet moving = meeting.start;
    for (Vec3& velocity : moving.velocity) velocity += drift;
    GrainSet there = run(GetParam(), meeting, moving);
    for (Vec3& velocity : there.velocity) velocity -= drift;
    EXPECT_LE(difference(here, there), bound(GetParam(), meeting))
        << "drift " << drift.transpose() << " m/s";
  }
}

TEST_P(ImpactInvarianceTest, TheyPartTheSameWayInTheMirror) {
  const Meeting meeting = obliqueMeeting();
  const GrainSet here = run(GetParam(), meeting, meeting.start);
  for (int axis = 0; axis < 3; ++axis) {
    const auto mirrored = [axis](GrainSet set) {
      for (std::size_t id = 0; id < set.size(); ++id) {
        set.position[id][axis] *= -1.0;
        set.velocity[id][axis] *= -1.0;
        set.spin[id] *= -1.0;
        set.spin[id][axis] *= -1.0;
      }
      return set;
    };
    const GrainSet there = mirrored(run(GetParam(), meeting, mirrored(meeting.start)));
    EXPECT_LE(difference(here, there), bound(GetParam(), meeting)) << "along axis " << axis;
  }
}

HOLDGROUND_ON_EVERY_KERNEL(ImpactInvarianceTest);

}  // namespace holdground
