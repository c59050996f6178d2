// A grain between as many neighbours as fit, pressed hard: the largest time step must still bring
// it to rest. Own analysis, see kLargestDashpot in solver/contact/hertz_mindlin.hpp.

#include <cmath>

#include "solver/state/stable_time_step.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

class SqueezedGrain : public KernelTest {};

/// One free grain with twelve frozen ones around it, at the corners of a cuboctahedron.
std::vector<Ball> twelveAround(double radius, double overlap) {
  std::vector<Ball> balls{{.position = Vec3::Zero(), .spin = Vec3(0.02, -0.03, 0.05)}};
  const double reach = (2.0 * radius - overlap) / std::sqrt(2.0);
  for (int axis = 0; axis < 3; ++axis)
    for (const double p : {-reach, reach})
      for (const double q : {-reach, reach}) {
        Vec3 place = Vec3::Zero();
        place[(axis + 1) % 3] = p;
        place[(axis + 2) % 3] = q;
        balls.push_back({.position = place, .frozen = true});
      }
  for (Ball& ball : balls) ball.radius = radius;
  return balls;
}

}  // namespace

TEST_P(SqueezedGrain, ComesToRestAtTheLargestTimeStep) {
  const double radius = 0.02;
  for (const double overlapRatio : {0.003, 0.02, 0.08}) {
    KernelSettings settings;
    settings.gravity = 0.0;
    settings.water.density = 0.0;
    const GrainSet set =
        sceneOf({1.0, 1.0, -0.5, 0.5}, twelveAround(radius, overlapRatio * 2.0 * radius));
    settings.timeStep = stableTimeStep(set, settings.material);
    const auto kernel = kernelOf(set, settings);
    steps(*kernel, 20000);
    // At first 0.06 rad/s; a chattering spin would grow or stay. What the dashpots leave is what
    // rounding stirs up: twelve forces of up to 1.3 kN that balance, of 2^-24 each in the fast
    // kernel, give 0.09 kg 3e-8 m/s in a step of 10 us, so a slide of 1.5e-6 rad/s at 20 mm; some
    // tens of steps add up, as a random walk, before damping forgets them. In double, 2^-29 of
    // that.
    const double tolerance = isReference() ? 2e-14 : 1e-5;
    EXPECT_LT(grainOf(*kernel, 0).spin.norm(), tolerance) << "overlap ratio " << overlapRatio;
  }
}

HOLDGROUND_ON_EVERY_KERNEL(SqueezedGrain);

}  // namespace holdground
