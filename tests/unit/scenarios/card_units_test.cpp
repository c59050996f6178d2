#include "scenarios/card/card_units.hpp"

#include <gtest/gtest.h>

namespace holdground {

using enum Dimension;

TEST(CardUnits, KeepTheMetricOnesOfTheCard) {
  const CardUnits units{DisplayUnits()};
  EXPECT_EQ(units.text(0.0444, kLength, "mm", 1), "44.4 mm");
  EXPECT_EQ(units.text(1.6, kLength, "m", 3), "1.600 m");
  EXPECT_EQ(units.text(9504.0, kUnitWeight, "kN/m3", 2), "9.50 kN/m3");
  EXPECT_EQ(units.digits(2.0e7, kPressure, "MPa", 3), "20");
  EXPECT_EQ(units.number(0.684, kNumber, "", 3), "0.684");
}

TEST(CardUnits, ShowThoseAskedForAboutAsFine) {
  const CardUnits units{DisplayUnits::parse("us")};
  EXPECT_EQ(units.text(0.0254, kLength, "mm", 1), "1.000 in");
  EXPECT_EQ(units.text(0.6096, kLength, "m", 3), "24.00 in");
  // 1 psi is 6894.757 Pa.
  EXPECT_EQ(units.text(6894.757, kPressure, "kPa", 2), "1.000 psi");
  EXPECT_EQ(units.text(44.482216, kForce, "N", 0), "10.0 lbf");
  EXPECT_EQ(units.text(0.5, kAngle, "deg", 1), "28.6 deg");
  EXPECT_EQ(CardUnits{DisplayUnits::parse("kN")}.text(1234.0, kForce, "N", 0), "1.234 kN");
  EXPECT_EQ(CardUnits{DisplayUnits::parse("mm")}.text(1.6, kLength, "m", 3), "1600 mm");
}

}  // namespace holdground
