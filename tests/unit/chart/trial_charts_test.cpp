#include "postprocess/chart/trial_charts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "postprocess/chart/palette.hpp"
#include "postprocess/chart/svg.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;
using testing::Not;

TrialCurves rampCurves(std::size_t count) {
  TrialCurves curves;
  for (std::size_t k = 0; k < count; ++k) {
    const double part = count > 1 ? static_cast<double>(k) / static_cast<double>(count - 1) : 0.0;
    curves.time.push_back(7.5 * part);
    curves.drift.push_back(3.0 * part);
    curves.load.push_back(2600.0 * part);
    curves.toeDepth.push_back(0.6 * part);
    curves.heelDepth.push_back(0.4 * part);
    curves.shackleDepth.push_back(-0.3 + 0.3 * part);
    curves.pitch.push_back(0.4);
    curves.list.push_back(0.05);
    curves.heading.push_back(-0.02);
  }
  return curves;
}

const ReadingUnits kMetric = readingUnits(DisplayUnits::parse("m,kN"));
const ReadingUnits kUs = readingUnits(DisplayUnits::parse("us"));

const HoldingMark kMark{2.0, 3.0, "last metre", 2200.0, 2500.0, 2600.0, std::nullopt};

// Height on the page of the end of the first curve drawn in a colour.
double endHeight(const Drawing& drawing, const Colour& colour) {
  for (const DrawnItem& item : drawing.items) {
    const auto* line = std::get_if<Polyline>(&item);
    if (line != nullptr && line->points.size() > 2 && line->colour.red == colour.red &&
        line->colour.blue == colour.blue) {
      return line->points.back()[1];
    }
  }
  return std::nan("");
}

TEST(TrialCharts, LoadChartSaysTheHoldingFiguresWithUnits) {
  const std::string svg = toSvg(drawLoadChart(rampCurves(50), kMark, {"scoop", {}}, kMetric));
  EXPECT_THAT(svg, HasSubstr("mean 2.20 kN"));
  EXPECT_THAT(svg, HasSubstr("90th pct. 2.50 kN"));
  EXPECT_THAT(svg, HasSubstr("peak 2.60 kN"));
  EXPECT_THAT(svg, HasSubstr("last metre"));
  EXPECT_THAT(svg, HasSubstr("load [kN]"));
}

TEST(TrialCharts, UnitedStatesUnitsReachEveryWord) {
  const std::string svg = toSvg(drawTrialSheet(rampCurves(50), kMark, {"scoop", {}}, kUs));
  EXPECT_THAT(svg, HasSubstr("load [lbf]"));
  EXPECT_THAT(svg, HasSubstr("depth [in]"));
  EXPECT_THAT(svg, HasSubstr("toe 23.6 in"));
  EXPECT_THAT(svg, Not(HasSubstr("kN")));
  EXPECT_THAT(svg, Not(HasSubstr("[m]")));
}

TEST(TrialCharts, DepthGrowsDownThePage) {
  const Drawing chart = drawEmbedmentChart(rampCurves(50), {"scoop", {}}, kMetric);
  const double toe = endHeight(chart, palette::kFirst);
  const double shackle = endHeight(chart, palette::kThird);
  EXPECT_GT(toe, shackle + 50.0);
}

TEST(TrialCharts, LoadGrowsUpThePage) {
  const Drawing chart = drawLoadChart(rampCurves(50), {}, {"scoop", {}}, kMetric);
  for (const DrawnItem& item : chart.items) {
    const auto* line = std::get_if<Polyline>(&item);
    if (line == nullptr || line->points.size() < 10) continue;
    EXPECT_LT(line->points.back()[1], line->points.front()[1]);
  }
}

TEST(TrialCharts, AGapInTheDataBreaksTheLine) {
  TrialCurves curves = rampCurves(50);
  curves.pitch[25] = std::nan("");
  const std::string svg = toSvg(drawAttitudeChart(curves, {"scoop", {}}, kMetric));
  EXPECT_THAT(svg, Not(HasSubstr("nan")));
}

TEST(TrialCharts, NoSampleAndOneSampleStillGiveAPage) {
  for (const std::size_t count : {0u, 1u}) {
    const std::string svg = toSvg(drawTrialSheet(rampCurves(count), {}, {"scoop", {}}, kMetric));
    EXPECT_THAT(svg, HasSubstr("Attitude"));
    EXPECT_THAT(svg, Not(HasSubstr("nan")));
    EXPECT_THAT(svg, Not(HasSubstr("inf")));
  }
}

TEST(TrialCharts, NamesInTheMarginDoNotTouch) {
  TrialCurves curves = rampCurves(50);
  curves.heelDepth = curves.toeDepth;
  curves.shackleDepth = curves.toeDepth;
  const Drawing chart = drawEmbedmentChart(curves, {"scoop", {}}, kMetric);
  std::vector<double> heights;
  for (const DrawnItem& item : chart.items) {
    const auto* label = std::get_if<Label>(&item);
    if (label != nullptr && label->text.find(" 0.60 m") != std::string::npos) {
      heights.push_back(label->at[1]);
    }
  }
  std::sort(heights.begin(), heights.end());
  ASSERT_EQ(heights.size(), 3u);
  EXPECT_GE(heights[1] - heights[0], 14.0);
  EXPECT_GE(heights[2] - heights[1], 14.0);
}

TEST(TrialCharts, DoubtsStandUnderTheChartsOnTheirOwnLines) {
  const std::string doubt =
      "The bed repeats, and the anchor's ground met ground already ploughed or that of its own "
      "image: a longer or wider bed may read differently.";
  const Drawing sound = drawTrialSheet(rampCurves(50), kMark, {"scoop", {}}, kMetric);
  const Drawing doubtful =
      drawTrialSheet(rampCurves(50), kMark, {"scoop", {doubt, "Another."}}, kMetric);
  double lowest = 0.0;
  std::string words;
  for (const DrawnItem& item : doubtful.items) {
    const auto* label = std::get_if<Label>(&item);
    if (label == nullptr || label->at[1] < sound.height) continue;
    lowest = std::max(lowest, label->at[1]);
    words += label->text + "|";
    EXPECT_LE(label->text.size(), 118u);
  }
  EXPECT_THAT(words, HasSubstr("! The bed repeats"));
  EXPECT_THAT(words, HasSubstr("|! Another.|"));
  EXPECT_EQ(std::count(words.begin(), words.end(), '|'), 3);
  EXPECT_LT(lowest, doubtful.height);
}

TEST(TrialCharts, EveryPanelNamesItsDriftAxis) {
  const std::string svg = toSvg(drawTrialSheet(rampCurves(50), kMark, {"scoop", {}}, kMetric));
  std::size_t count = 0;
  for (std::size_t at = 0; (at = svg.find("drift of the shackle", at)) != std::string::npos; ++at)
    ++count;
  EXPECT_EQ(count, 3u);
}

}  // namespace
}  // namespace holdground
