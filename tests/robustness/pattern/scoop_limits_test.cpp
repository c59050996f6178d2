#include "scenarios/pattern/scoop_limits.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>
#include <random>

#include "solver/core/errors.hpp"
#include "solver/geometry/mass_properties.hpp"

namespace holdground {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

namespace {

std::string refusal(const ScoopPattern& pattern) {
  try {
    drawScoop(pattern);
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST(ScoopLimits, OutOfRangeNamesTheKeyOnOneLine) {
  for (const ScoopLimit& limit : scoopLimits()) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const double wrong : {limit.lowest - 1.0, limit.highest * 1.01 + 1e-9, nan}) {
      ScoopPattern pattern;
      pattern.*limit.field = wrong;
      EXPECT_THAT(refusal(pattern), AllOf(HasSubstr("pattern." + std::string(limit.key) + ":"),
                                          HasSubstr("allowed"), Not(HasSubstr("\n"))));
    }
  }
}

TEST(ScoopLimits, ContradictionsNameTheKey) {
  const auto expectRefused = [](double ScoopPattern::*field, double value, const char* key) {
    ScoopPattern pattern;
    pattern.*field = value;
    EXPECT_THAT(refusal(pattern), HasSubstr("pattern." + std::string(key) + ":"));
  };
  expectRefused(&ScoopPattern::heelWidth, 0.44, "heel_width");
  expectRefused(&ScoopPattern::toeWidth, 0.35, "toe_width");
  expectRefused(&ScoopPattern::widestAt, 0.40, "widest_at");
  expectRefused(&ScoopPattern::dish, 0.15, "dish");
  expectRefused(&ScoopPattern::flukeThickness, 0.097, "fluke_thickness");
  expectRefused(&ScoopPattern::tipThickness, 0.06, "tip_thickness");
  expectRefused(&ScoopPattern::toeThickness, 0.008, "tip_thickness");
  expectRefused(&ScoopPattern::toeThickness, 0.20, "toe_thickness");
  expectRefused(&ScoopPattern::toeLength, 0.36, "toe_length");
  expectRefused(&ScoopPattern::shankRootLength, 0.25, "shank_root_length");
  expectRefused(&ScoopPattern::shankReach, 0.10, "shank_reach");
  expectRefused(&ScoopPattern::shankHeight, 0.05, "shank_height");
  expectRefused(&ScoopPattern::rollBarDiameter, 0.003, "roll_bar_diameter");
  expectRefused(&ScoopPattern::rollBarDiameter, 0.005, "roll_bar_wall");
  expectRefused(&ScoopPattern::rollBarDiameter, 0.095, "roll_bar_diameter");
  expectRefused(&ScoopPattern::rollBarDiameter, 0.055, "roll_bar_aft");
}

TEST(ScoopLimits, RollBarThatDoesNotFitNamesTheKey) {
  const auto expectRefused = [](double ScoopPattern::*field, double value, const char* key) {
    ScoopPattern pattern;
    pattern.rollBarDiameter = 0.03;
    pattern.*field = value;
    EXPECT_THAT(refusal(pattern), HasSubstr("pattern." + std::string(key) + ":"));
  };
  expectRefused(&ScoopPattern::rollBarWall, 0.016, "roll_bar_wall");
  expectRefused(&ScoopPattern::rollBarAft, 0.014, "roll_bar_aft");         // over the heel
  expectRefused(&ScoopPattern::rollBarAft, 0.036, "roll_bar_aft");         // into the shank
  expectRefused(&ScoopPattern::rollBarWidth, 0.351, "roll_bar_width");     // off the fluke
  expectRefused(&ScoopPattern::rollBarHeight, 0.06, "roll_bar_diameter");  // too sharp a bend
}

TEST(ScoopLimits, AnyDimensionsAreDrawnSoundOrRefused) {
  std::mt19937_64 random(5);
  int drawn = 0;
  for (int trial = 0; trial < 300; ++trial) {
    ScoopPattern pattern;
    if (trial % 2 == 0) pattern.rollBarDiameter = 0.02;
    for (const ScoopLimit& limit : scoopLimits()) {
      if (limit.key == "mesh_size") continue;
      std::uniform_real_distribution<double> factor(0.5, 1.6);
      pattern.*limit.field *= factor(random);
    }
    PatternAnchor anchor;
    try {
      anchor = drawScoop(pattern);
    } catch (const InputError&) {
      continue;
    }
    ++drawn;
    for (const AnchorPart& part : anchor.parts) {
      const double volume = massProperties(part.mesh).volume;
      EXPECT_TRUE(volume > 0.0 && volume < 1.0) << part.name << " of trial " << trial;
    }
  }
  EXPECT_GT(drawn, 30);
}

}  // namespace holdground
