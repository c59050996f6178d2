#include "scenarios/card/known_bias.hpp"

#include <gtest/gtest.h>

namespace holdground {

// Centres of grains stay R - s d off a face on either side: t + 2 (R - s d) apart.
TEST(KnownBias, SteelIsThickerByWhatGrainsKeepOffItsFaces) {
  EXPECT_DOUBLE_EQ(addedThickness(0.044, 0.0), 0.044);
  EXPECT_DOUBLE_EQ(addedThickness(0.044, 0.3), 0.0176);
  const std::string mud = knownBias("soft mud", 0.044, 0.3).front();
  EXPECT_NE(mud.find("up to 18 mm thicker"), std::string::npos) << mud;
  EXPECT_NE(mud.find("up to 2.8 times"), std::string::npos) << mud;
}

// Edges of a smooth plate 66 mm thick in mud of su 3.3 kPa,
// tests/validation/setback/results_mud.csv, over 2 x 7.5 su t (O'Neill et al. 2003, from memory).
TEST(KnownBias, IsABoundForTheEdgesThatWereMeasured) {
  constexpr double kThick = 0.066, kPublished = 2.0 * 7.5 * 3.3e3 * kThick;
  struct Edge {
    double grain, setback, force;
  };
  for (const Edge& edge : {Edge{0.176, 0.3, 3039}, Edge{0.088, 0.3, 4889}, Edge{0.044, 0.3, 3694},
                           Edge{0.022, 0.3, 3401}, Edge{0.022, 0.0, 3713}, Edge{0.176, 0.0, 7849},
                           Edge{0.088, 0.0, 5974}, Edge{0.044, 0.0, 4229}})
    EXPECT_LE(edge.force / kPublished, 1.0 + addedThickness(edge.grain, edge.setback) / kThick)
        << edge.grain << ' ' << edge.setback;
}

TEST(KnownBias, StonesOfRealSizeMakeNoSteelThicker) {
  for (const std::string& line : knownBias("cobble", 0.14, 0.0))
    EXPECT_EQ(line.find("thicker"), std::string::npos) << line;
}

TEST(KnownBias, SaysWhatHasNotBeenStudied) {
  EXPECT_GT(knownBias("loose sand", 0.044, 0.3).size(), 3u);
  EXPECT_GT(knownBias("soft mud", 0.044, 0.3).size(), 3u);
  for (const char* kind : {"dense sand", "sandy mud", "gravel", "cobble", ""}) {
    const std::vector<std::string> lines = knownBias(kind, 0.044, 0.3);
    EXPECT_NE(lines.back().find("loose sand and in soft mud alone"), std::string::npos) << kind;
  }
}

TEST(KnownBias, OfAStackIsThatOfEveryLayerButTheHardPan) {
  BedRecipe bed;
  bed.layers.resize(3);
  bed.layers[0].kind = bed.layers[0].name = "soft mud";
  bed.layers[1].kind = "loose sand";
  bed.layers[1].name = "sand below";
  bed.layers[2].isHardPan = true;
  for (LayerRecipe& layer : bed.layers) layer.smallestDiameter = layer.largestDiameter = 0.044;
  std::vector<std::string> wanted;
  for (const std::string& line : knownBias("soft mud", 0.044, 0.0))
    wanted.push_back("Layer soft mud: " + line);
  for (const std::string& line : knownBias("loose sand", 0.044, 0.0))
    wanted.push_back("Layer sand below: " + line);
  EXPECT_EQ(knownBias(bed), wanted);
}

}  // namespace holdground
