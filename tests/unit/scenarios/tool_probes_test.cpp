#include "scenarios/card/tool_probes.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "scenarios/run/probe_shapes.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/geometry/bounds.hpp"
#include "tests/support/small_card.hpp"

namespace holdground {
namespace {

constexpr Tool kAll[] = {Tool::kTBar,      Tool::kTBarAgain, Tool::kVane,         Tool::kCone,
                         Tool::kPlateDown, Tool::kPlateUp,   Tool::kPlateSideways};

class ToolProbes : public test::SmallCard {
 protected:
  /// A tile of some 700 grains and short ways.
  ToolProbes() {
    tools_.tileLength = 12.0;
    tools_.tileWidth = 6.0;
    tools_.tileDepth = 9.0;
    tools_.barDepth = 4.0;
    tools_.plateWidth = 3.0;
    tools_.pushIn = 0.3;
    tools_.vaneDiameter = 3.0;
    tools_.vaneHeight = 3.0;
    tools_.vaneDepth = 4.0;
    tools_.vaneTurns = 0.1;
    recipe_ = toolTileRecipe(tileRecipe(bed_, 1), tools_);
  }
  ToolCurve run(Tool tool) {
    const Tile tile = obtainTile(recipe_);
    return runTool(toolPlan(tool, bed_, recipe_, tools_), tile, recipe_);
  }

  ToolSettings tools_;
  TileRecipe recipe_;
};

}  // namespace

TEST(ToolCurve, MeanAndPeakAreThoseOfTheirWays) {
  ToolCurve curve;
  for (int k = 0; k < 100; ++k) {
    curve.way.push_back(0.01 * k);
    curve.force.push_back(k < 50 ? 10.0 : k < 60 ? 30.0 : 20.0);
  }
  EXPECT_DOUBLE_EQ(curve.mean(0.0, 0.4).mean, 10.0);
  EXPECT_DOUBLE_EQ(curve.mean(0.0, 0.4).standardError, 0.0);
  EXPECT_DOUBLE_EQ(curve.mean(0.405, 0.595).mean, 20.0);
  EXPECT_GT(curve.mean(0.405, 0.595).standardError, 4.0);
  EXPECT_DOUBLE_EQ(curve.peak(0.05, 0.999), 30.0);
  EXPECT_DOUBLE_EQ(curve.peak(0.05, 0.45), 10.0);
  EXPECT_EQ(curve.mean(2.0, 3.0).mean, 0.0);
}

// Of the default card: every tool stays two diameters off the held bottom all its way, one that
// begins over the bed touches no grain, and T-bar and plates reach through both periodic sides.
TEST_F(ToolProbes, FitTheTileTheyGoThrough) {
  const ToolSettings settings;
  const TileRecipe recipe = toolTileRecipe(tileRecipe(bed_, 1), settings);
  const double d = 0.07;
  EXPECT_DOUBLE_EQ(nominalDiameter(recipe), d);
  for (const Tool tool : kAll) {
    const ToolPlan plan = toolPlan(tool, bed_, recipe, settings);
    double lowest = 1.0, way = 0.0;
    for (const ProbePhaseSpec& phase : plan.spec.phases)
      for (const ProbeMoveSpec& move : phase.moves)
        if (move.velocity[2]) way = std::min(0.0, *move.velocity[2] * phase.duration);
    for (const ProbeBodySpec& body : plan.spec.bodies) {
      const Bounds box = boundsOf(probeMeshAtStart(body, probeMesh(body)));
      lowest = std::min(lowest, box.lower.z());
      if (plan.endless > 0.0) {
        EXPECT_GT(box.size().y(), plan.endless + d) << nameOf(tool);
      }
      if (plan.startDepth < 0.0) {
        EXPECT_GT(box.lower.z(), 0.0) << nameOf(tool);
      }
      EXPECT_LT(box.size().x(), 0.25 * recipe.length) << nameOf(tool);
    }
    EXPECT_GT(lowest + way, -recipe.depth + recipe.frozenThickness + 2.0 * d) << nameOf(tool);
    EXPECT_LE(plan.speed, settings.rate * plan.width);
  }
  // The steel's default in gravel, and the widths the card states.
  const ToolPlan bar = toolPlan(Tool::kTBar, bed_, recipe, settings);
  EXPECT_DOUBLE_EQ(bar.width, 3.0 * d);
  EXPECT_DOUBLE_EQ(bar.speed / bar.width, 4.0 / 3.0);
  EXPECT_EQ(bar.spec.bodies[0].surface.on(bar.spec.bed.ground()).friction, 0.4);
}

TEST_F(ToolProbes, APlatePushedInGoesItsWayAgainstARisingForce) {
  const ToolCurve curve = run(Tool::kPlateDown);
  const double breadth = 3.0 * 0.07, gap = 0.25 * 0.07;
  ASSERT_GT(curve.way.size(), 30u);
  // It begins a quarter diameter over the mean surface: grains that stand out more are taken out.
  EXPECT_GT(static_cast<double>(curve.grains),
            0.95 * static_cast<double>(obtainTile(recipe_).grains.size()));
  EXPECT_NEAR(curve.way.back(), 0.3 * breadth + gap, 0.02 * breadth);
  for (std::size_t k = 1; k < curve.way.size(); ++k) EXPECT_GT(curve.way[k], curve.way[k - 1]);
  const double early = curve.mean(0.0, gap).mean,
               late = curve.mean(0.2 * breadth, 0.35 * breadth).mean;
  EXPECT_GT(late, 2.0 * early);
  // More than the weight that the plate has displaced.
  EXPECT_GT(late, 9000.0 * 0.2 * breadth * breadth * curve.endless);
  EXPECT_EQ(run(Tool::kPlateDown).force, curve.force) << "the same bits again";
}

TEST_F(ToolProbes, ABarGoesASecondTimeFromWhereItBegan) {
  const ToolCurve first = run(Tool::kTBar), second = run(Tool::kTBarAgain);
  const double width = first.width;
  EXPECT_LT(second.way.front(), 0.02 * width);
  EXPECT_NEAR(second.way.back(), first.way.back(), 0.02 * width);
  for (std::size_t k = 1; k < second.way.size(); ++k) EXPECT_GE(second.way[k], second.way[k - 1]);
  // Not the first pass told twice; gravel falls back behind the bar.
  EXPECT_NE(second.force, first.force);
  const double low = 0.5 * width, high = first.way.back();
  EXPECT_GT(second.mean(low, high).mean, 0.2 * first.mean(low, high).mean);
}

TEST_F(ToolProbes, AVaneTurnsByItsAngleAgainstTheGround) {
  const ToolCurve curve = run(Tool::kVane);
  ASSERT_GT(curve.way.size(), 20u);
  EXPECT_NEAR(curve.way.back(), 0.1 * 2.0 * kPi, 0.05);
  EXPECT_GT(curve.mean(0.1, 0.6).mean, 1.0);  // some 0.3 m3 x 1 kPa x 0.02
}

}  // namespace holdground
