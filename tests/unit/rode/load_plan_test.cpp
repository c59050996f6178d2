#include "solver/rode/load_plan.hpp"

#include <gtest/gtest.h>

#include "solver/core/errors.hpp"

namespace holdground {

TEST(LoadPlan, RampRisesEvenlyAndThenStays) {
  const LoadPlan plan = LoadPlan::ramp(1000.0, 200.0);
  EXPECT_EQ(plan.loadAt(-1.0), 0.0);
  EXPECT_DOUBLE_EQ(plan.loadAt(2.0), 400.0);
  EXPECT_DOUBLE_EQ(plan.loadAt(50.0), 1000.0);
  EXPECT_FALSE(plan.phaseAt(4.9).finished);
  EXPECT_TRUE(plan.phaseAt(5.1).finished);
}

TEST(LoadPlan, StaircaseRisesSmoothlyAndHolds) {
  const LoadPlan plan = LoadPlan::staircase({500.0, 800.0}, 100.0, 30.0);
  EXPECT_DOUBLE_EQ(plan.duration(), 5.0 + 30.0 + 3.0 + 30.0);
  EXPECT_DOUBLE_EQ(plan.loadAt(2.5), 250.0);
  EXPECT_DOUBLE_EQ(plan.loadAt(20.0), 500.0);
  EXPECT_DOUBLE_EQ(plan.loadAt(36.5), 650.0);
  EXPECT_DOUBLE_EQ(plan.loadAt(60.0), 800.0);
  const PlanPhase rising = plan.phaseAt(36.5), holding = plan.phaseAt(20.0);
  EXPECT_EQ(rising.stage, 1u);
  EXPECT_FALSE(rising.holding);
  EXPECT_EQ(holding.stage, 0u);
  EXPECT_TRUE(holding.holding);
  EXPECT_DOUBLE_EQ(holding.timeInPhase, 15.0);
}

TEST(LoadPlan, HasNoJumpInLoadAnywhere) {
  const LoadPlan plan = LoadPlan::staircase({500.0, 800.0}, 100.0, 1.0);
  const double step = 1e-3;
  // The steepest a smooth rise gets is 1.5 times its mean rate.
  for (double time = 0.0; time < plan.duration(); time += step)
    EXPECT_LE(plan.loadAt(time + step) - plan.loadAt(time), 1.5 * 100.0 * step * (1.0 + 1e-9));
}

TEST(LoadPlan, StepsOfNoRiseTimeJump) {
  const LoadPlan plan({{100.0, 0.0, 1.0}, {300.0, 0.0, 1.0}});
  EXPECT_DOUBLE_EQ(plan.loadAt(0.0), 100.0);
  EXPECT_DOUBLE_EQ(plan.loadAt(1.5), 300.0);
}

TEST(LoadPlan, RefusesNonsense) {
  EXPECT_THROW(LoadPlan(std::vector<LoadStage>{}), InputError);
  EXPECT_THROW(LoadPlan({{-1.0, 0.0, 0.0}}), InputError);
  EXPECT_THROW(LoadPlan::ramp(100.0, 0.0), InputError);
  EXPECT_THROW(LoadPlan::staircase({100.0}, 0.0, 1.0), InputError);
}

}  // namespace holdground
