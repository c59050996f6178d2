#include "postprocess/chart/svg.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "solver/core/errors.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

Drawing smallDrawing() {
  Drawing drawing{200.0, 100.0, {}};
  drawing.rectangle(0.0, 0.0, 200.0, 100.0, Colour{255, 250, 240});
  drawing.line({10.0, 20.0}, {30.0, 40.0}, Colour{1, 2, 3}, 2.0, 5.0);
  drawing.add(Label{{50.0, 60.0}, "list < 5° & more", Colour{0, 0, 0}, 14.0, Anchoring::End});
  return drawing;
}

TEST(Svg, KeepsWordsAsWordsAndEscapesThem) {
  const std::string svg = toSvg(smallDrawing());
  EXPECT_THAT(svg, HasSubstr(">list &lt; 5° &amp; more</text>"));
  EXPECT_THAT(svg, HasSubstr(R"(text-anchor="end")"));
}

TEST(Svg, HasSizeColoursAndDashes) {
  const std::string svg = toSvg(smallDrawing());
  EXPECT_THAT(svg, HasSubstr(R"(width="200" height="100")"));
  EXPECT_THAT(svg, HasSubstr("#fffaf0"));
  EXPECT_THAT(svg, HasSubstr(R"(stroke-dasharray="5.0 5.0")"));
}

TEST(Svg, UnwritableFileIsASystemError) {
  const TemporaryFolder folder;
  EXPECT_THROW(writeSvg(smallDrawing(), folder / "missing" / "chart.svg"), SystemError);
}

TEST(Drawing, DashesCoverHalfTheLineAndTurnCorners) {
  const Polyline line{{{0.0, 0.0}, {15.0, 0.0}, {15.0, 25.0}}, Colour{}, 1.0, 10.0};
  double drawn = 0.0;
  for (const Polyline& dash : dashes(line)) {
    drawn += std::abs(dash.points[1][0] - dash.points[0][0]) +
             std::abs(dash.points[1][1] - dash.points[0][1]);
  }
  EXPECT_NEAR(drawn, 20.0, 1e-4);
}

}  // namespace
}  // namespace holdground
