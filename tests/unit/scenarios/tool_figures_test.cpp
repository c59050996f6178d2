#include "scenarios/card/tool_figures.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "scenarios/card/soil_formulas.hpp"

namespace holdground {
namespace {

using Json = nlohmann::ordered_json;

/// A tool that meets the same force all its way.
ToolCurve steady(double width, double endless, double startDepth, double force, double reach) {
  ToolCurve curve;
  curve.width = width;
  curve.endless = endless;
  curve.startDepth = startDepth;
  curve.speed = 0.1;
  for (int k = 0; k <= 1000; ++k) {
    curve.way.push_back(reach * k / 1000);
    curve.force.push_back(force);
  }
  return curve;
}

ToolGround clay() {
  ToolGround ground;
  ground.isCohesive = true;
  ground.unitWeight = 6000.0;
  ground.cohesion = ground.strength = 5000.0;
  ground.stress = {1000.0, 10000.0};
  ground.peakStrength = {10000.0, 10000.0};
  return ground;
}

ToolGround sand() {
  ToolGround ground;
  ground.unitWeight = 9000.0;
  ground.frictionAngle = ground.peakAngle = 30.0 * kPi / 180.0;
  ground.steelAngle = 10.0 * kPi / 180.0;
  ground.stress = {1000.0, 10000.0};
  ground.peakStrength = {500.0, 5000.0};
  return ground;
}

ToolReadings readings(double bar, double cone, double down, double up, double sideways) {
  ToolReadings r;
  r.tBar = steady(0.04, 0.25, -0.02, bar, 0.3);
  r.tBarAgain = steady(0.04, 0.25, -0.02, 0.6 * bar, 0.3);
  r.cone = steady(0.1, 0.0, -0.1, cone, 0.6);
  r.plateDown = steady(0.2, 0.5, -0.01, down, 0.1);
  r.plateUp = steady(0.2, 0.5, 0.4, up, 0.1);
  r.plateSideways = steady(0.2, 0.5, 0.2, sideways, 0.2);
  r.vane = steady(0.065, 0.0, 0.5, 10.0655, 2.5 * kPi);
  r.vane.height = 0.13;
  for (std::size_t k = 0; k < r.vane.way.size(); ++k)
    if (r.vane.way[k] > kPi) r.vane.force[k] *= 0.5;
  return r;
}

Json verdict(const Json& figures, const std::string& name) {
  for (const Json& row : figures["verdicts"])
    if (row["figure"] == name) return row;
  ADD_FAILURE() << "no verdict on " << name;
  return {};
}

double valueOf(const Json& figures, const std::string& name) {
  return verdict(figures, name)["measured"].get<double>();
}

}  // namespace

// Forces that published factors make in clay of 5 kPa: 525 N on the standard T-bar, and so on.
TEST(ToolFigures, GiveBackTheFactorsThatMadeTheForcesInClay) {
  const double area = 0.2 * 0.5, su = 5000.0, w = 0.05;
  const Json f = toolFigures(
      readings(525.0, 0.25 * kPi * 0.01 * (12.0 * su + 6000.0 * 0.35),
               area * (kStripFactor * su + 6000.0 * w), area * (3.549 * su + 6000.0 * 0.4),
               area * (2.595 * su + 0.5 * 6000.0 * 0.2)),
      clay());
  EXPECT_NEAR(valueOf(f, "t_bar_factor"), 10.5, 1e-9);
  EXPECT_NEAR(f["t_bar"]["readings"][2]["strength_Pa"].get<double>(), 5000.0, 1e-6);
  EXPECT_TRUE(f["t_bar"]["readings"][2]["trench_stays_open"].get<bool>());  // 1.3 kPa on 5
  EXPECT_NEAR(f["t_bar_again"]["readings"][2]["over_first_pass"].get<double>(), 0.6, 1e-12);
  EXPECT_NEAR(valueOf(f, "cone_factor"), 12.0, 1e-9);
  EXPECT_NEAR(valueOf(f, "bearing_factor"), kStripFactor, 1e-9);
  EXPECT_NEAR(valueOf(f, "bearing_over_line"), 1.0, 1e-9);  // phi = 0: the same thing
  EXPECT_NEAR(valueOf(f, "uplift_factor"), 3.549, 1e-9);
  EXPECT_NEAR(valueOf(f, "sideways_factor"), 2.595, 1e-9);
  for (const Json& row : f["verdicts"]) EXPECT_EQ(row["verdict"], "inside") << row;
}

TEST(ToolFigures, VaneIsSetBesideTheCellsAtPeakAndAfterATurn) {
  const Json f = toolFigures(readings(525.0, 1.0, 1.0, 1.0, 1.0), clay());
  EXPECT_NEAR(f["vane"]["strength_Pa"].get<double>(), 10000.0, 0.05);
  EXPECT_NEAR(f["vane"]["remoulded_strength_Pa"].get<double>(), 5000.0, 0.05);
  EXPECT_NEAR(valueOf(f, "vane_sensitivity"), 2.0, 1e-9);
  EXPECT_NEAR(valueOf(f, "vane_peak_over_cell"), 1.0, 1e-5);
  EXPECT_NEAR(valueOf(f, "vane_remoulded_over_cell"), 1.0, 1e-5);
  EXPECT_EQ(verdict(f, "bearing_factor")["verdict"], "below");
}

TEST(ToolFigures, StrengthGrowsWithStressAndRate) {
  ToolGround ground = clay();
  ground.strength = 2000.0;
  ground.slope = 0.25;
  ground.rateFactor = 1.2;
  ground.peakRateFactor = 1.1;
  ground.peakStrength = {3000.0, 12000.0};
  EXPECT_NEAR(ground.strengthAt(4000.0), 1.2 * 3000.0, 1e-9);
  EXPECT_NEAR(ground.peakStrengthAt(4000.0), 1.1 * 6000.0, 1e-9);
}

// q = 18.09 stress; N_gamma 7.653 to 14.75, with 2 x 0.25 x 18.40 for the sinkage; 1.577 to 2.155;
// 3 - 1/3 to 4.1433 - 1/3.
TEST(ToolFigures, GiveBackTheFactorsThatMadeTheForcesInSand) {
  const double area = 0.2 * 0.5;
  const Json f =
      toolFigures(readings(525.0, 0.25 * kPi * 0.01 * 18.09 * 9000.0 * 0.35, area * 20.0 * 900.0,
                           area * 1.8 * 9000.0 * 0.4, 3.0 * 0.5 * 9000.0 * 0.04 * 0.5),
                  sand());
  EXPECT_NEAR(valueOf(f, "cone_resistance_over_stress"), 18.09, 1e-9);
  EXPECT_NEAR(valueOf(f, "bearing_factor"), 20.0, 1e-9);
  EXPECT_NEAR(verdict(f, "bearing_factor")["low"].get<double>(), 7.653 + 9.20, 0.01);
  EXPECT_NEAR(verdict(f, "bearing_factor")["high"].get<double>(), 14.75 + 9.20, 0.01);
  EXPECT_NEAR(valueOf(f, "uplift_factor"), 1.8, 1e-9);
  EXPECT_NEAR(valueOf(f, "sideways_factor"), 3.0, 1e-9);
  EXPECT_NEAR(verdict(f, "sideways_factor")["low"].get<double>(), 3.0 - 1.0 / 3.0, 1e-9);
  EXPECT_NEAR(verdict(f, "sideways_factor")["high"].get<double>(), 4.1433 - 1.0 / 3.0, 1e-4);
  for (const Json& row : f["verdicts"]) EXPECT_EQ(row["verdict"], "inside") << row;
}

}  // namespace holdground
