// A cloud of colliding grains goes the same way wherever it is, however fast it drifts and in the
// mirror; it keeps its momentum. Newton's laws; no published figure is needed.
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

GrainSet run(KernelKind kind, const GrainSet& start, const KernelSettings& settings) {
  const auto kernel = makeKernel(kind, start, settings);
  steps(*kernel, kSteps);
  return kernel->store();
}

/// What one metre of displacement at the start becomes at the end.
double growth(KernelKind kind, const GrainSet& start, const KernelSettings& settings) {
  std::mt19937 engine(11);
  std::uniform_real_distribution<double> unit(-1.0, 1.0);
  GrainSet nudged = start;
  for (Vec3& position : nudged.position)
    position += kNudge * Vec3(unit(engine), unit(engine), unit(engine));
  return largestDistance(run(kind, start, settings), run(kind, nudged, settings)) / kNudge;
}

/// Displacement [m] that rounding gives a grain over the run, before collisions enlarge it: a
/// velocity is rounded every step (random walk, summed once more to a position), and so is the
/// distance of two grains, which acts as a displacement of that size.
double roundingDisplacement(KernelKind kind, const GrainSet& start,
                            const KernelSettings& settings) {
  const double unit = kind == KernelKind::kReference ? std::ldexp(1.0, -53) : std::ldexp(1.0, -24);
  const double speed = kDrift + 1.0;
  const double position =
      kind == KernelKind::kReference ? unit * start.domain.lengthX : start.domain.lengthX * 2.4e-10;
  const double distance = unit * 0.08;
  return unit * speed * settings.timeStep * std::pow(kSteps, 1.5) +
         (distance + position) * std::sqrt(kSteps);
}

double bound(KernelKind kind, const GrainSet& start, const KernelSettings& settings) {
  // Three times: the largest of some hundred grains against a typical one.
  return 3.0 * growth(kind, start, settings) * roundingDisplacement(kind, start, settings);
}

}  // namespace

class BedInvarianceTest : public KernelTest {};

TEST_P(BedInvarianceTest, BoundIsFarBelowTheMotionItself) {
  const KernelSettings settings = weightlessSettings();
  const GrainSet start = denseCloud();
  const double moved = largestDistance(start, run(GetParam(), start, settings));
  EXPECT_GT(moved, 2e-3);
  EXPECT_LT(bound(GetParam(), start, settings), (isReference() ? 1e-8 : 0.05) * moved);
}

TEST_P(BedInvarianceTest, GoesTheSameWayElsewhere) {
  const KernelSettings settings = weightlessSettings();
  const GrainSet start = denseCloud();
  const Vec3 shift(0.123, -0.087, 0.0);
  GrainSet moved = start;
  for (Vec3& position : moved.position) position += shift;
  // Into the domain again: what is given must lie in it.
  for (Vec3& position : moved.position)
    for (int axis = 0; axis < 2; ++axis)
      position[axis] -= start.domain.lengthX * std::round(position[axis] / start.domain.lengthX);
  const GrainSet here = run(GetParam(), start, settings);
  GrainSet there = run(GetParam(), moved, settings);
  for (Vec3& position : there.position) position -= shift;
  EXPECT_LE(largestDistance(here, there), bound(GetParam(), start, settings));
}

TEST_P(BedInvarianceTest, GoesTheSameWayWhileItDrifts) {
  const KernelSettings settings = weightlessSettings();
  const GrainSet start = denseCloud();
  const Vec3 drift(kDrift, 0.5 * kDrift, 0.1 * kDrift);
  GrainSet moving = start;
  for (Vec3& velocity : moving.velocity) velocity += drift;
  const GrainSet here = run(GetParam(), start, settings);
  GrainSet there = run(GetParam(), moving, settings);
  for (Vec3& position : there.position) position -= kSteps * settings.timeStep * drift;
  EXPECT_LE(largestDistance(here, there), bound(GetParam(), start, settings));
}

TEST_P(BedInvarianceTest, GoesTheSameWayInTheMirror) {
  const KernelSettings settings = weightlessSettings();
  const GrainSet start = denseCloud();
  const auto mirror = [](GrainSet set) {
    for (std::size_t id = 0; id < set.size(); ++id) {
      set.position[id].y() *= -1.0;
      set.velocity[id].y() *= -1.0;
      set.spin[id] = Vec3(-set.spin[id].x(), set.spin[id].y(), -set.spin[id].z());
    }
    return set;
  };
  const GrainSet here = run(GetParam(), start, settings);
  const GrainSet there = mirror(run(GetParam(), mirror(start), settings));
  EXPECT_LE(largestDistance(here, there), bound(GetParam(), start, settings));
}

// Each velocity is rounded once a step to half a unit in its last place: a random walk over grains
// and steps. Ten times that; the reference to 1e-10 in any case.
TEST_P(BedInvarianceTest, MomentumIsKept) {
  const KernelSettings settings = weightlessSettings();
  const GrainSet start = denseCloud();
  const GrainSet end = run(GetParam(), start, settings);
  Vec3 change = Vec3::Zero();
  double total = 0.0;
  for (std::size_t id = 0; id < start.size(); ++id) {
    const double mass = massOf(settings, start.radius[id]);
    change += mass * (end.velocity[id] - start.velocity[id]);
    total += mass * start.velocity[id].norm();
  }
  const double walk = std::ldexp(1.0, -24) *
                      std::sqrt(static_cast<double>(kSteps) / static_cast<double>(start.size()));
  EXPECT_LE(change.norm() / total, isReference() ? 1e-10 : 10.0 * walk);
}

HOLDGROUND_ON_EVERY_KERNEL(BedInvarianceTest);

}  // namespace holdground
