#include "postprocess/picture/picture_caption.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "postprocess/chart/svg.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

const ReadingUnits kMetric = readingUnits(DisplayUnits::parse("m,kN"));
const ReadingUnits kUs = readingUnits(DisplayUnits::parse("us"));

const PictureFrame kFrame{1600, 900, BedWindow{-1.5, 1.3, 0.0, 0.8}, -0.9, 0.5};
const MomentFacts kFacts{7.5, 2.98, 2614.0, 0.59, 0.41, 0.45};

TEST(SideView, XRunsRightAndUpRunsUp) {
  SideView view;
  view.targetPixel = {800.0, 450.0};
  view.metresPerPixel = 0.002;
  const PagePoint ahead = view.project(Vec3(1.0, 0.0, 0.0));
  const PagePoint above = view.project(Vec3(0.0, 0.0, 1.0));
  EXPECT_NEAR(ahead[0], 1300.0, 1e-9);
  EXPECT_NEAR(ahead[1], 450.0, 1e-9);
  EXPECT_NEAR(above[0], 800.0, 1e-9);
  EXPECT_NEAR(above[1], 450.0 - 500.0 * std::cos(view.elevation), 1e-9);
}

TEST(SideView, PortLiesBehindAndHigherOnThePage) {
  SideView view;
  EXPECT_LT(Vec3::UnitY().dot(view.towardCamera()), 0.0);
  EXPECT_LT(view.project(Vec3::UnitY())[1], 0.0);
}

TEST(SideView, AxesAreAtRightAngles) {
  SideView view;
  view.azimuth = 0.4;
  EXPECT_NEAR(view.right().dot(view.up()), 0.0, 1e-15);
  EXPECT_NEAR(view.up().norm(), 1.0, 1e-15);
  EXPECT_NEAR((view.right().cross(view.up()) - view.towardCamera()).norm(), 0.0, 1e-15);
}

TEST(PictureCaption, TheWholeBedLiesInThePicture) {
  for (const double depth : {-0.3, -0.9, -2.5}) {
    PictureFrame frame = kFrame;
    frame.floorZ = depth;
    const SideView view = viewOf(frame);
    for (const double x : {frame.window.fromX, frame.window.toX}) {
      const PagePoint foot = view.project(Vec3(x, frame.window.cutY, depth));
      const PagePoint back = view.project(Vec3(x, frame.window.toY, 0.0));
      EXPECT_GE(foot[0], 0.09 * frame.width);
      EXPECT_LE(foot[0], 0.91 * frame.width);
      EXPECT_LE(foot[1], 0.80 * frame.height);
      EXPECT_GE(back[1], 0.20 * frame.height);
    }
  }
}

TEST(PictureCaption, SaysTheMomentTheScalesAndTheLegend) {
  const std::vector<Vec3> rode = {Vec3(0.4, 0.0, 0.0), Vec3(1.4, 0.0, 0.1)};
  const Drawing drawing =
      drawCaption(kFrame, viewOf(kFrame), rode, kFacts, {"Scoop", "sand", "", ""}, kMetric);
  const std::string svg = toSvg(drawing);
  for (const char* words : {"Scoop", "7.50 s", "2.98 m", "2.61 kN", "0.59 m", "depth [m]",
                            "surface", ">0.5 m<", "speed of the grains [m/s]", "pull"}) {
    EXPECT_THAT(svg, HasSubstr(words));
  }
}

TEST(PictureCaption, WordsStayInsideThePicture) {
  const Drawing drawing = drawCaption(kFrame, viewOf(kFrame), {}, kFacts,
                                      {"Scoop", "sand", "grains of 40 mm", "caution"}, kUs);
  for (const DrawnItem& item : drawing.items) {
    const auto* label = std::get_if<Label>(&item);
    if (label == nullptr) continue;
    EXPECT_GE(label->at[0], 0.0);
    EXPECT_LE(label->at[0], kFrame.width);
    EXPECT_GE(label->at[1] - label->size, 0.0) << label->text;
    EXPECT_LE(label->at[1], kFrame.height) << label->text;
  }
}

// The load trace is bold only as far as the film has come.
TEST(PictureCaption, TraceGrowsWithTime) {
  TrialCurves curves;
  for (int k = 0; k <= 100; ++k) {
    curves.time.push_back(0.1 * k);
    curves.drift.push_back(0.03 * k);
    curves.load.push_back(20.0 * k);
  }
  Drawing early, late;
  addLoadTrace(early, kFrame, curves, 2.0, kMetric);
  addLoadTrace(late, kFrame, curves, 8.0, kMetric);
  const auto shortest = [](const Drawing& drawing) {
    std::size_t points = SIZE_MAX;
    for (const DrawnItem& item : drawing.items) {
      const auto* line = std::get_if<Polyline>(&item);
      if (line != nullptr && line->points.size() > 2)
        points = std::min(points, line->points.size());
    }
    return points;
  };
  EXPECT_EQ(shortest(early), 21u);
  EXPECT_EQ(shortest(late), 81u);
}

}  // namespace
}  // namespace holdground
