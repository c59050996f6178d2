#include "solver/core/units.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <set>

#include "solver/core/errors.hpp"
#include "tests/support/udunits.hpp"

namespace holdground {
namespace {

// One conversion of ours rounds twice, one of theirs up to five times (squares of feet and inches,
// composed prefixes); half an ulp each, so 4 ulp on the ratio covers both.
constexpr double kFewUlp = 4.0 * std::numeric_limits<double>::epsilon();

TEST(Units, AgreeWithUdunitsForEverySpelling) {
  const Udunits udunits;
  std::mt19937_64 random(20240501);
  std::uniform_real_distribution<double> exponent(-6.0, 6.0);
  for (const Unit& unit : allUnits()) {
    const std::string spelling = Udunits::spelling(unit);
    for (int k = 0; k < 20; ++k) {
      const double value = std::pow(10.0, exponent(random));
      const auto theirs = udunits.toSi(value, spelling, unit.dimension);
      ASSERT_TRUE(theirs) << unit.symbol << " as " << spelling;
      ASSERT_NEAR(unit.toSi(value) / *theirs, 1.0, kFewUlp) << value << " " << unit.symbol;
    }
  }
}

TEST(Units, UdunitsMisreadsTheSpellingsThatAreTranslatedForIt) {
  const Udunits udunits;
  for (const Unit& unit : allUnits()) {
    const std::string symbol(unit.symbol);
    if (Udunits::spelling(unit) == symbol) continue;
    const auto theirs = udunits.toSi(1.0, symbol, unit.dimension);
    EXPECT_TRUE(!theirs || std::fabs(*theirs / unit.toSi(1.0) - 1.0) > 1e-7) << symbol;
  }
}

TEST(Units, AreExactWhereDefinedExactly) {
  EXPECT_EQ(findUnit("in", Dimension::kLength)->toSi(1.0), 0.0254);
  EXPECT_EQ(findUnit("lb", Dimension::kMass)->toSi(1.0), 0.45359237);
  EXPECT_EQ(findUnit("lbf", Dimension::kForce)->toSi(1.0), 4.4482216152605);
  EXPECT_EQ(findUnit("kn", Dimension::kSpeed)->toSi(900.0), 463.0);
  EXPECT_EQ(findUnit("mm", Dimension::kLength)->toSi(36.0), 0.036);
}

TEST(Units, SpellingIsUniqueWithinADimensionAndStartsWithSi) {
  std::set<std::pair<Dimension, std::string_view>> seen;
  std::set<Dimension> begun;
  for (const Unit& unit : allUnits()) {
    EXPECT_TRUE(seen.insert({unit.dimension, unit.symbol}).second) << unit.symbol;
    if (begun.insert(unit.dimension).second) {
      EXPECT_EQ(unit.toSi(1.0), 1.0) << unit.symbol;
    }
  }
  EXPECT_EQ(begun.size(), static_cast<std::size_t>(kDimensionCount));
}

TEST(Units, CaseMatters) {
  EXPECT_EQ(findUnit("KN", Dimension::kForce), nullptr);
  EXPECT_EQ(findUnit("Mm", Dimension::kLength), nullptr);
}

TEST(DisplayUnits, MetricIsTheDefaultAndUsHasInchesPoundsForceAndKnots) {
  EXPECT_EQ(DisplayUnits().format(2850.0, Dimension::kForce), "2850 N");
  EXPECT_EQ(DisplayUnits().format(30.0e3, Dimension::kPressure), "30 kPa");
  const DisplayUnits us = DisplayUnits::parse("us");
  EXPECT_EQ(us.format(0.0254, Dimension::kLength), "1 in");
  EXPECT_EQ(us.format(4.4482216152605, Dimension::kForce), "1 lbf");
  EXPECT_EQ(us.format(1852.0 / 3600.0, Dimension::kSpeed), "1 kn");
  EXPECT_EQ(us.format(20.0, Dimension::kMass, 3), "44.1 lb");
}

TEST(DisplayUnits, SingleUnitsReplaceTheirDimension) {
  const DisplayUnits mixed = DisplayUnits::parse("us, ft,kN");
  EXPECT_EQ(mixed.symbol(Dimension::kLength), "ft");
  EXPECT_EQ(mixed.symbol(Dimension::kForce), "kN");
  EXPECT_EQ(mixed.symbol(Dimension::kSpeed), "kn");
}

TEST(DisplayUnits, RefuseWhatTheyDoNotKnow) {
  for (const char* text : {"", "imperial ", "us,", "US", "furlong", "%", "in;lbf"}) {
    EXPECT_THROW(DisplayUnits::parse(text), InputError) << text;
  }
}

TEST(FormatNumber, KeepsSignificantDigitsWithoutExponentInTheUsualRange) {
  EXPECT_EQ(formatNumber(0.0, 4), "0");
  EXPECT_EQ(formatNumber(1234.5678, 4), "1235");
  EXPECT_EQ(formatNumber(0.0012345, 3), "0.00123");
  EXPECT_EQ(formatNumber(-0.5, 4), "-0.5");
  EXPECT_EQ(formatNumber(9.9996, 4), "10");
  EXPECT_EQ(formatNumber(123456.0, 3), "123456");
  EXPECT_EQ(formatNumber(1.5e8, 4), "1.5e+08");
  EXPECT_EQ(formatNumber(2e-5, 4), "2e-05");
}

}  // namespace
}  // namespace holdground
