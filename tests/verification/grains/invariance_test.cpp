// A bed goes the same way wherever it lies, however fast it drifts and in the mirror, and keeps its
// momentum: a weightless cloud of colliding grains, the same cloud falling together under gravity,
// and a settled bed under water whose upper half is pushed along. Newton's laws; no published
// figure is needed. The last has no drift: water and held grains stand still.
//
// The bounds. Rounding acts like small kicks to positions, which collisions enlarge. How much they
// enlarge is measured: a second run starts with every coordinate displaced by up to kNudge, and the
// growth is what becomes of that. The kicks themselves are derived from the number types.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/beds.hpp"

namespace holdground {
namespace {

constexpr int kSteps = 300;
constexpr double kNudge = 1e-7;  ///< [m]
constexpr double kDrift = 1.0;   ///< [m/s]

struct Scene {
  const char* name;
  GrainSet start;
  KernelSettings settings;
};

GrainSet denseCloud() {
  CloudShape shape;
  shape.across = 7;
  shape.layers = 7;
  shape.spacing = 2.05;
  shape.spread = 0.1;
  shape.speed = 0.3;
  GrainSet set = cloudOf(shape);
  // Push it together: grains meet early and often.
  for (std::size_t id = 0; id < set.size(); ++id)
    set.velocity[id].z() += set.position[id].z() > 0.15 ? -0.3 : 0.3;
  return set;
}

Scene weightlessCloud() { return {"weightless cloud", denseCloud(), weightlessSettings()}; }

Scene fallingCloud() {
  Scene scene = {"falling cloud", denseCloud(), weightlessSettings()};
  scene.settings.gravity = kStandardGravity;
  return scene;
}

Scene pushedBedScene() { return {"pushed bed under water", pushedBed(), bedSettings()}; }

GrainSet run(KernelKind kind, const GrainSet& start, const KernelSettings& settings) {
  const auto kernel = makeKernel(kind, start, settings);
  steps(*kernel, kSteps);
  return kernel->store();
}
GrainSet run(KernelKind kind, const Scene& scene) { return run(kind, scene.start, scene.settings); }

/// What one metre of displacement at the start becomes at the end.
double growth(KernelKind kind, const Scene& scene, const GrainSet& end) {
  std::mt19937 engine(11);
  std::uniform_real_distribution<double> unit(-1.0, 1.0);
  GrainSet nudged = scene.start;
  for (Vec3& position : nudged.position)
    position += kNudge * Vec3(unit(engine), unit(engine), unit(engine));
  return largestDistance(end, run(kind, nudged, scene.settings)) / kNudge;
}

/// Displacement [m] that rounding gives a grain over the run, before collisions enlarge it: a
/// velocity is rounded every step (random walk, summed once more to a position), and so is the
/// distance of two grains, which acts as a displacement of that size.
double roundingDisplacement(KernelKind kind, const Scene& scene) {
  const double unit = kind == KernelKind::kReference ? std::ldexp(1.0, -53) : std::ldexp(1.0, -24);
  const double speed = kDrift + 1.0;
  const double length = scene.start.domain.lengthX;
  const double position = kind == KernelKind::kReference ? unit * length : length * 2.4e-10;
  const double distance = unit * 0.08;
  return unit * speed * scene.settings.timeStep * std::pow(kSteps, 1.5) +
         (distance + position) * std::sqrt(kSteps);
}

/// @param end  of the scene's own run
double bound(KernelKind kind, const Scene& scene, const GrainSet& end) {
  // Three times: the largest of some hundred grains against a typical one.
  return 3.0 * growth(kind, scene, end) * roundingDisplacement(kind, scene);
}

GrainSet shifted(GrainSet set, const Vec3& shift) {
  for (Vec3& position : set.position) {
    position += shift;
    // Into the domain again: what is given must lie in it.
    for (int axis = 0; axis < 2; ++axis)
      position[axis] -= set.domain.lengthX * std::round(position[axis] / set.domain.lengthX);
  }
  return set;
}

/// In the plane y = 0; contacts that are remembered too.
GrainSet mirrored(GrainSet set) {
  const auto polar = [](Vec3& v) { v.y() *= -1.0; };
  const auto axial = [](Vec3& v) { v = Vec3(-v.x(), v.y(), -v.z()); };
  for (std::size_t id = 0; id < set.size(); ++id) {
    polar(set.position[id]);
    polar(set.velocity[id]);
    axial(set.spin[id]);
  }
  for (ContactMemory& contact : set.contacts) {
    polar(contact.tangentialForce);
    axial(contact.rollingMoment);
  }
  return set;
}

}  // namespace

class BedInvarianceTest : public KernelTest {};

TEST_P(BedInvarianceTest, BoundIsFarBelowTheMotionItself) {
  for (const Scene& scene : {weightlessCloud(), fallingCloud(), pushedBedScene()}) {
    const GrainSet end = run(GetParam(), scene);
    const double moved = largestDistance(scene.start, end);
    EXPECT_GT(moved, 2e-3) << scene.name;
    EXPECT_LT(bound(GetParam(), scene, end), (isReference() ? 1e-8 : 0.05) * moved) << scene.name;
  }
}

TEST_P(BedInvarianceTest, GoesTheSameWayElsewhere) {
  const Vec3 shift(0.123, -0.087, 0.0);
  for (const Scene& scene : {weightlessCloud(), fallingCloud(), pushedBedScene()}) {
    const GrainSet here = run(GetParam(), scene);
    const GrainSet there = run(GetParam(), shifted(scene.start, shift), scene.settings);
    EXPECT_LE(largestDistance(here, shifted(there, -shift)), bound(GetParam(), scene, here))
        << scene.name;
  }
}

TEST_P(BedInvarianceTest, GoesTheSameWayWhileItDrifts) {
  const Vec3 drift(kDrift, 0.5 * kDrift, 0.1 * kDrift);
  for (const Scene& scene : {weightlessCloud(), fallingCloud()}) {
    GrainSet moving = scene.start;
    for (Vec3& velocity : moving.velocity) velocity += drift;
    const GrainSet here = run(GetParam(), scene);
    GrainSet there = run(GetParam(), moving, scene.settings);
    for (Vec3& position : there.position) position -= kSteps * scene.settings.timeStep * drift;
    EXPECT_LE(largestDistance(here, there), bound(GetParam(), scene, here)) << scene.name;
  }
}

TEST_P(BedInvarianceTest, GoesTheSameWayInTheMirror) {
  for (const Scene& scene : {weightlessCloud(), fallingCloud(), pushedBedScene()}) {
    const GrainSet here = run(GetParam(), scene);
    const GrainSet there = mirrored(run(GetParam(), mirrored(scene.start), scene.settings));
    EXPECT_LE(largestDistance(here, there), bound(GetParam(), scene, here)) << scene.name;
  }
}

// Each velocity is rounded once a step to half a unit in its last place: a random walk over grains
// and steps. Ten times that; the reference to 1e-10 in any case. Gravity gives each grain g t, and
// half a step of it more, as the start's velocity stands half a step early. All grains gain the
// same each step, which may be rounded the same way each time: no walk, but half a unit every step.
TEST_P(BedInvarianceTest, MomentumIsKept) {
  for (const Scene& scene : {weightlessCloud(), fallingCloud()}) {
    const GrainSet end = run(GetParam(), scene);
    const Vec3 gained(0.0, 0.0, -scene.settings.gravity * (kSteps + 0.5) * scene.settings.timeStep);
    const std::size_t count = scene.start.size();
    Vec3 change = Vec3::Zero();
    double total = 0.0;
    for (std::size_t id = 0; id < count; ++id) {
      const double mass = massOf(scene.settings, scene.start.radius[id]);
      change += mass * (end.velocity[id] - scene.start.velocity[id] - gained);
      total += mass * scene.start.velocity[id].norm();
    }
    const double unit = std::ldexp(1.0, -24);
    const double steady = scene.settings.gravity > 0.0 ? kSteps * unit : 0.0;
    const double walk = unit * std::sqrt(static_cast<double>(kSteps) / static_cast<double>(count));
    EXPECT_LE(change.norm() / total, isReference() ? 1e-10 : 10.0 * walk + steady) << scene.name;
  }
}

HOLDGROUND_ON_EVERY_KERNEL(BedInvarianceTest);

}  // namespace holdground
