#include "scenarios/card/full_card.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "scenarios/card/card_text.hpp"
#include "scenarios/run/tile_source.hpp"
#include "tests/support/small_card.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

class FullCard : public test::SmallCard {
 protected:
  /// Some 700 grains, every tool a few steps only.
  FullCard() {
    tools_.tileLength = 12.0;
    tools_.tileWidth = 6.0;
    tools_.tileDepth = 12.0;
    tools_.barDiameter = tools_.coneDiameter = tools_.plateWidth = 1.0;
    tools_.vaneDiameter = tools_.vaneHeight = 2.0;
    tools_.barDepth = tools_.coneDepth = 0.3;
    tools_.vaneDepth = tools_.upliftDepth = 4.0;
    tools_.vaneTurns = 0.05;
    tools_.pushIn = tools_.pullUp = tools_.pushSideways = 0.1;
    tools_.rate = 8.0;
  }
  nlohmann::ordered_json measure() {
    testing::internal::CaptureStderr();
    const TileRecipe recipe = tileRecipe(bed_, 1);
    auto card = fullCard(bed_, recipe, obtainTile(recipe), settings_, tools_);
    messages_ = testing::internal::GetCapturedStderr();
    return card;
  }

  ToolSettings tools_;
};

}  // namespace

TEST_F(FullCard, MeasuresOnceAndIsReadFromItsFileAfterwards) {
  const auto card = measure();
  EXPECT_THAT(messages_, HasSubstr("T-bar"));
  const auto& tools = card["tools"];
  for (const char* tool : {"t_bar", "vane", "cone", "plate_down", "plate_up", "plate_sideways"}) {
    EXPECT_TRUE(tools[tool].contains("width_m")) << tool;
    EXPECT_GT(tools["curves"][tool]["way"].size(), 2u) << tool;
  }
  EXPECT_NEAR(tools["tile_length_m"].get<double>(), 12.0 * 0.07, 1e-12);
  EXPECT_GT(tools["rate_factor"].get<double>(), 0.3);
  EXPECT_GE(tools["verdicts"].size(), 3u);
  EXPECT_EQ(card["shear"].size(), 2u) << "the quick card is part of it";
  EXPECT_THAT(probesText(card), HasSubstr("tools beside published factors"));

  EXPECT_EQ(measure(), card);
  EXPECT_EQ(messages_, "");

  const auto file = fullCardFile(bed_, tileRecipe(bed_, 1), settings_, tools_);
  for (const char* damaged : {"{ \"curves\": ", "{\"curves\": {}, \"cell_at_rate\": {}}"}) {
    std::ofstream(file) << damaged;
    EXPECT_EQ(measure(), card);
    EXPECT_THAT(messages_, HasSubstr("T-bar"));
  }
}

TEST_F(FullCard, OfOtherSteelOrToolsIsAnother) {
  const TileRecipe recipe = tileRecipe(bed_, 1);
  BedRecipe other = bed_;
  other.kind = "soft mud";
  ToolSettings wider = tools_;
  wider.barDiameter *= 2.0;
  const auto file = fullCardFile(bed_, recipe, settings_, tools_);
  EXPECT_NE(fullCardFile(other, recipe, settings_, tools_), file);
  EXPECT_NE(fullCardFile(bed_, recipe, settings_, wider), file);
  other = bed_;
  other.permeability = 1e-6;  // changes what is said, not what is measured
  EXPECT_EQ(fullCardFile(other, recipe, settings_, tools_), file);
}

}  // namespace holdground
