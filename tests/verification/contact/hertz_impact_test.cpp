// Head-on elastic impact of two equal spheres against Hertz's closed form.
// Source: Hertz 1882; Johnson 1985, Contact Mechanics, ch. 11; Timoshenko & Goodier 1970, art. 142.
// Case A is the first benchmark of Chung & Ooi 2011, Granular Matter 13:643 (inputs from memory).
#include <gtest/gtest.h>

#include <cmath>

#include "solver/material/effective_moduli.hpp"
#include "tests/support/impact.hpp"

namespace holdground {
namespace {

struct Case {
  const char* name;
  double young, poisson, density, radius, relativeSpeed;
  double largestOverlap, largestForce, duration;  ///< closed form, evaluated independently
};

constexpr Case kCases[] = {
    {"glass at 20 m/s", 4.8e10, 0.20, 2800.0, 0.010, 20.0, 2.74113e-4, 10696.9, 4.03395e-5},
    {"glass at 10 m/s", 4.8e10, 0.20, 2800.0, 0.010, 10.0, 1.57436e-4, 4656.09, 4.63379e-5},
    {"sand-size, softened", 1.0e7, 0.30, 2650.0, 0.005, 0.1, 5.61972e-5, 0.154316, 1.65404e-3},
    {"cobble, softened", 1.0e8, 0.25, 2650.0, 0.05, 0.5, 8.20470e-4, 264.242, 4.82974e-3}};

constexpr double kWidth = 0.17;  ///< of the domain where overlaps are measured finely [m]

GrainMaterial elasticMaterial(const Case& c) {
  GrainMaterial material;
  material.youngModulus = c.young;
  material.poissonRatio = c.poisson;
  material.density = c.density;
  material.friction = 0.35;
  material.restitutionCoefficient = 1.0;
  return material;
}

HertzImpact closedForm(const Case& c) {
  const double mass = c.density * 4.0 / 3.0 * kPi * std::pow(c.radius, 3);
  return hertzImpact(effectiveModuli(c.young, c.poisson, c.young, c.poisson).young, 0.5 * c.radius,
                     0.5 * mass, c.relativeSpeed);
}

struct PeakError {
  double mean, rootMeanSquare;  ///< of the peak overlap, over the closed form's [-]
};

/// Over several first-touch phases within a step. The domain's width is no simple multiple of the
/// radius, so that the one's rounding does not make up for that of the other.
PeakError peakError(KernelKind kind, const Case& c, double stepsPerContact) {
  const HertzImpact exact = closedForm(c);
  double sum = 0.0, squares = 0.0;
  constexpr int kPhases = 6;
  for (int phase = 0; phase < kPhases; ++phase) {
    const double delay = 3.0 + (phase + 0.5) / kPhases;
    ImpactScene scene = headOnScene(elasticMaterial(c), c.radius, c.relativeSpeed,
                                    exact.duration / stepsPerContact, delay);
    scene.domain.lengthX = kWidth;
    const double error = runImpact(kind, scene).largestOverlap / exact.largestOverlap - 1.0;
    sum += error;
    squares += error * error;
  }
  return {sum / kPhases, std::sqrt(squares / kPhases)};
}

/// Half a unit in the last place of the kernel's numbers, over the number.
double roundingUnit(KernelKind kind) {
  return std::ldexp(1.0, kind == KernelKind::kFast ? -24 : -53);
}

/// Share of the peak overlap that the kernel's numbers can tell [-]. The distance d of the centres
/// is rounded five times on its way (difference, its unit, metres, square, root) and the sum of
/// radii once, each by up to a share u of d.
double overlapFloor(KernelKind kind, const Case& c) {
  return 6.0 * roundingUnit(kind) * 2.0 * c.radius / closedForm(c).largestOverlap;
}

}  // namespace

TEST(HertzClosedForm, EvaluatesToTheTabulatedCases) {
  for (const Case& c : kCases) {
    const HertzImpact impact = closedForm(c);
    EXPECT_NEAR(impact.largestOverlap / c.largestOverlap, 1.0, 4e-6) << c.name;
    EXPECT_NEAR(impact.largestForce / c.largestForce, 1.0, 4e-6) << c.name;
    EXPECT_NEAR(impact.duration / c.duration, 1.0, 4e-6) << c.name;
  }
}

class HertzImpactTest : public KernelTest {};

// At 100 steps a contact the leapfrog's own error is about (2 pi/200)^2/24, 4e-5; the rest of the
// 0.1 % on force and overlap and 0.2 % on duration is for where in a step the contact begins.
TEST_P(HertzImpactTest, PeakForceOverlapAndDurationAreTheClosedForm) {
  for (const Case& c : kCases) {
    const ImpactResult result = runImpact(
        GetParam(), headOnScene(elasticMaterial(c), c.radius, c.relativeSpeed, c.duration / 100.0));
    EXPECT_NEAR(result.largestOverlap / c.largestOverlap, 1.0, 1e-3) << c.name;
    EXPECT_NEAR(result.largestForce / c.largestForce, 1.0, 1e-3) << c.name;
    EXPECT_NEAR(result.duration / c.duration, 1.0, 2e-3) << c.name;
    const double parting = result.second.velocity.x() - result.first.velocity.x();
    EXPECT_NEAR(parting / c.relativeSpeed, 1.0, 1e-3) << c.name;
  }
}

// Danby, Shrimpton & Palmer 2013, Comput. Chem. Eng. 58:211: the full order of the integrator is
// recovered for Hertz. Doubling the steps twice divides the error by 16, down to the floor.
TEST_P(HertzImpactTest, PeakOverlapConvergesAtSecondOrder) {
  const Case& c = kCases[0];
  double coarse = peakError(GetParam(), c, 25.0).rootMeanSquare;
  EXPECT_LT(coarse, 5e-3);
  for (const double stepsPerContact : {100.0, 400.0, 1600.0}) {
    const double fine = peakError(GetParam(), c, stepsPerContact).rootMeanSquare;
    EXPECT_LT(fine, coarse / std::pow(4.0, 1.8) + overlapFloor(GetParam(), c))
        << "at " << stepsPerContact << " steps a contact";
    coarse = fine;
  }
}

// The floor of the fast kernel, reached: finer steps no longer help, and what stays follows from
// single precision. Its radii are off by a share a, its metres by a share b, both fixed by the
// numbers given: contact begins d (a - b) early and the peak is less by as much. A velocity is
// rounded by u/sqrt(3) of itself a step, a walk of sqrt(n/2) steps up to the turn, and the peak
// goes with its power 4/5; of that three times the mean over six phases is allowed.
TEST(HertzImpactFloor, IsTheRoundingOfRadiusAndMetres) {
  for (const double radius : {0.0100, 0.0107, 0.0111}) {
    Case c = kCases[0];
    c.radius = radius;
    const double metres = std::ldexp(kWidth, -32);  // of a domain unit, see packed_state.hpp
    const double a = static_cast<double>(static_cast<float>(radius)) / radius - 1.0;
    const double b = static_cast<double>(static_cast<float>(metres)) / metres - 1.0;
    const double expected = -(a - b) * 2.0 * radius / closedForm(c).largestOverlap;
    ASSERT_GT(std::abs(expected), 2e-6) << "radius and width round alike";
    EXPECT_LT(std::abs(expected), overlapFloor(KernelKind::kFast, c));
    for (const double n : {1600.0, 3200.0}) {
      const double error = peakError(KernelKind::kFast, c, n).mean;
      const double scheme = peakError(KernelKind::kReference, c, n).rootMeanSquare;
      EXPECT_LT(scheme, 0.1 * std::abs(expected)) << n << " steps a contact";
      const double walk =
          0.8 * roundingUnit(KernelKind::kFast) / std::sqrt(3.0) * std::sqrt(0.5 * n / 6.0);
      EXPECT_NEAR(error, expected, 3.0 * walk + scheme)
          << "radius " << radius << " m, " << n << " steps a contact";
    }
  }
}

// While they touch, the energy of a leapfrog sways about its start by dt^2 v^2 k'(1/12 + 1/2),
// where k' is the slope of the force and the half comes of a velocity seen half a step's change of
// force late; for Hertz that is at most 11/n^2 of the energy at n steps a contact. Where the
// contact begins and ends the slope begins within a step, and dt^2 v^2 k'/12 there, 0.3
// (2.94/n)^2.5 of the energy each, is not given back. The fast kernel knows the overlap to its
// floor, and elastic energy goes with its power 5/2.
TEST_P(HertzImpactTest, ElasticImpactKeepsItsEnergy) {
  const Case& c = kCases[3];
  const double mass = c.density * 4.0 / 3.0 * kPi * std::pow(c.radius, 3);
  const double start = 2.0 * 0.5 * mass * 0.25 * c.relativeSpeed * c.relativeSpeed;
  const double rounding = 2.5 * overlapFloor(GetParam(), c);
  for (const double n : {50.0, 100.0, 200.0}) {
    const ImpactScene scene =
        headOnScene(elasticMaterial(c), c.radius, c.relativeSpeed, c.duration / n);
    const auto kernel =
        kernelOf(sceneOf(scene.domain, {scene.first, scene.second}), settingsOf(scene));
    double sway = 0.0, mostElastic = 0.0;
    for (int k = 0; k < 1.2 * n + 6.0; ++k) {
      step(*kernel);
      const EnergyLedger now = kernel->energy();
      sway = std::max(sway, std::abs(now.stored() / start - 1.0));
      mostElastic = std::max(mostElastic, now.elasticNormal / start);
    }
    const EnergyLedger end = kernel->energy();
    EXPECT_GT(mostElastic, 0.99) << "at the turn all energy is elastic";
    EXPECT_LE(sway, 12.0 / (n * n) + rounding) << n << " steps a contact";
    EXPECT_LE(std::abs(end.kinetic / start - 1.0), 0.6 * std::pow(2.94 / n, 2.5) + rounding)
        << n << " steps a contact";
    EXPECT_NEAR(end.dissipated() / start, 0.0, 1e-6);
    EXPECT_EQ(end.elasticNormal, 0.0);
  }
}

HOLDGROUND_ON_EVERY_KERNEL(HertzImpactTest);

}  // namespace holdground
