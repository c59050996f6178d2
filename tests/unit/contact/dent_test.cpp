#include "solver/contact/dent.hpp"

#include <gtest/gtest.h>

#include <random>

#include "solver/contact/hertz_mindlin.hpp"
#include "tests/support/elasto_plastic.hpp"

namespace holdground {
namespace {

constexpr double kMost = 2e-4;  // greatest overlap [m]
constexpr double kK1 = 1e5;     // [N/m^1.5]

/// The same law in the form it was published in.
ElastoPlastic published(const DentLaw& law) {
  return {kK1, kK1 * law.stiffening, kK1 * law.adhesiveShare, 0.0, 1.5};
}

/// Overlaps of a contact that is pressed, eased and pulled about, and parts now and then.
std::vector<double> restlessPath() {
  std::mt19937 engine(3);
  std::normal_distribution<double> stride(0.0, 0.05 * kMost);
  std::vector<double> path{0.0};
  for (int k = 0; k < 20000; ++k)
    path.push_back(std::clamp(path.back() + stride(engine), -0.1 * kMost, kMost));
  return path;
}

}  // namespace

// Equality of two forms of one law: rounding alone, some ten operations of 1e-16.
TEST(Dent, IsThePublishedLawOnAnyPath) {
  for (const auto& [lambda, kappa] : {std::pair{0.8, 1.0}, {0.3, 0.0}, {0.9, 4.0}, {0.05, 0.2}}) {
    const DentLaw law(lambda, kappa);
    const ElastoPlastic other = published(law);
    const double scale = hertzForce(kK1, kMost) * law.stiffening;
    double dent = 0.0, memory = 0.0, lost = 0.0, lostThere = 0.0;
    bool pressed = false, pulled = false;
    for (const double overlap : restlessPath()) {
      const double touching = std::max(0.0, overlap), before = dent, remembered = memory;
      lost += advanceDent(law, kK1, touching, dent);
      const double there = elastoPlasticForce(other, overlap, memory);
      lostThere += elastoPlasticLoss(other, remembered, memory);
      pressed |= dent > before;
      pulled |= dent < before && touching > 0.0;
      ASSERT_NEAR(dentedForce(law, kK1, touching, dent), there, 1e-13 * scale) << overlap;
      ASSERT_NEAR(dent, other.dent(memory), 1e-13 * kMost);
      ASSERT_NEAR(dentedEnergy(law, kK1, touching, dent),
                  elastoPlasticEnergy(other, overlap, memory), 1e-13 * scale * kMost);
      ASSERT_NEAR(lost, lostThere, 1e-10 * scale * kMost);
    }
    EXPECT_TRUE(pressed && pulled);
    EXPECT_GT(lost, 0.1 * scale * kMost) << "many loops";
  }
}

TEST(Dent, LawWithoutPlasticityIsHertzAndLeavesNone) {
  double dent = 1e-5;
  EXPECT_EQ(advanceDent(DentLaw(), kK1, kMost, dent), 0.0);
  EXPECT_EQ(dent, 0.0);
  EXPECT_FALSE(DentLaw().act());
  EXPECT_EQ(dentedForce(DentLaw(), kK1, kMost, 0.0), hertzForce(kK1, kMost));
  EXPECT_NEAR(dentedEnergy(DentLaw(), kK1, kMost, 0.0), 0.4 * hertzForce(kK1, kMost) * kMost,
              1e-15);
}

// At one stress over E*, overlap over radius, dent over radius and pull over the force that pressed
// are the same.
TEST(Dent, HoldsGrainsOfAnySizeAlike) {
  const DentLaw law(0.7, 1.5);
  double shares[2];
  for (int k = 0; k < 2; ++k) {
    const double radius = k == 0 ? 0.005 : 0.03, stress = 2e4, young = 1e7;
    const double k1 = hertzConstant(young, radius), pressing = 16.0 * radius * radius * stress;
    const double overlap = std::pow(pressing / k1, 2.0 / 3.0);
    double dent = 0.0;
    advanceDent(law, k1, overlap, dent);
    const double weakest = dent / law.pulledShare;
    shares[k] = dentedForce(law, k1, weakest, dent) / pressing;
  }
  EXPECT_NEAR(shares[0], shares[1], 1e-12);
  // kappa lambda/(1 + kappa (1 - lambda)) of what pressed.
  EXPECT_NEAR(shares[0], -1.5 * 0.7 / (1.0 + 1.5 * 0.3), 1e-12);
}

// Friction and rolling follow F + k_adh d^1.5 - f0: half of the grip is left where nothing presses.
TEST(Dent, FrictionFollowsTheForceAboveThatOfLettingGo) {
  GrainMaterial material;
  material.restitutionCoefficient = 1.0;
  material.friction = 0.5;
  material.rollingFriction = 0.2;
  material.pullOffStress = 100.0;
  material.plasticity = 0.6;
  material.adhesiveShare = 0.8;
  const ContactLaw law = contactLaw(material);
  const double radius = 0.01, k1 = hertzConstant(law.effectiveYoung, radius);
  ContactHistory history;
  ContactDissipation dissipation;
  const ContactMotion sliding{Vec3(50.0, 0.0, 0.0), Vec3(0.0, 5e4, 0.0)};
  for (const double share : {1.0, 0.8, 0.6}) {  // of the greatest overlap
    const ContactGeometry geometry{Vec3::UnitZ(), share * 1e-4, radius, 0.01, 1e-6};
    const ContactForce force = evaluateContact(law, geometry, sliding, 1e-5, history, dissipation);
    ElastoPlastic there{k1, k1 * law.dents.stiffening, k1 * law.dents.adhesiveShare,
                        -law.pullOff.force(radius), 1.5};
    double memory = there.memoryOf(1e-4);
    const double expected = elastoPlasticForce(there, geometry.overlap, memory);
    const double grip = elastoPlasticGrip(there, geometry.overlap, expected);
    EXPECT_NEAR(force.normal, expected, 1e-12 * k1);
    EXPECT_NEAR(force.tangential.norm(), 0.5 * grip, 1e-12 * grip) << share;
    EXPECT_NEAR(force.rolling.norm(), 0.2 * radius * grip, 1e-12 * grip) << share;
  }
}

// The dashpot never pulls harder than letting go would.
TEST(Dent, DashpotDoesNotPullHarderThanLettingGo) {
  GrainMaterial material;
  material.restitutionCoefficient = 0.1;
  material.plasticity = 0.6;
  material.adhesiveShare = 0.8;
  const ContactLaw law = contactLaw(material);
  const ContactGeometry geometry{Vec3::UnitZ(), 1e-4, 0.01, 0.01, 1e-6};
  ContactHistory history;
  ContactDissipation dissipation;
  const ContactForce force = evaluateContact(law, geometry, {Vec3(0.0, 0.0, 1e4), Vec3::Zero()},
                                             1e-5, history, dissipation);
  const double hertz = hertzForce(hertzConstant(law.effectiveYoung, 0.01), 1e-4);
  EXPECT_NEAR(force.normal, -0.8 * hertz, 1e-12 * hertz);
  EXPECT_GT(dissipation.normalDamping, 0.0);
}

// What a dent costs to pull flat is lost where the contact ends.
TEST(Dent, EndOfAContactBooksTheRest) {
  GrainMaterial material;
  material.plasticity = 0.6;
  material.adhesiveShare = 0.8;
  const ContactLaw law = contactLaw(material);
  const ElastoPlastic there = [&] {
    const double k1 = hertzConstant(law.effectiveYoung, 0.01);
    return ElastoPlastic{k1, k1 * law.dents.stiffening, k1 * law.dents.adhesiveShare, 0.0, 1.5};
  }();
  ContactHistory history;
  history.dent = 5e-5;
  ContactDissipation dissipation;
  endContact(law, 0.01, history, dissipation);
  const double expected = elastoPlasticLoss(there, std::pow(5e-5, 1.5), 0.0);
  EXPECT_GT(expected, 0.0);
  EXPECT_NEAR(dissipation.plastic, expected, 1e-12 * expected);
  EXPECT_EQ(history.dent, 0.0);
}

}  // namespace holdground
