#include "solver/probe/probe_simulation.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "solver/core/errors.hpp"
#include "tests/support/contact_meshes.hpp"
#include "tests/support/contact_world.hpp"
#include "tests/support/kernels.hpp"
#include "tests/support/lid_over_bed.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {
namespace {

struct Balance {
  double residual, work;
};
Balance balanceOf(const ProbeSimulation& probe) {
  const EnergyLedger now = probe.energy();
  return {energyResidual(probe.energyAtStart(), now), workIn(probe.energyAtStart(), now)};
}

}  // namespace

class ProbeSimulationTest : public KernelTest {};

TEST_P(ProbeSimulationTest, TakingALoadedLidAwayKeepsTheBooksClosed) {
  LidOverBed world(GetParam());
  ProbeSimulation& probe = world.probe();
  run(probe, 0.7);
  const EnergyLedger before = probe.energy();
  const Balance loaded = balanceOf(probe);
  probe.removeBody(LidOverBed::kLid);
  EXPECT_FALSE(probe.isPresent(LidOverBed::kLid));
  const EnergyLedger after = probe.energy();
  const Balance removed = balanceOf(probe);
  // Some joules of springs change their account: only the order of the sums differs.
  EXPECT_LT(after.elasticNormal, before.elasticNormal - 0.1);
  EXPECT_LT(after.prescribed, before.prescribed - 0.1);
  EXPECT_NEAR(removed.residual, loaded.residual, 1e-12 * loaded.work);
  run(probe, 0.3);
  EXPECT_LT(std::abs(balanceOf(probe).residual), 0.01 * loaded.work);
  // The floor carries the grains alone once they have come down again.
  double floor = 0.0;
  for (int k = 0; k < 1000; ++k) {
    probe.advanceOneStep();
    floor += probe.reaction(LidOverBed::kFloor).force.z() / 1000;
  }
  EXPECT_NEAR(floor, -world.grainWeight(), 0.05 * world.grainWeight());
}

TEST_P(ProbeSimulationTest, GrainsRunOutWhenTheirContainerIsTakenAway) {
  GrainList grains({2.0, 2.0, -0.5, 1.0});
  for (int k = 0; k < 4; ++k)
    for (int j = 0; j < 3; ++j)
      for (int i = 0; i < 3; ++i)
        grains.add(0.02, Vec3((i - 1) * 0.0401 + (k % 2 == 0 ? 0.004 : -0.004), (j - 1) * 0.0401,
                              0.0205 + k * 0.0405));
  ProbeSimulation probe(grains.set(), smallProbe(GetParam()));
  const TriangleMesh plate = test::sheet(1.9, 1.9, 2, 2);
  const TriangleMesh walls = test::insideOut(test::box(Vec3(0.13, 0.13, 0.4), 2));
  ProbeBody floor, container;
  floor.parts = {{&plate, {0.4, 0.02}}};
  container.parts = {{&walls, {0.2, 0.0}}};
  container.position = Vec3(0.0, 0.0, 0.2);
  probe.addBody(floor);
  const std::size_t box = probe.addBody(container);
  const auto widest = [&] {
    double result = 0.0;
    for (std::uint32_t slot = 0; slot < probe.kernel().size(); ++slot)
      result = std::max(result, std::abs(probe.kernel().sample(slot).position.x()));
    return result;
  };
  run(probe, 0.4);
  EXPECT_LT(widest(), 0.065 - 0.02 + 1e-4);
  EXPECT_GT(probe.steel(box).load().contacts, 0u);
  probe.removeBody(box);
  run(probe, 0.4);
  EXPECT_GT(widest(), 0.08);
  const Balance balance = balanceOf(probe);
  EXPECT_LT(std::abs(balance.residual), 0.01 * balance.work);
}

TEST_P(ProbeSimulationTest, BodyBroughtInLaterCountsFromThen) {
  LidOverBed world(GetParam());
  ProbeSimulation& probe = world.probe();
  run(probe, 0.05);
  const TriangleMesh ball = test::icosphere(2, 0.05);
  ProbeBody body;
  body.parts = {{&ball, {}}};
  body.position = Vec3(0.0, 0.0, 0.8);
  body.mass = 2.0;
  body.drive.axis[2] = AxisDrive::velocity(-1.0);
  const double before = balanceOf(probe).residual;
  const std::size_t added = probe.addBody(body);
  EXPECT_EQ(added, 2u);
  EXPECT_NEAR(balanceOf(probe).residual, before, 1e-12);
  // Let go at 1 m/s it holds 1 J, and without a force it keeps them.
  body.drive.axis[2] = AxisDrive::force(0.0);
  probe.setDrive(added, body.drive);
  EXPECT_NEAR(balanceOf(probe).residual, before, 1e-12);
  run(probe, 0.01);
  EXPECT_NEAR(probe.motion(added).pivot.z(), 0.79, 1e-12);
}

TEST_P(ProbeSimulationTest, TorqueIsAboutThePivotWhereverTheMiddleOfTheMeshIs) {
  // Weightless: a held grain is hit by a block turned about a far pivot.
  GrainList grains({2.0, 2.0, -0.5, 1.0});
  grains.add(0.02, Vec3(0.5, 0.0, 0.0), Vec3::Zero(), Vec3::Zero(), true);
  ProbeSimulation probe(grains.set(), smallProbe(GetParam()));
  const TriangleMesh block = test::boxMesh(Vec3(0.3, -0.12, -0.1), Vec3(0.4, 0.1, 0.2));
  ProbeBody body;
  body.parts = {{&block, {0.0, 0.0}}};
  body.drive.spin = Vec3(0.0, 0.0, 0.1);
  probe.addBody(body);
  for (int k = 0; probe.steel(0).load().contacts == 0 && k < 10000; ++k) probe.advanceOneStep();
  for (int k = 0; k < 100; ++k) probe.advanceOneStep();
  const BodyLoad load = probe.reaction(0);
  ASSERT_GT(load.force.norm(), 1.0);
  // Without friction the force goes through the grain's centre.
  const Vec3 expected = Vec3(0.5, 0.0, 0.0).cross(load.force);
  EXPECT_NEAR(load.torque.z(), expected.z(), 1e-6 * expected.norm());
  EXPECT_NEAR(probe.partReaction(0, 0).torque.z(), expected.z(), 1e-6 * expected.norm());
}

TEST_P(ProbeSimulationTest, RefusesBodiesThatAreNotThere) {
  LidOverBed world(GetParam());
  ProbeBody empty;
  EXPECT_THROW(world.probe().addBody(empty), InputError);
  EXPECT_THROW(world.probe().setDrive(7, {}), std::out_of_range);
}

HOLDGROUND_ON_EVERY_KERNEL(ProbeSimulationTest);

}  // namespace holdground
