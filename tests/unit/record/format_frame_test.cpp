#include "solver/record/format_frame.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/record/format_series.hpp"

namespace holdground::format {

TEST(HalfFloat, EveryHalfSurvivesTheRoundTrip) {
  for (std::uint32_t bits = 0; bits < 0x10000u; ++bits) {
    const auto half = static_cast<std::uint16_t>(bits);
    const float value = unpackHalf(half);
    if (std::isnan(value)) {
      EXPECT_TRUE(std::isnan(unpackHalf(packHalf(value))));
    } else {
      EXPECT_EQ(packHalf(value), half) << bits;
    }
  }
}

TEST(HalfFloat, ErrorIsWithinTheStatedBound) {
  // Half a unit in the last place: 2^-11 of the value when normal, 2^-25 when subnormal.
  for (float value = 1e-7f; value < 60000.0f; value *= 1.0137f) {
    const float bound = value >= 6.104e-5f ? value * 0x1p-11f : 0x1p-25f;
    EXPECT_LE(std::abs(unpackHalf(packHalf(value)) - value), bound) << value;
  }
}

TEST(HalfFloat, TiesGoToEvenAndTooLargeIsInfinite) {
  EXPECT_EQ(packHalf(1.0f), 0x3c00);
  EXPECT_EQ(packHalf(1.0f + 0x1p-11f), 0x3c00);
  EXPECT_EQ(packHalf(1.0f + 0x1p-10f + 0x1p-11f), 0x3c02);
  EXPECT_EQ(packHalf(65504.0f), 0x7bff);
  EXPECT_EQ(packHalf(65519.0f), 0x7bff);
  EXPECT_EQ(packHalf(65520.0f), 0x7c00);
  EXPECT_EQ(packHalf(-2.0f), 0xc000);
}

TEST(DisplacementUnit, IsTheFinestThatFits) {
  EXPECT_EQ(displacementUnit(0.0), kBaseUnit);
  EXPECT_EQ(displacementUnit(kBaseUnit * 32767), kBaseUnit);
  EXPECT_EQ(displacementUnit(std::nextafter(kBaseUnit * 32767, 1.0)), 2 * kBaseUnit);
  for (const double largest : {0.1, 0.7, 3.0, 40.0}) {
    const double unit = displacementUnit(largest);
    EXPECT_LE(largest, unit * 32767);
    EXPECT_GT(largest, unit / 2 * 32767);
    EXPECT_NEAR(packDisplacement(-largest, unit) * unit, -largest,
                unit / 2 + 1e-14);  // a tie, and rounding
  }
}

TEST(NearestImage, GoesTheShortWayRound) {
  EXPECT_NEAR(nearestImage(0.9 - -0.9, 2.0), -0.2, 1e-15);
  EXPECT_NEAR(nearestImage(0.4, 2.0), 0.4, 1e-15);
}

}  // namespace holdground::format
