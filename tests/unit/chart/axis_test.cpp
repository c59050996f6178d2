#include "postprocess/chart/axis.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "postprocess/chart/reading_units.hpp"

namespace holdground {
namespace {

TEST(Axis, StepsAreRound) {
  EXPECT_DOUBLE_EQ(roundStep(3.0, 6), 0.5);
  EXPECT_DOUBLE_EQ(roundStep(0.9, 5), 0.2);
  EXPECT_DOUBLE_EQ(roundStep(700.0, 3), 250.0);
  EXPECT_DOUBLE_EQ(roundStep(0.4, 1), 0.5);
  EXPECT_DOUBLE_EQ(roundStep(0.5, 1), 0.5);
}

TEST(Axis, EndsAtWholeStepsThatHoldTheRange) {
  const Axis axis({-0.31, 0.62}, 5, 0.0, 100.0);
  EXPECT_DOUBLE_EQ(axis.range().low, -0.4);
  EXPECT_DOUBLE_EQ(axis.range().high, 0.8);
  EXPECT_EQ(axis.ticks().size(), 7u);
  EXPECT_DOUBLE_EQ(axis.pixel(-0.4), 0.0);
  EXPECT_DOUBLE_EQ(axis.pixel(0.8), 100.0);
}

TEST(Axis, DoesNotGrowPastARangeThatIsAlreadyRound) {
  const Axis axis({0.0, 0.3}, 3, 0.0, 1.0);
  EXPECT_NEAR(axis.range().high, 0.3, 1e-12);
}

TEST(Axis, PrintsJustTheDecimalsOfItsStep) {
  EXPECT_EQ(Axis({0.0, 1.0}, 4, 0.0, 1.0).text(0.25), "0.25");
  EXPECT_EQ(Axis({0.0, 1.0}, 5, 0.0, 1.0).text(0.6000000001), "0.6");
  EXPECT_EQ(Axis({0.0, 800.0}, 4, 0.0, 1.0).text(-1e-13), "0");
  EXPECT_EQ(Axis({-20.0, 20.0}, 4, 0.0, 1.0).text(-10.0), "−10");
}

TEST(Axis, EmptyRangeBecomesOneStep) {
  const Axis axis(rangeOf({}), 4, 0.0, 10.0);
  EXPECT_GT(axis.range().span(), 0.0);
  EXPECT_TRUE(std::isfinite(axis.pixel(0.0)));
}

TEST(Axis, ValuesThatAreNotNumbersDoNotCount) {
  const Range range = rangeOf({std::nan(""), 2.0, -1.0, HUGE_VAL});
  EXPECT_DOUBLE_EQ(range.low, -1.0);
  EXPECT_DOUBLE_EQ(range.high, 2.0);
}

TEST(ReadingUnits, SayWhatAPersonReads) {
  const ReadingUnits metric = readingUnits(DisplayUnits::parse("metric"));
  EXPECT_EQ(metric.load.say(2614.0), "2614 N");
  EXPECT_EQ(metric.length.say(0.594), "0.59 m");
  EXPECT_EQ(metric.angle.say(0.5), "29°");
  EXPECT_EQ(metric.length.say(-1e-4), "0.00 m");
  EXPECT_EQ(metric.length.say(-0.127), "−0.13 m");
  EXPECT_EQ(metric.length.say(std::nan("")), "–");
}

TEST(ReadingUnits, DecimalsFollowTheUnit) {
  const ReadingUnits wished = readingUnits(DisplayUnits::parse("mm,kN"));
  EXPECT_EQ(wished.load.say(2614.0), "2.61 kN");
  EXPECT_EQ(wished.length.say(0.594), "594 mm");
}

// 1 lbf = 0.45359237 kg times 9.80665 m/s^2, 1 in = 25.4 mm, both exact (NIST SP 811, 2008).
TEST(ReadingUnits, PoundsAndInchesAreTheDefinedOnes) {
  const ReadingUnits us = readingUnits(DisplayUnits::parse("us"));
  EXPECT_NEAR(us.load.read(100.0 * 0.45359237 * 9.80665), 100.0, 1e-12);
  EXPECT_NEAR(us.length.read(0.3048), 12.0, 1e-12);
  EXPECT_EQ(us.load.say(2614.0), "588 lbf");
  EXPECT_EQ(us.length.say(0.594), "23.4 in");
}

}  // namespace
}  // namespace holdground
