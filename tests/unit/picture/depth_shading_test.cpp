#include "postprocess/picture/depth_shading.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace holdground {
namespace {

constexpr int kSide = 64;

TEST(DepthShading, APlaneKeepsItsLight) {
  const std::vector<float> flat(kSide * kSide, 2.0f);
  for (const float light : openness(flat, kSide, kSide, DepthShading{})) EXPECT_EQ(light, 1.0f);
}

TEST(DepthShading, TheFootOfAStepIsDarkerThanItsTop) {
  std::vector<float> depth(kSide * kSide, 2.0f);
  for (int y = 0; y < kSide; ++y) {
    for (int x = 0; x < kSide / 2; ++x) depth[static_cast<std::size_t>(y * kSide + x)] = 1.96f;
  }
  const std::vector<float> light = openness(depth, kSide, kSide, DepthShading{});
  const auto at = [&](int x) { return light[static_cast<std::size_t>(32 * kSide + x)]; };
  EXPECT_EQ(at(28), 1.0f);
  EXPECT_LT(at(33), 0.8f);
}

TEST(DepthShading, SomethingFarInFrontHardlyShades) {
  std::vector<float> near(kSide * kSide, 2.0f), far(kSide * kSide, 2.0f);
  for (int y = 0; y < kSide; ++y) {
    for (int x = 0; x < kSide / 2; ++x) {
      near[static_cast<std::size_t>(y * kSide + x)] = 1.95f;
      far[static_cast<std::size_t>(y * kSide + x)] = 0.5f;
    }
  }
  const std::size_t foot = 32 * kSide + 34;
  EXPECT_GT(openness(far, kSide, kSide, DepthShading{})[foot],
            openness(near, kSide, kSide, DepthShading{})[foot] + 0.1f);
}

TEST(DepthShading, LightStaysBetweenNoneAndAll) {
  std::vector<float> rough(kSide * kSide);
  for (std::size_t k = 0; k < rough.size(); ++k)
    rough[k] = 1.0f + 0.01f * static_cast<float>(k * 37 % 19);
  for (const float light : openness(rough, kSide, kSide, DepthShading{})) {
    EXPECT_GE(light, 0.0f);
    EXPECT_LE(light, 1.0f);
  }
}

TEST(Raster, AveragedDownIsTheMeanOfEachSquare) {
  Raster raster{4, 2, {}};
  for (int k = 0; k < 8; ++k) {
    for (int c = 0; c < 3; ++c) raster.rgb.push_back(static_cast<std::uint8_t>(10 * k + c));
  }
  const Raster half = averagedDown(raster, 2);
  ASSERT_EQ(half.width, 2);
  ASSERT_EQ(half.height, 1);
  EXPECT_EQ(half.rgb[0], (0 + 10 + 40 + 50) / 4);
  EXPECT_EQ(half.rgb[4], (21 + 31 + 61 + 71) / 4);
}

TEST(Raster, ShadeScalesTheColours) {
  Raster raster{1, 1, {200, 100, 50}};
  shade(raster, {0.5f});
  EXPECT_EQ(raster.rgb, (std::vector<std::uint8_t>{100, 50, 25}));
}

}  // namespace
}  // namespace holdground
