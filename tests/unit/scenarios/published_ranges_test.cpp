#include "scenarios/card/published_ranges.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace holdground {
namespace {

TEST(PublishedRanges, AreThoseOfTheKindAndFigureAsked) {
  const auto range = publishedRange("loose sand", "friction_angle_deg");
  ASSERT_TRUE(range.has_value());
  EXPECT_EQ(range->low, 28.0);
  EXPECT_EQ(range->high, 33.0);
  EXPECT_THAT(range->source, testing::HasSubstr("Bolton"));
  EXPECT_FALSE(publishedRange("loose sand", "strength_Pa").has_value());
  EXPECT_FALSE(publishedRange("", "void_ratio").has_value());
}

TEST(PublishedRanges, RunUpwardForEveryKind) {
  EXPECT_THAT(kindsWithRanges(), testing::ElementsAre("loose sand", "medium sand", "dense sand",
                                                      "gravel", "cobble", "sandy mud", "soft mud"));
  for (const std::string& kind : kindsWithRanges()) {
    const auto weight = publishedRange(kind, "submerged_unit_weight_N_per_m3");
    ASSERT_TRUE(weight.has_value()) << kind;
    EXPECT_LT(weight->low, weight->high);
  }
}

TEST(PublishedRanges, VerdictSaysOnWhichSide) {
  const PublishedRange range{2.0, 3.0, ""};
  EXPECT_EQ(verdictOn(1.9, range), "below");
  EXPECT_EQ(verdictOn(2.0, range), "inside");
  EXPECT_EQ(verdictOn(3.1, range), "above");
}

}  // namespace
}  // namespace holdground
