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

GrainMaterial elasticMaterial(const Case& c) {
  GrainMaterial material;
  material.youngModulus = c.young;
  material.poissonRatio = c.poisson;
  material.density = c.density;
  material.friction = 0.35;
  material.restitutionCoefficient = 1.0;
  return material;
}

/// Root mean square error of the peak overlap over several first-touch phases within a step.
double peakError(KernelKind kind, const Case& c, double stepsPerContact) {
  double sum = 0.0;
  constexpr int kPhases = 6;
  for (int phase = 0; phase < kPhases; ++phase) {
    const double delay = 3.0 + (phase + 0.5) / kPhases;
    const ImpactResult result =
        runImpact(kind, headOnScene(elasticMaterial(c), c.radius, c.relativeSpeed,
                                    c.duration / stepsPerContact, delay));
    const double error = result.largestOverlap / c.largestOverlap - 1.0;
    sum += error * error;
  }
  return std::sqrt(sum / kPhases);
}

}  // namespace

TEST(HertzClosedForm, EvaluatesToTheTabulatedCases) {
  for (const Case& c : kCases) {
    const double mass = c.density * 4.0 / 3.0 * kPi * std::pow(c.radius, 3);
    const HertzImpact impact =
        hertzImpact(effectiveModuli(c.young, c.poisson, c.young, c.poisson).young, 0.5 * c.radius,
                    0.5 * mass, c.relativeSpeed);
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
// recovered for Hertz. Doubling the steps twice divides the error by 16; the fast kernel reaches
// the floor of its positions (overlap known to about 1e-9 m of 2.7e-4 m) on the way.
TEST_P(HertzImpactTest, PeakOverlapConvergesAtSecondOrder) {
  const Case& c = kCases[0];
  const double floor = isReference() ? 0.0 : 1e-5;
  const double coarse = peakError(GetParam(), c, 25.0);
  const double fine = peakError(GetParam(), c, 100.0);
  EXPECT_LT(coarse, 5e-3);
  EXPECT_LT(fine, coarse / std::pow(4.0, 1.8) + floor)
      << "errors " << coarse << " at 25 steps a contact, " << fine << " at 100";
  if (isReference()) {
    const double finest = peakError(GetParam(), c, 400.0);
    EXPECT_LT(finest, fine / std::pow(4.0, 1.8)) << "error " << finest << " at 400 steps";
  }
}

TEST_P(HertzImpactTest, ElasticImpactKeepsItsEnergy) {
  const Case& c = kCases[3];
  const ImpactResult result = runImpact(
      GetParam(), headOnScene(elasticMaterial(c), c.radius, c.relativeSpeed, c.duration / 100.0));
  EXPECT_NEAR(result.ledger.dissipated(), 0.0, 1e-6 * result.ledger.kinetic);
  EXPECT_NEAR(result.ledger.elasticNormal, 0.0, 1e-12 * result.ledger.kinetic);
}

HOLDGROUND_ON_EVERY_KERNEL(HertzImpactTest);

}  // namespace holdground
