// The restitution in the file is the restitution that comes out, at any speed.
// Source: Tsuji, Tanaka & Ishida 1992 (damping that makes it independent of speed); third benchmark
// of Chung & Ooi 2011. The closed form of Antypov & Elliott 2011 would miss: a force that never
// pulls ends the contact earlier.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/impact.hpp"

namespace holdground {
namespace {

double measuredRestitution(KernelKind kind, double asked, double speed) {
  GrainMaterial material;
  material.youngModulus = 1.0e8;
  material.restitutionCoefficient = asked;
  const double radius = 0.05;
  const double mass = material.density * 4.0 / 3.0 * kPi * std::pow(radius, 3);
  const double effective = 1.0e8 / (2.0 * (1.0 - 0.25 * 0.25));
  const double duration = hertzImpact(effective, 0.5 * radius, 0.5 * mass, speed).duration;
  const ImpactResult result =
      runImpact(kind, headOnScene(material, radius, speed, duration / 400.0));
  return (result.second.velocity.x() - result.first.velocity.x()) / speed;
}

}  // namespace

class RestitutionTest : public KernelTest {};

// 0.3 % of the restitution at 400 steps a contact, 0.001 where it is small.
TEST_P(RestitutionTest, ComesOutAsAsked) {
  for (const double asked : {0.1, 0.2, 0.3, 0.5, 0.7, 0.9, 1.0})
    EXPECT_NEAR(measuredRestitution(GetParam(), asked, 0.5), asked, std::max(0.003 * asked, 0.001))
        << asked;
}

TEST_P(RestitutionTest, DoesNotDependOnSpeed) {
  for (const double speed : {0.02, 0.1, 2.0})
    EXPECT_NEAR(measuredRestitution(GetParam(), 0.5, speed), 0.5, 0.003 * 0.5) << speed;
}

TEST_P(RestitutionTest, LostEnergyIsBookedAsNormalDamping) {
  GrainMaterial material;
  material.restitutionCoefficient = 0.5;
  const ImpactScene scene = headOnScene(material, 0.05, 0.5, 1e-5);
  const ImpactResult result = runImpact(GetParam(), scene);
  const double mass = massOf(settingsOf(scene), 0.05);
  const double lost = mass * 0.25 * 0.25 - result.ledger.kinetic;
  EXPECT_NEAR(result.ledger.normalDamping / lost, 1.0, 2e-3);
  EXPECT_NEAR(result.ledger.friction, 0.0, 1e-6 * lost);
}

HOLDGROUND_ON_EVERY_KERNEL(RestitutionTest);

}  // namespace holdground
