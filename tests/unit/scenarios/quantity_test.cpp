#include "scenarios/schema/quantity.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <limits>
#include <random>

#include "scenarios/schema/wording.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/types.hpp"
#include "tests/support/udunits.hpp"

namespace holdground {
namespace {

using enum Dimension;
using testing::HasSubstr;

std::string refusal(const std::string& text, Dimension dimension) {
  try {
    parseQuantity(text, dimension);
  } catch (const InputError& error) {
    return error.what();
  }
  return "accepted";
}

TEST(Quantity, ReadsWhatPeopleWrite) {
  EXPECT_DOUBLE_EQ(parseQuantity("33 lb", kMass), 33 * 0.45359237);
  EXPECT_EQ(parseQuantity("750 lbf", kForce), 750 * 44482216152605.0 / 1e13);
  EXPECT_DOUBLE_EQ(parseQuantity("5/32 in", kLength), 0.00396875);
  EXPECT_DOUBLE_EQ(parseQuantity("3 1/2 in", kLength), 0.0889);
  EXPECT_DOUBLE_EQ(parseQuantity("1.5 kn", kSpeed), 1.5 * 1852.0 / 3600.0);
  EXPECT_DOUBLE_EQ(parseQuantity("30 deg", kAngle), kPi / 6.0);
  EXPECT_EQ(parseQuantity("0.4 m", kLength), 0.4);
  EXPECT_EQ(parseQuantity("20 kPa", kPressure), 20000.0);
  EXPECT_EQ(parseQuantity("1025 kg/m3", kDensity), 1025.0);
  EXPECT_EQ(parseQuantity("1.2 kN/m", kStiffness), 1200.0);
  EXPECT_EQ(parseQuantity("2 min", kTime), 120.0);
  EXPECT_EQ(parseQuantity("1e8 Pa", kPressure), 1e8);
  EXPECT_EQ(parseQuantity("2.5E-3 m", kLength), 0.0025);
  EXPECT_EQ(parseQuantity("36mm", kLength), 0.036);
  EXPECT_EQ(parseQuantity("  .5   in ", kLength), 0.0127);
  EXPECT_EQ(parseQuantity("-3 1/2 in", kLength), -0.0889);
  EXPECT_EQ(parseQuantity("+2 m", kLength), 2.0);
  EXPECT_EQ(parseQuantity("1/2", kNumber), 0.5);
  EXPECT_EQ(parseQuantity("50 %", kNumber), 0.5);
  EXPECT_EQ(parseQuantity("400 N s/m", kDamping), 400.0);
  EXPECT_EQ(parseQuantity("1 oz", kMass), 0.028349523125);
  EXPECT_EQ(parseQuantity("1 nmi", kLength), 1852.0);
}

TEST(Quantity, AForceInAUnitOfMassIsRefusedWithTheUnitOfForce) {
  EXPECT_EQ(refusal("33 lb", kForce),
            "found \"33 lb\", allowed is a force with a unit (N, kN, MN, daN, lbf, klbf, kgf, tf); "
            "lb is a mass, write lbf for the force");
  EXPECT_THAT(refusal("15 kg", kForce), HasSubstr("kg is a mass, write kgf for the force"));
  EXPECT_THAT(refusal("200 lb/s", kForceRate), HasSubstr("write lbf/s"));
  EXPECT_THAT(refusal("9 lb/ft", kLineWeight), HasSubstr("write lbf/ft"));
  EXPECT_THAT(refusal("20 lbf", kMass), HasSubstr("lbf is a force, write lb for the mass"));
}

TEST(Quantity, SaysWhatIsWrongWithTheUnit) {
  EXPECT_THAT(refusal("33", kLength), HasSubstr("found \"33\" without a unit"));
  EXPECT_THAT(refusal("0", kLength), HasSubstr("without a unit"));
  EXPECT_THAT(refusal("2 KN", kForce), HasSubstr("did you mean kN?"));
  EXPECT_THAT(refusal("2 kN", kSpeed), HasSubstr("did you mean kn?"));
  EXPECT_THAT(refusal("2 s", kLength), HasSubstr("s is a unit of time"));
  EXPECT_THAT(refusal("0.25\"", kLength), HasSubstr("write in for inches"));
  EXPECT_THAT(refusal("5'", kLength), HasSubstr("write ft for feet"));
  EXPECT_THAT(refusal("1,025 kg/m3", kDensity), HasSubstr("write a point for decimals"));
  EXPECT_THAT(refusal("0,4 m", kLength), HasSubstr("write a point for decimals"));
}

TEST(Quantity, RefusesWhatIsNotANumber) {
  for (const char* text : {"", " ", "m", "- m", ".", ". m", "5. m", "nan m", "inf m", "--1 m",
                           "+-1 m", "e5 m", "/2 m"}) {
    EXPECT_THAT(refusal(text, kLength), HasSubstr("(not a number)")) << text;
  }
}

TEST(Quantity, RefusesWhatIsLargerThanNumbersGo) {
  for (const char* text : {"1e999 m", "1e308 km", "1e400/1 m"})
    EXPECT_NE(refusal(text, kLength), "accepted") << text;
  EXPECT_THAT(refusal("1e999 m", kLength), HasSubstr("(too large)"));
  EXPECT_THAT(refusal("1e308 km", kLength), HasSubstr("(too large)"));
  EXPECT_EQ(parseQuantity("1e-999 m", kLength), 0.0);
}

TEST(Quantity, RefusesWhatFollowsANumberUnlessItIsAUnit) {
  for (const char* text :
       {"1/0 in",   "0x10 m", "1.5/2 in", "1/2.5 in", "3-1/2 in",  "3 1/2 1/2 in", "1 3/2 ft",
        "1 2/2 ft", "1 2 m",  "1_000 m",  "1 m m",    "3 ft 6 in", "1 e5 m",       "1e m",
        "1\tm",     "1\nm",   "5 m.",     "5 metres", "5 M",       "7:1",          "1 m\xff"}) {
    EXPECT_NE(refusal(text, kLength), "accepted") << text;
  }
}

TEST(Quantity, TooLargeForANumberIsRefused) {
  EXPECT_THAT(refusal("1e308 km", kLength), HasSubstr("(too large)"));
}

TEST(Quantity, RefusalIsOneLineWhateverWasWritten) {
  const std::string nasty = "1 m\n\r\x1b[2J" + std::string(5000, 'x');
  const std::string text = refusal(nasty, kLength);
  EXPECT_EQ(text.find_first_of("\n\r\x1b"), std::string::npos);
  EXPECT_LT(text.size(), 400u);
}

TEST(Scope, IsLengthOverHeight) {
  EXPECT_EQ(parseScope("7:1"), 7.0);
  EXPECT_EQ(parseScope(" 5.5:1 "), 5.5);
  for (const char* text : {"7", "7:2", "1:1", "0.5:1", "-7:1", "7 :1", "7:1 m", ":1", "7:", ""}) {
    EXPECT_THROW(parseScope(text), InputError) << text;
  }
}

/// "%.17g" gives every double a decimal that reads back as the same double.
std::string exactly(double value) {
  char buffer[40];
  std::snprintf(buffer, sizeof buffer, "%.17g", value);
  return buffer;
}

TEST(Quantity, RandomValuesInEveryUnitReadAsUdunitsReadsThem) {
  const Udunits udunits;
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> exponent(-8.0, 8.0);
  for (const Unit& unit : allUnits()) {
    for (int k = 0; k < 50; ++k) {
      const double value = (k % 2 ? -1.0 : 1.0) * std::pow(10.0, exponent(random));
      const std::string text = exactly(value) + (k % 3 ? " " : "") + std::string(unit.symbol);
      const auto theirs = udunits.toSi(value, Udunits::spelling(unit), unit.dimension);
      ASSERT_TRUE(theirs) << text;
      // As in units_test: rounding of the conversions only, the decimal is read exactly.
      ASSERT_NEAR(parseQuantity(text, unit.dimension) / *theirs, 1.0,
                  4.0 * std::numeric_limits<double>::epsilon())
          << text;
    }
  }
}

// Left out of the comparison on purpose, because UDUNITS-2 is silently wrong or means otherwise.
TEST(Quantity, KnowsBetterThanUdunitsWhatPeopleMean) {
  const Udunits udunits;
  EXPECT_NEAR(*udunits.toSi(1.0, "3 1/2 in", kLength), 1.5 * 0.0254, 1e-12);  // 3 * (1/2)
  EXPECT_DOUBLE_EQ(parseQuantity("3 1/2 in", kLength), 3.5 * 0.0254);
  EXPECT_FALSE(udunits.toSi(1.0, "0.25\"", kLength));                   // seconds of arc
  EXPECT_NEAR(*udunits.toSi(1.0, "nmi", kLength), 1.609344e-6, 1e-12);  // a nano-mile
  EXPECT_FALSE(udunits.toSi(1.0, "oz", kMass));                         // a volume
  EXPECT_TRUE(udunits.toSi(33.0, "", kAngle));  // a bare number is an angle to it
  EXPECT_THROW(parseQuantity("33", kAngle), InputError);
}

TEST(Quantity, RandomBytesAreReadOrRefusedButNeverCrash) {
  std::mt19937_64 random(11);
  const std::string likely = "0123456789./:-+eE \"'kNmlbfsin%,\xc2\xb0";
  for (int k = 0; k < 4000; ++k) {
    std::string text;
    for (std::size_t n = random() % 12; n > 0; --n) {
      text += k % 2 ? likely[random() % likely.size()] : static_cast<char>(random() & 0xFF);
    }
    for (int d = 0; d < kDimensionCount; ++d) {
      try {
        EXPECT_TRUE(std::isfinite(parseQuantity(text, static_cast<Dimension>(d))));
      } catch (const InputError&) {
      }
    }
  }
}

}  // namespace
}  // namespace holdground
