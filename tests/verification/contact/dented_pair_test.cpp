// Two grains that keep a dent, through the whole kernel: force along a loop of pressing, easing and
// pulling, and the rebound of an impact, in closed form.
#include <gtest/gtest.h>

#include <cmath>

#include "solver/contact/hertz_mindlin.hpp"
#include "tests/support/elasto_plastic.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

constexpr double kRadius = 0.01;
constexpr double kReduced = 0.5 * kRadius;
constexpr double kMost = 2e-4;  // greatest overlap [m]

/// k1 = 1e5, k2 = 5e5, k_adh = 1e5 N/m^1.5, f0 = -1 mN, no dashpot.
KernelSettings loopSettings() {
  KernelSettings settings;
  settings.material.poissonRatio = 0.0;
  settings.material.youngModulus = 2.0 * 0.75e5 / std::sqrt(kReduced);  // E* = E/2
  settings.material.restitutionCoefficient = 1.0;
  settings.material.pullOffStress = 1e-3 / (16.0 * kReduced * kReduced);
  settings.material.plasticity = 0.8;
  settings.material.adhesiveShare = 1.0;
  settings.material.density = 1e15;  // so heavy that nothing stops them
  settings.gravity = 0.0;
  settings.water.density = 0.0;
  settings.timeStep = 1e-4;
  return settings;
}

const ElastoPlastic kLaw{1e5, 5e5, 1e5, -1e-3, 1.5};

/// Force between two grains, pushing is positive [N].
double forceOf(const GrainKernel& kernel) {
  double force = 0.0;
  kernel.visitPairs(
      [&](const PairSample& pair) { force = pair.force.dot(pair.branch.normalized()); });
  return force;
}

/// Two grains just apart, across the edge of the domain; ids in either order.
GrainSet meetingPair(double speed, bool swapped) {
  Ball left, right;
  left.radius = right.radius = kRadius;
  left.position = Vec3(0.3 - kRadius, 0.0, 0.0);
  right.position = Vec3(-0.3 + kRadius + 1e-7, 0.0, 0.0);
  left.velocity = Vec3(speed, 0.0, 0.0);
  const Domain domain{0.6, 0.3, -0.3, 0.3};
  return swapped ? sceneOf(domain, {right, left}) : sceneOf(domain, {left, right});
}

double gapTo(const GrainKernel& kernel) {
  Vec3 d = grainOf(kernel, 1).position - grainOf(kernel, 0).position;
  d.x() -= 0.6 * std::round(d.x() / 0.6);
  return d.norm() - 2.0 * kRadius;
}

/// Overlap to which each leg of the loop goes [m].
constexpr double kLegs[] = {kMost, 1.6e-4, 1.9e-4, 1.0e-4, 1.5e-4, 0.4e-4, 2.4e-4, 1.2e-4};

}  // namespace

class DentedPairTest : public KernelTest {};

// The published branches at every overlap of the loop. Overlaps of the fast kernel are known to
// some 1e-9 m, of 2e-4: 1e-5 times 3/2 k2/k1.
TEST_P(DentedPairTest, FollowsThePublishedBranches) {
  for (const bool swapped : {false, true}) {
    const KernelSettings settings = loopSettings();
    constexpr double kSpeed = 1e-3;  // 1e-7 m a step
    auto kernel = kernelOf(meetingPair(kSpeed, swapped), settings);
    double memory = 0.0, largest = 0.0, smallest = 0.0, direction = 1.0;
    for (const double goal : kLegs) {
      // Turned round: what the contact remembers goes along in the exchange form.
      const double wanted = goal > -gapTo(*kernel) ? 1.0 : -1.0;
      if (wanted != direction) {
        GrainSet set = kernel->store();
        for (Vec3& velocity : set.velocity) velocity *= -1.0;
        kernel = kernelOf(set, settings);
        direction = wanted;
      }
      while (direction * (goal + gapTo(*kernel)) > 0.0) {
        kernel->updateNeighbours();
        const double overlap = -gapTo(*kernel), force = forceOf(*kernel);
        const double expected = elastoPlasticForce(kLaw, overlap, memory);
        if (overlap > 1e-6) {
          ASSERT_NEAR(force, expected, (isReference() ? 1e-9 : 1e-4) * 0.2828)
              << "overlap " << overlap << ", goal " << goal;
        }
        largest = std::max(largest, force);
        smallest = std::min(smallest, force);
        kernel->advance();
      }
      if (goal == kMost) {
        EXPECT_NEAR(largest, 0.2818427, 5e-4);  // a step short
      }
      if (goal == 1.0e-4) {
        EXPECT_NEAR(smallest, -0.1895618, 5e-4);
      }
    }
  }
}

// No dashpot, no f0: what is lost of 0.4 H(dmax) dmax is 1.5 m lambda (1 - c1/c2) of it, so e^2 = 1
// less that; without adhesion (c2 = 1) e^2 = (1 - 5/2 lambda + 3/2 lambda^(5/3))/(1 - lambda).
// Where more would be lost than there is, they stay together. A hundred steps a contact: 1e-3.
TEST_P(DentedPairTest, ReboundsByItsClosedForm) {
  KernelSettings settings = loopSettings();
  settings.material.density = 2650.0;
  settings.material.pullOffStress = 0.0;
  settings.timeStep = 2e-6;
  const auto noAdhesion = [](double l) {
    return (1.0 - 2.5 * l + 1.5 * std::pow(l, 5.0 / 3.0)) / (1.0 - l);
  };
  const double c1 = std::pow(0.3, 2.0 / 3.0), c2 = std::pow(1.0 + 0.5 * 0.7, 2.0 / 3.0);
  struct Case {
    double lambda, kappa, squared;
  };
  for (const auto& [lambda, kappa, squared] :
       {Case{0.75, 0.0, noAdhesion(0.75)}, Case{0.3, 0.5, 1.0 - 1.5 * 0.3 / 0.7 * (1.0 - c1 / c2)},
        Case{0.75, 1.0, 0.0}}) {
    settings.material.plasticity = lambda;
    settings.material.adhesiveShare = kappa;
    const double speed = 0.1;
    const auto kernel = kernelOf(meetingPair(speed, false), settings);
    kernel->updateNeighbours();
    const EnergyLedger start = kernel->energy();
    steps(*kernel, 4000);
    const double parting =
        (grainOf(*kernel, 1).velocity - grainOf(*kernel, 0).velocity).x() / speed;
    const EnergyLedger end = kernel->energy();
    // Kinetic energy of the motion toward each other is half of it: equal grains, one at rest.
    const double impact = 0.5 * start.kinetic;
    if (squared > 0.0) {
      EXPECT_NEAR(parting, std::sqrt(squared), 2e-3) << lambda;
      EXPECT_NEAR(end.plastic / impact, 1.0 - squared, 4e-3) << lambda;
      EXPECT_EQ(end.elasticNormal, 0.0);
    } else {
      EXPECT_GT(-gapTo(*kernel), 0.0) << "they stay together";
      EXPECT_GT(end.plastic, 0.3 * impact);
    }
    EXPECT_LT(std::abs(energyResidual(start, end)), 2e-3 * impact);
  }
}

HOLDGROUND_ON_EVERY_KERNEL(DentedPairTest);

}  // namespace holdground
