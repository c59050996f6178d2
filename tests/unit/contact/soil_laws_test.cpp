#include "solver/contact/soil_laws.hpp"

#include <gtest/gtest.h>

#include <set>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

GrainMaterial mud() {
  GrainMaterial m;
  m.youngModulus = 2.0e7;
  m.poissonRatio = 0.3;
  m.friction = 0.0;
  m.rollingFriction = 0.0;
  m.restitutionCoefficient = 0.7;
  m.pullOffStress = 20.0e3;
  m.pullOffRange = 0.15;
  return m;
}

GrainMaterial sand() {
  GrainMaterial m;
  m.youngModulus = 8.0e7;
  m.friction = 0.5;
  m.rollingFriction = 0.2;
  m.restitutionCoefficient = 0.5;
  return m;
}

}  // namespace

TEST(SoilLaws, UnlikeGrainsAreTwoElasticBodies) {
  const ContactLaw law = contactLaw(mud(), sand());
  const EffectiveModuli moduli = effectiveModuli(2.0e7, 0.3, 8.0e7, 0.25);
  EXPECT_DOUBLE_EQ(law.effectiveYoung, moduli.young);
  EXPECT_DOUBLE_EQ(law.effectiveShear, moduli.shear);
}

// What carries load comes whole from the weaker: mud's cohesion holds where its friction does.
TEST(SoilLaws, InterfaceIsOfTheWeakerSoilWhole) {
  const ContactLaw law = contactLaw(sand(), mud());
  EXPECT_EQ(law.friction, 0.0);
  EXPECT_EQ(law.rollingFriction, 0.0);
  EXPECT_EQ(law.pullOff.stress, 20.0e3);
  EXPECT_EQ(law.pullOff.range, 0.15);
  GrainMaterial strong = sand();
  strong.pullOffStress = 5.0e3;
  EXPECT_EQ(contactLaw(strong, sand()).pullOff.stress, 0.0) << "alike but for cohesion";
  GrainMaterial round = sand();
  round.rollingFriction = 0.1;
  EXPECT_EQ(contactLaw(sand(), round).rollingFriction, 0.1);
  GrainMaterial dented = mud();
  dented.friction = 0.15;
  dented.plasticity = 0.6;
  dented.adhesiveShare = 0.7;
  EXPECT_EQ(contactLaw(dented, sand()).dents.plasticity, 0.6);
  EXPECT_EQ(contactLaw(dented, sand()).dents.adhesiveShare, 0.7);
  EXPECT_FALSE(contactLaw(dented, mud()).dents.act()) << "soft mud is the weaker";
}

TEST(SoilLaws, OrderOfTheTwoDoesNotMatter) {
  const ContactLaw a = contactLaw(mud(), sand()), b = contactLaw(sand(), mud());
  EXPECT_EQ(a.effectiveYoung, b.effectiveYoung);
  EXPECT_EQ(a.effectiveShear, b.effectiveShear);
  EXPECT_EQ(a.friction, b.friction);
  EXPECT_EQ(a.damping, b.damping);
  EXPECT_EQ(a.pullOff.stress, b.pullOff.stress);
}

// Shares of compliance 0.91/2 and 0.9375/8 of their sum: 0.7952 and 0.2048, so
// 1 - e^2 = 0.7952 * 0.51 + 0.2048 * 0.75 = 0.55915.
TEST(SoilLaws, TheSofterTakesMoreOfTheLoss) {
  const double expected = std::sqrt(1.0 - 0.55915);
  EXPECT_NEAR(contactLaw(mud(), sand()).damping,
              dampingOfRestitution(expected) * std::sqrt(2.0 / 3.0), 1e-4);
}

TEST(SoilLaws, OneSoilAloneIsTheLawOfItsGrains) {
  const std::vector<GrainMaterial> one{sand()};
  const SoilLaws laws(one);
  ASSERT_EQ(laws.size(), 1u);
  EXPECT_EQ(laws[0].effectiveYoung, contactLaw(sand()).effectiveYoung);
  EXPECT_EQ(laws[0].damping, contactLaw(sand()).damping);
  EXPECT_EQ(laws.reachShare(), 0.0);
}

TEST(SoilLaws, EveryPairOfSoilsHasALawOfItsOwn) {
  std::vector<GrainMaterial> soils(kMostSoils, sand());
  for (std::size_t k = 0; k < soils.size(); ++k)
    soils[k].youngModulus *= 1.0 + static_cast<double>(k);
  const SoilLaws laws(soils);
  std::set<std::size_t> found;
  for (std::size_t a = 0; a < soils.size(); ++a)
    for (std::size_t b = 0; b <= a; ++b) {
      found.insert(SoilLaws::indexOf(a, b));
      EXPECT_EQ(SoilLaws::indexOf(a, b), SoilLaws::indexOf(b, a));
      const double young =
          effectiveModuli(soils[a].youngModulus, 0.25, soils[b].youngModulus, 0.25).young;
      EXPECT_DOUBLE_EQ(laws.of(a, b).effectiveYoung, young);
    }
  EXPECT_EQ(found.size(), laws.size());
  EXPECT_EQ(SoilLaws::indexOf(0, 0), 0u);
  soils.push_back(sand());
  EXPECT_THROW(SoilLaws{soils}, InputError);
}

}  // namespace holdground
