#include "scenarios/card/bed_card.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "scenarios/card/card_text.hpp"
#include "scenarios/run/tile_source.hpp"
#include "tests/support/small_card.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

class BedCard : public test::SmallCard {
 protected:
  nlohmann::ordered_json measure() {
    testing::internal::CaptureStderr();
    const TileRecipe recipe = tileRecipe(bed_, 1);
    auto card = quickCard(bed_, recipe, obtainTile(recipe), settings_);
    messages_ = testing::internal::GetCapturedStderr();
    return card;
  }
};

}  // namespace

TEST_F(BedCard, MeasuresOnceAndIsReadFromItsFileAfterwards) {
  const auto card = measure();
  EXPECT_THAT(messages_, HasSubstr("shearing"));
  ASSERT_EQ(card["shear"].size(), 2u);
  EXPECT_EQ(card["shear"][1]["normal_stress_Pa"], 6000.0);
  EXPECT_GT(card["shear"][0]["strength_Pa"].get<double>(), 100.0);
  EXPECT_GT(card["k0"].get<double>(), 0.2);
  EXPECT_LT(card["k0"].get<double>(), 1.5);
  EXPECT_NEAR(card["void_ratio"].get<double>(),
              (1.0 - card["solid_fraction"].get<double>()) / card["solid_fraction"].get<double>(),
              1e-12);

  EXPECT_EQ(measure(), card);
  EXPECT_EQ(messages_, "");

  const auto file = quickCardFile(tileRecipe(bed_, 1), settings_);
  auto kept = nlohmann::ordered_json::parse(std::ifstream(file));
  kept["k0"] = 7.5;
  std::ofstream(file) << kept;
  EXPECT_EQ(measure()["k0"], 7.5);

  std::ofstream(file) << "{ \"k0\": ";  // cut short: measured again
  EXPECT_EQ(measure(), card);
  EXPECT_THAT(messages_, HasSubstr("shearing"));
}

TEST_F(BedCard, OfAnotherRecipeOrOtherProbesIsAnother) {
  const TileRecipe recipe = tileRecipe(bed_, 1);
  TileRecipe other = recipe;
  other.material.friction += 0.1;
  CardSettings slower = settings_;
  slower.inertialNumber *= 0.5;
  EXPECT_NE(quickCardFile(recipe, settings_), quickCardFile(other, settings_));
  EXPECT_NE(quickCardFile(recipe, settings_), quickCardFile(recipe, slower));
}

// c_v = k M/gamma_w = 1e-6 x 1e6 / (1025 x 9.80665) = 9.948e-5 m2/s; 0.4 x 0.3 / c_v = 1206.
TEST_F(BedCard, SaysHowDrainedAPullIsWhereThePermeabilityIsGiven) {
  EXPECT_FALSE(measure().contains("drainage"));
  bed_.permeability = 1e-6;
  bed_.oedometerModulus = 1e6;
  const auto card = measure();
  EXPECT_EQ(messages_, "") << "nothing is measured again";
  EXPECT_NEAR(card["drainage"]["number"].get<double>(), 1206.2, 0.1);
  EXPECT_EQ(card["drainage"]["says"], "undrained");
  EXPECT_THAT(probesText(card), HasSubstr("undrained"));
  bed_.oedometerModulus.reset();
  EXPECT_EQ(measure()["drainage"]["oedometer_modulus_Pa"], card["oedometer_modulus_Pa"]);
}

TEST_F(BedCard, DoubtsAStrengthThatTheBedHasNot) {
  EXPECT_THAT(measure()["doubts"].dump(), testing::Not(HasSubstr("strength")));
  bed_.strength = 900e3;  // of sand
  EXPECT_THAT(measure()["doubts"].dump(), HasSubstr("do not stick to each other"));
  bed_.material.pullOffStress = 20e3;
  EXPECT_THAT(measure()["doubts"].dump(), HasSubstr("says a strength of 900 kPa"));
  bed_.strength = measure()["shear"][0]["strength_Pa"].get<double>();
  EXPECT_THAT(measure()["doubts"].dump(), testing::Not(HasSubstr("says a strength")));
}

TEST_F(BedCard, DoesNotHoldADryBedAgainstWeightsUnderWater) {
  EXPECT_THAT(tileCardText(measure()), HasSubstr("submerged unit weight"));
  bed_.water.density = 0.0;
  const auto card = measure();
  EXPECT_THAT(tileCardText(card), HasSubstr("unit weight, dry"));
  for (const auto& row : card["verdicts"])
    EXPECT_NE(row["figure"], "submerged_unit_weight_N_per_m3");
}

TEST_F(BedCard, SaysOnWhichSideOfPublishedRangesItsFiguresAre) {
  const auto card = measure();
  int ranges = 0;
  for (const auto& row : card["verdicts"]) {
    if (!row.contains("low")) {
      EXPECT_EQ(row["verdict"], "no range");
      continue;
    }
    ++ranges;
    const double x = row["measured"].get<double>();
    const std::string expected = x < row["low"].get<double>()    ? "below"
                                 : x > row["high"].get<double>() ? "above"
                                                                 : "inside";
    EXPECT_EQ(row["verdict"], expected) << row;
  }
  EXPECT_GE(ranges, 3);  // weight, voids, friction angle of gravel
  const std::string text = tileCardText(card) + probesText(card);
  EXPECT_THAT(text, HasSubstr("beside published ranges for gravel"));
  EXPECT_THAT(text, HasSubstr("no pore fluid"));
  EXPECT_THAT(text, HasSubstr("6.0 kPa"));
  const DisplayUnits us = DisplayUnits::parse("us");
  std::string inUs = tileCardText(card, us) + probesText(card, us);
  inUs.resize(inUs.find("  ! "));  // sentences are kept with the card, in SI
  for (const char* unit : {" psi", " in", " lbf/ft3"}) EXPECT_THAT(inUs, HasSubstr(unit));
  for (const char* unit : {"Pa", " m,", " m ", "mm", "kN/m3"})
    EXPECT_THAT(inUs, testing::Not(HasSubstr(unit)));
  EXPECT_THAT(text, HasSubstr("still moved when time was up"));  // 0.02 s are not enough
}

}  // namespace holdground
