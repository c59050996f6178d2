// Lids: endless sheets over a bed, pressed by a force, dragged, and taken away.

#include <gtest/gtest.h>

#include <cmath>

#include "solver/probe/probe_simulation.hpp"
#include "tests/support/contact_meshes.hpp"
#include "tests/support/contact_world.hpp"
#include "tests/support/kernels.hpp"
#include "tests/support/lid_over_bed.hpp"

namespace holdground {
namespace {

constexpr double kTile = LidOverBed::kTile;

/// One layer of equal grains, held, their tops at z = 0.
GrainSet heldLayer() {
  constexpr double kRadius = 0.02;
  GrainList grains({kTile, kTile, -0.3, 1.0});
  for (int j = 0; j < 12; ++j)
    for (int i = 0; i < 12; ++i)
      grains.add(kRadius, Vec3((i + 0.5) * 0.05 - 0.3, (j + 0.5) * 0.05 - 0.3, -kRadius),
                 Vec3::Zero(), Vec3::Zero(), true);
  return grains.set();
}

}  // namespace

class ProbeLid : public KernelTest {};

TEST_P(ProbeLid, EndlessSheetTouchesEveryGrainOnceHoweverFarItHasSlid) {
  const GrainSet layer = heldLayer();
  ProbeSimulation probe(layer, smallProbe(GetParam()));
  const TriangleMesh sheet = sheetFacingDown(kTile + 0.06, kTile + 0.06, 5, 5);
  ProbeBody lid;
  lid.parts = {{&sheet, {0.3, 0.0}}};
  lid.position = Vec3(0.013, 0.007, -1e-4);
  lid.drive.axis[0] = AxisDrive::velocity(3.0);
  lid.drive.axis[1] = AxisDrive::velocity(1.3);
  probe.addBody(lid);
  for (int k = 0; k < 5000; ++k) {  // 1.5 m, two and a half tiles along and one across
    probe.advanceOneStep();
    ASSERT_EQ(probe.steel(0).load().contacts, layer.size()) << k;
  }
}

// Sliding spheres of no freedom: the lid's friction is mu N, and N is the force applied once the
// bounce has gone.
TEST_P(ProbeLid, PlateDraggedOverHeldGrainsFeelsFrictionTimesItsLoad) {
  const double load = 500.0;
  for (const double friction : {0.2, 0.5}) {
    ProbeSimulation probe(heldLayer(), smallProbe(GetParam()));
    const TriangleMesh sheet = sheetFacingDown(kTile + 0.06, kTile + 0.06, 5, 5);
    ProbeBody lid;
    lid.parts = {{&sheet, {friction, 0.0}}};
    lid.mass = 20.0;
    lid.drive = pressed(load, 2000.0, 0.05);
    probe.addBody(lid);
    run(probe, 0.5);
    const BodyLoad reaction = probe.reaction(0);
    // At rest along z to rounding; the springs slide, so |T| = mu N to rounding, too.
    EXPECT_NEAR(reaction.force.z(), load, 1e-6 * load);
    EXPECT_NEAR(reaction.force.x(), -friction * load, 1e-4 * load);
    EXPECT_NEAR(reaction.force.y(), 0.0, 1e-4 * load);
  }
}

TEST_P(ProbeLid, GrainAtRestPressesAPlateWithItsWeight) {
  ProbeSettings settings = smallProbe(GetParam());
  settings.bed.water.density = 1025.0;
  GrainList grains({1.0, 1.0, -0.5, 1.0});
  grains.add(0.03, Vec3(0.1, 0.2, 0.0301));
  ProbeSimulation probe(grains.set(), settings);
  const TriangleMesh sheet = test::sheet(0.5, 0.6, 3, 3);
  ProbeBody plate;
  plate.parts = {{&sheet, {0.3, 0.01}}};
  plate.pivot = Vec3(0.05, 0.0, 0.0);
  plate.position = plate.pivot;
  probe.addBody(plate);
  run(probe, 0.5);
  const double weight = (settings.bed.material.density - settings.bed.water.density) * 4.0 / 3.0 *
                        kPi * 0.03 * 0.03 * 0.03 * settings.bed.gravity;
  const BodyLoad reaction = probe.reaction(0);
  // A place of the fast kernel is known to 7e-10 m, the overlap is 5e-5 m, the force goes with its
  // power 3/2: 2e-5. The reference rests to what its damping has left.
  const double tolerance = isReference() ? 1e-9 : 2e-5;
  EXPECT_NEAR(reaction.force.z(), -weight, tolerance * weight);
  // About the pivot: (0.05, 0.2) x (0, 0, -W).
  EXPECT_NEAR(reaction.torque.x(), -0.2 * weight, tolerance * weight);
  EXPECT_NEAR(reaction.torque.y(), 0.05 * weight, tolerance * weight);
}

TEST_P(ProbeLid, ForceDrivenLidPressesWithItsForceAndDoesNotBounceWhileSheared) {
  LidOverBed world(GetParam());
  ProbeSimulation& probe = world.probe();
  run(probe, 0.7);
  world.beginShearing(0.05);
  constexpr int kSteps = 3000;
  const Vec3 before = world.grainMomentum();
  const double speedBefore = probe.motion(1).velocity.z();
  const double heightBefore = probe.motion(1).pivot.z();
  Vec3 lid = Vec3::Zero(), floor = Vec3::Zero();  // mean reactions
  double squares = 0.0;
  for (int k = 0; k < kSteps; ++k) {
    probe.advanceOneStep();
    lid += probe.reaction(1).force / kSteps;
    floor += probe.reaction(0).force / kSteps;
    squares += std::pow(probe.reaction(1).force.z() - LidOverBed::kLoad, 2) / kSteps;
    // It never lets go: some 90 of 144 grains across touch it.
    ASSERT_GT(probe.steel(1).load().contacts, 40u) << k;
  }
  const double time = kSteps * probe.settings().bed.timeStep;
  // Newton for the grains: their momentum changes by all forces on them. Momenta are those of the
  // full step, predicted, forces are summed over half steps on either side: at both ends half a
  // step of what the forces have not in balance, at most the load: 2 * dt / 2 * F / time.
  const double half = probe.settings().bed.timeStep * LidOverBed::kLoad / time;
  const Vec3 gain = (world.grainMomentum() - before) / time;
  EXPECT_NEAR(-lid.x() - floor.x(), gain.x(), half);
  EXPECT_NEAR(-lid.z() - floor.z() - world.grainWeight(), gain.z(), half);
  // Newton for the lid: load less dashpot less inertia, again to half a step.
  const double sink = (probe.motion(1).pivot.z() - heightBefore) / time;
  const double inertia = LidOverBed::kMass * (probe.motion(1).velocity.z() - speedBefore) / time;
  EXPECT_NEAR(lid.z(), LidOverBed::kLoad + LidOverBed::kDamping * sink + inertia, half);
  // So it presses with its load but for the dashpot: it moves with the dilating bed at a tenth of
  // the shearing speed or so, 1000 * 0.005 = 5 N of 1800. A bouncing lid would be wrong by the
  // load.
  EXPECT_NEAR(lid.z(), LidOverBed::kLoad, 0.01 * LidOverBed::kLoad);
  EXPECT_LT(std::sqrt(squares), 0.05 * LidOverBed::kLoad);
  EXPECT_GT(-lid.x(), 0.1 * LidOverBed::kLoad);  // it does shear
  const double residual = energyResidual(probe.energyAtStart(), probe.energy());
  EXPECT_LT(std::abs(residual), 0.01 * workIn(probe.energyAtStart(), probe.energy()));
}

HOLDGROUND_ON_EVERY_KERNEL(ProbeLid);

}  // namespace holdground
