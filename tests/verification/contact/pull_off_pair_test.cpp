// Two grains that stick: they stay together below the speed that the depth of their potential
// gives, and above it part with what is left. Closed form: with f0 = 4/3 E* sqrt(R*) d0^(3/2) at
// rest, the energy is f0 (2/5) d0 - f0 (d0 + g/2) there and 0 when they are apart.
#include <gtest/gtest.h>

#include <cmath>

#include "solver/contact/hertz_mindlin.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

constexpr double kRadius = 0.01;
constexpr double kReduced = 0.5 * kRadius;

KernelSettings stickySettings() {
  KernelSettings settings;
  settings.material.youngModulus = 1.0e7;
  settings.material.restitutionCoefficient = 1.0;  // no dashpot: the potential alone
  settings.material.pullOffStress = 20.0e3;
  settings.gravity = 0.0;
  settings.water.density = 0.0;
  settings.timeStep = 2.0e-6;
  return settings;
}

struct Rest {
  double overlap;  ///< d0 [m]
  double depth;    ///< of the potential [J]
};

Rest restOf(const KernelSettings& settings) {
  const ContactLaw law = contactLaw(settings.material);
  const double force = law.pullOff.force(kReduced);
  const double overlap =
      std::pow(force / (4.0 / 3.0 * law.effectiveYoung * std::sqrt(kReduced)), 2.0 / 3.0);
  return {overlap, force * (0.6 * overlap + 0.5 * law.pullOff.gap(kReduced))};
}

/// Two grains at rest overlap that part at a share of the speed of escape [-].
std::unique_ptr<GrainKernel> partingPair(KernelKind kind, const KernelSettings& settings,
                                         double share, double* escape) {
  const Rest rest = restOf(settings);
  const double mass = massOf(settings, kRadius);
  *escape = std::sqrt(2.0 * rest.depth / (0.5 * mass));
  const double half = 0.5 * share * *escape;
  Ball left, right;
  left.radius = right.radius = kRadius;
  left.position = Vec3(-kRadius + 0.5 * rest.overlap, 0.0, 0.0);
  right.position = -left.position;
  left.velocity = Vec3(-half, 0.0, 0.0);
  right.velocity = -left.velocity;
  return makeKernel(kind, sceneOf(Domain{0.6, 0.3, -0.3, 0.3}, {left, right}), settings);
}

double gapOf(const GrainKernel& kernel) {
  return (grainOf(kernel, 1).position - grainOf(kernel, 0).position).norm() - 2.0 * kRadius;
}

}  // namespace

class PullOffPairTest : public KernelTest {};

TEST_P(PullOffPairTest, StaysTogetherBelowTheSpeedOfEscape) {
  const KernelSettings settings = stickySettings();
  double escape = 0.0;
  const auto kernel = partingPair(GetParam(), settings, 0.98, &escape);
  const double range = contactLaw(settings.material).pullOff.gap(kReduced);
  const double depth = restOf(settings).depth;
  double widest = 0.0, worst = 0.0;
  kernel->updateNeighbours();  // energies of pairs are those of the list
  const double start = kernel->energy().stored();
  for (int k = 0; k < 4000; ++k) {
    steps(*kernel, 10);
    widest = std::max(widest, gapOf(*kernel));
    worst = std::max(worst, std::abs(kernel->energy().stored() - start));
  }
  // Turning point: f0 (g - x)^2/(2 g) = (1 - 0.98^2) depth, near the end of the range.
  EXPECT_LT(widest, range);
  EXPECT_GT(widest, 0.5 * range);
  // Leapfrog at 1/300 of the period, and kinks at both ends of the range: far below a hundredth.
  EXPECT_LT(worst, 0.01 * depth);
}

TEST_P(PullOffPairTest, PartsWithWhatTheWellLeaves) {
  const KernelSettings settings = stickySettings();
  double escape = 0.0;
  const auto kernel = partingPair(GetParam(), settings, 1.25, &escape);
  steps(*kernel, 20000);
  ASSERT_GT(gapOf(*kernel), 2.0 * contactLaw(settings.material).pullOff.gap(kReduced));
  const double speed = (grainOf(*kernel, 1).velocity - grainOf(*kernel, 0).velocity).x();
  // sqrt(1.25^2 - 1) = 3/4; energy to a hundredth of the depth is speed to 0.01/(2 (3/4)^2).
  EXPECT_NEAR(speed / escape, 0.75, 0.009);
}

HOLDGROUND_ON_EVERY_KERNEL(PullOffPairTest);

}  // namespace holdground
