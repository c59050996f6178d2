#include "scenarios/schema/wording.hpp"

#include <gtest/gtest.h>

#include <vector>

namespace holdground {
namespace {

TEST(EditDistance, CountsInsertionDeletionReplacementAndSwap) {
  EXPECT_EQ(editDistance("friction", "friction"), 0u);
  EXPECT_EQ(editDistance("frictoin", "friction"), 1u);
  EXPECT_EQ(editDistance("fricton", "friction"), 1u);
  EXPECT_EQ(editDistance("frictionn", "friction"), 1u);
  EXPECT_EQ(editDistance("fraction", "friction"), 1u);
  EXPECT_EQ(editDistance("kitten", "sitting"), 3u);
  EXPECT_EQ(editDistance("", "abc"), 3u);
}

TEST(NearestName, IsGivenForATypoOnly) {
  const std::vector<std::string> names = {"friction", "rolling_friction", "seed", "name"};
  EXPECT_EQ(nearestName("frictoin", names), "friction");
  EXPECT_EQ(nearestName("sed", names), "seed");
  EXPECT_EQ(nearestName("rolling_frictions", names), "rolling_friction");
  EXPECT_EQ(nearestName("colour", names), std::nullopt);
  EXPECT_EQ(nearestName(std::string(1000, 'a'), names), std::nullopt);
}

TEST(OnOneLine, ReplacesControlBytesAndCutsBetweenCharacters) {
  EXPECT_EQ(onOneLine("a\nb\tc\x7f"), "a?b?c?");
  EXPECT_EQ(onOneLine("abcdef", 3), "abc...");
  EXPECT_EQ(onOneLine("ab\xc2\xb0", 3), "ab...");
}

}  // namespace
TEST(NearestName, IsTheOneWithTheSameLongEndingWhenNoneIsAFewLettersAway) {
  const std::vector<std::string> known = {"mass_per_length", "suspended_length", "diameter"};
  EXPECT_EQ(nearestName("weight_per_length", known), "mass_per_length");
  EXPECT_EQ(nearestName("colour_of_paint", known), std::nullopt);
  EXPECT_EQ(nearestName("greatest_length", known), std::nullopt);  // a common ending says little
}

}  // namespace holdground
