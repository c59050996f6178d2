#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "scenarios/run/survey_figures.hpp"
#include "solver/anchor/assemble.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {

using testing::HasSubstr;
using testing::Not;

namespace {

/// A flat fluke 0.4 x 0.2 x 0.01 m and an upright shank plate on it, in steel of 8000 kg/m^3.
Anchor plainAnchor() {
  Anchor anchor;
  anchor.name = "plain";
  anchor.parts = {
      {"fluke", PartRole::kFluke, test::boxMesh({0, -0.1, -0.01}, {0.4, 0.2, 0.01}), 8000.0, {}},
      {"shank", PartRole::kShank, test::boxMesh({0.1, -0.006, 0}, {0.3, 0.012, 0.3}), 8000.0, {}}};
  anchor.toe = {0.4, 0, 0};
  anchor.heel = {0, 0, 0};
  anchor.shackle = {0.4, 0, 0.3};
  assemble(anchor);
  return anchor;
}

double figure(const Survey& survey, const std::string& key) {
  for (const SurveyFigure& f : survey.figures) {
    if (f.key == key) return f.value.value();
  }
  throw std::runtime_error("no figure " + key);
}

}  // namespace

TEST(Survey, FiguresOfAPlainAnchorMeetPaper) {
  const Survey s = surveyAnchor(plainAnchor(), 1000.0);
  const double fluke = 0.4 * 0.2 * 0.01, shank = 0.3 * 0.012 * 0.3;
  constexpr double kRounding = 1e-12;
  EXPECT_NEAR(figure(s, "mass"), 8000.0 * (fluke + shank), kRounding * 20);
  EXPECT_NEAR(figure(s, "weight_air"), 8000.0 * (fluke + shank) * 9.80665, 1e-10);
  EXPECT_NEAR(figure(s, "weight_water"), 7000.0 * (fluke + shank) * 9.80665, 1e-10);
  EXPECT_NEAR(figure(s, "fluke_area"), 0.08, kRounding);
  EXPECT_NEAR(figure(s, "fluke_area_true"), 0.08, kRounding);
  EXPECT_NEAR(figure(s, "fluke_angle"), std::atan2(0.3, 0.4), kRounding);
  EXPECT_NEAR(figure(s, "shank_height"), 0.3, kRounding);
  EXPECT_NEAR(figure(s, "length"), 0.4, kRounding);
  EXPECT_NEAR(figure(s, "width"), 0.2, kRounding);
  EXPECT_NEAR(figure(s, "height"), 0.31, kRounding);
  EXPECT_NEAR(figure(s, "fluke_thickness"), 0.01, kRounding);
  EXPECT_NEAR(figure(s, "shank_thickness"), 0.012, kRounding);
  EXPECT_NEAR(figure(s, "shank_straightness"), 0.0, kRounding);
  EXPECT_NEAR(figure(s, "fluke_unevenness"), 0.0, kRounding);
  EXPECT_NEAR(figure(s, "tip_weight_level"), 8000.0 * (fluke * 0.2 + shank * 0.25) / 0.4, 1e-10);
  // Toe and shackle one above the other: laid level, the lever is the height of the balance.
  const double height = (shank * 0.15 - fluke * 0.005) / (fluke + shank);
  EXPECT_NEAR(figure(s, "tip_weight"), 8000.0 * (fluke + shank) * (1.0 - height / 0.3), 1e-10);
}

TEST(Survey, TurningTheAnchorFrameChangesNoFigure) {
  Anchor anchor = plainAnchor();
  const Survey before = surveyAnchor(anchor, 1025.0);
  const Mat3 turn = Eigen::AngleAxisd(0.3, Vec3::UnitY()).toRotationMatrix();
  for (AnchorPart& part : anchor.parts) part.mesh = test::moved(part.mesh, turn, {1, 0, 2});
  for (Vec3* p : {&anchor.toe, &anchor.heel, &anchor.shackle}) *p = turn * *p + Vec3(1, 0, 2);
  assemble(anchor);
  const Survey after = surveyAnchor(anchor, 1025.0);
  for (std::size_t k = 0; k < before.figures.size(); ++k) {
    ASSERT_EQ(before.figures[k].value.has_value(), after.figures[k].value.has_value());
    if (!before.figures[k].value) continue;
    EXPECT_NEAR(*before.figures[k].value, *after.figures[k].value, 1e-10) << before.figures[k].key;
  }
}

TEST(Survey, WithoutAFlukePartItsFiguresAreLeftOut) {
  Anchor anchor = plainAnchor();
  anchor.parts[0].role = PartRole::kOther;
  const Survey s = surveyAnchor(anchor, 1025.0);
  EXPECT_THAT(surveyText(s, DisplayUnits()), Not(HasSubstr("fluke area")));
  const auto json = nlohmann::json::parse(surveyJson(s));
  EXPECT_TRUE(json["figures"]["fluke_area"]["value"].is_null());
}

TEST(Survey, NoToeLoadWhereTheAnchorWouldNotRest) {
  Anchor anchor = plainAnchor();
  anchor.shackle = {0.8, 0, 0.0};  // level with the toe and ahead: the balance lies beyond the toe
  const Survey s = surveyAnchor(anchor, 1025.0);
  const auto json = nlohmann::json::parse(surveyJson(s));
  EXPECT_TRUE(json["figures"]["tip_weight"]["value"].is_null());
  EXPECT_FALSE(json["figures"]["tip_weight_level"]["value"].is_null());
}

TEST(Survey, TextIsInTheUnitsAskedForAndJsonInSi) {
  const Survey s = surveyAnchor(plainAnchor(), 1025.0);
  EXPECT_THAT(surveyText(s, DisplayUnits::parse("us")), HasSubstr("15.75 in"));
  const auto json = nlohmann::json::parse(surveyJson(s));
  EXPECT_NEAR(json["figures"]["length"]["value"].get<double>(), 0.4, 1e-12);
  EXPECT_EQ(json["figures"]["length"]["unit"], "m");
  EXPECT_EQ(json["parts"].size(), 2u);
  EXPECT_EQ(json["parts"][1]["role"], "shank");
}

}  // namespace holdground
