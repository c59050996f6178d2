#include "scenarios/card/known_bias.hpp"

#include <gtest/gtest.h>

namespace holdground {

// Centres of grains stay R - s d off a face on either side: t + 2 (R - s d) apart.
TEST(KnownBias, SteelIsThickerByWhatGrainsKeepOffItsFaces) {
  EXPECT_DOUBLE_EQ(addedThickness(0.044, 0.0), 0.044);
  EXPECT_DOUBLE_EQ(addedThickness(0.044, 0.3), 0.0176);
  const std::string line = knownBias("loose sand", 0.044, 0.3).front();
  EXPECT_NE(line.find("18 mm thicker"), std::string::npos) << line;
  EXPECT_NE(line.find("about 2.8 times"), std::string::npos) << line;
}

TEST(KnownBias, SaysWhatHasNotBeenStudied) {
  EXPECT_GT(knownBias("dense sand", 0.044, 0.3).size(), 3u);
  for (const char* kind : {"soft mud", "gravel", "cobble", ""}) {
    const std::vector<std::string> lines = knownBias(kind, 0.044, 0.3);
    ASSERT_EQ(lines.size(), 2u) << kind;
    EXPECT_NE(lines.back().find("studied in sand alone"), std::string::npos);
  }
}

}  // namespace holdground
