#include "scenarios/run/probe_schedule.hpp"

#include <gtest/gtest.h>

#include "tests/support/contact_meshes.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

constexpr double kStep = 1e-3;

ProbeMoveSpec led(const std::string& body, double z) {
  ProbeMoveSpec move;
  move.body = body;
  move.velocity[2] = z;
  return move;
}

ProbeSpec twoPhases() {
  ProbeSpec spec;
  spec.bodies.resize(1);
  spec.bodies[0].name = "tool";
  spec.bodies[0].damping = 7.0;
  spec.phases.resize(2);
  spec.phases[0] = {"first", 0.5, 0.2, {led("tool", -1.0)}};
  spec.phases[1] = {"second", 0.5, 0.1, {led("tool", 3.0)}};
  return spec;
}

/// One grain far away, and a body on nothing.
ProbeSimulation worldOf(const TriangleMesh& mesh) {
  ProbeSettings settings;
  settings.kernel = KernelKind::kReference;
  settings.bed.gravity = 0.0;
  settings.bed.timeStep = kStep;
  ProbeSimulation simulation(
      sceneOf({1.0, 1.0, -1.0, 1.0}, {{Vec3(0.4, 0.4, 0.5), Vec3::Zero(), Vec3::Zero(), 0.01}}),
      settings);
  ProbeBody body;
  body.parts = {{&mesh, {}}};
  body.mass = 2.0;
  simulation.addBody(body);
  return simulation;
}

double speedAfter(const ProbeSpec& spec, double time) {
  const TriangleMesh mesh = test::box(Vec3(0.1, 0.1, 0.1));
  ProbeSimulation simulation = worldOf(mesh);
  ProbeSchedule schedule(spec);
  while (simulation.time() < time - 0.5 * kStep) {
    schedule.apply(simulation);
    simulation.advanceOneStep();
  }
  schedule.apply(simulation);
  return simulation.drive(0).axis[2].value;
}

}  // namespace

TEST(ProbeSchedule, GoesOverSmoothlyInTheRampOfEachPhase) {
  const ProbeSpec spec = twoPhases();
  EXPECT_EQ(speedAfter(spec, 0.0), 0.0);
  EXPECT_NEAR(speedAfter(spec, 0.1), -0.5, 1e-9);       // half of the ramp
  EXPECT_NEAR(speedAfter(spec, 0.05), -0.15625, 1e-9);  // s = 1/4: 1/16 * 2.5
  EXPECT_EQ(speedAfter(spec, 0.3), -1.0);
  EXPECT_NEAR(speedAfter(spec, 0.55), 1.0, 1e-9);
  EXPECT_EQ(speedAfter(spec, 0.7), 3.0);
}

TEST(ProbeSchedule, KnowsThePhaseOfATime) {
  const ProbeSpec spec = twoPhases();
  const ProbeSchedule schedule(spec);
  EXPECT_EQ(schedule.phaseAt(0.0), 0u);
  EXPECT_EQ(schedule.phaseAt(0.499), 0u);
  EXPECT_EQ(schedule.phaseAt(0.5), 1u);
  EXPECT_EQ(schedule.phaseAt(7.0), 1u);
  EXPECT_FALSE(schedule.isOver(0.999));
  EXPECT_TRUE(schedule.isOver(1.0));
}

TEST(ProbeSchedule, ForceBeginsWithWhatBalancesTheReactionAndKeepsTheSpeed) {
  ProbeSpec spec = twoPhases();
  spec.phases[1].moves[0].velocity[2].reset();
  spec.phases[1].moves[0].force[2] = 100.0;
  const TriangleMesh mesh = test::box(Vec3(0.1, 0.1, 0.1));
  ProbeSimulation simulation = worldOf(mesh);
  ProbeSchedule schedule(spec);
  while (simulation.time() < 0.5 - 0.5 * kStep) {
    schedule.apply(simulation);
    simulation.advanceOneStep();
  }
  schedule.apply(simulation);
  EXPECT_EQ(simulation.drive(0).axis[2].kind, AxisDrive::Kind::kForce);
  EXPECT_NEAR(simulation.drive(0).axis[2].value, 0.0, 1e-9);  // nothing touches it
  EXPECT_EQ(simulation.drive(0).axis[2].damping, 7.0);
  EXPECT_NEAR(simulation.motion(0).velocity.z(), -1.0, 1e-12);
}

TEST(ProbeSchedule, TakesABodyAwayWhenItsPhaseBegins) {
  ProbeSpec spec = twoPhases();
  spec.phases[1].moves[0] = {};
  spec.phases[1].moves[0].body = "tool";
  spec.phases[1].moves[0].remove = true;
  const TriangleMesh mesh = test::box(Vec3(0.1, 0.1, 0.1));
  ProbeSimulation simulation = worldOf(mesh);
  ProbeSchedule schedule(spec);
  while (!schedule.isOver(simulation.time())) {
    schedule.apply(simulation);
    EXPECT_EQ(simulation.isPresent(0), simulation.time() < 0.5);
    simulation.advanceOneStep();
  }
}

}  // namespace holdground
