#include "solver/simulation/simulation.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "solver/bed/tile.hpp"
#include "solver/core/errors.hpp"
#include "tests/support/kernels.hpp"
#include "tests/support/small_pull.hpp"

namespace holdground {
namespace {

Simulation simulationOf(KernelKind kind) {
  const GrainSet bed = layTiles(smallTile(), 2, 1);
  return Simulation(bed, blockAnchor(), smallPull(kind, bed));
}

void advanceTo(Simulation& simulation, double time) {
  while (simulation.time() < time) simulation.advanceOneStep();
}

double lowestPoint(const Simulation& simulation) {
  double lowest = 1e300;
  for (const Vec3& vertex : simulation.anchor().parts.front().mesh.vertices)
    lowest = std::min(lowest, worldPoint(simulation.anchor(), simulation.motion(), vertex).z());
  return lowest;
}

}  // namespace

class SimulationTest : public KernelTest {};

TEST_P(SimulationTest, BeginsWithTheAnchorAtRest) {
  const Simulation simulation = simulationOf(GetParam());
  EXPECT_EQ(simulation.motion().velocity, Vec3(0.0, 0.0, 0.0));
  EXPECT_EQ(simulation.energy().potential, 0.0);
}

TEST_P(SimulationTest, AnchorFallsFreelyUntilItTouches) {
  Simulation simulation = simulationOf(GetParam());
  const double start = lowestPoint(simulation);
  const double dt = simulation.settings().bed.timeStep;
  const double g = simulation.settings().bed.gravity;
  const double buoyancy = simulation.settings().bed.water.density * simulation.anchor().volume;
  const double fall = g * (1.0 - buoyancy / simulation.anchor().mass);
  // Leapfrog from rest, each step the whole acceleration: dt^2 n (n + 1) / 2 after n steps. The
  // millimetre of air takes longer than ten steps.
  for (int n = 1; n <= 10; ++n) {
    simulation.advanceOneStep();
    EXPECT_NEAR(start - lowestPoint(simulation), 0.5 * n * (n + 1) * dt * dt * fall,
                1e-12 + 1e-9 * fall * dt * dt);
  }
  EXPECT_EQ(simulation.steelLoad().contacts, 0u);
}

TEST_P(SimulationTest, RodeTakesHoldAtTimeZero) {
  Simulation simulation = simulationOf(GetParam());
  const double dt = simulation.settings().bed.timeStep;
  EXPECT_DOUBLE_EQ(simulation.time(), -simulation.settings().settleTime);
  double before = simulation.time();
  while (!simulation.isPulling()) {
    before = simulation.time();
    simulation.advanceOneStep();
  }
  EXPECT_GE(before, 0.0);
  EXPECT_LT(before, dt);
  EXPECT_EQ(simulation.step(), simulation.firstPullingStep() + 1);
  // The boat end begins one line's length ahead of the shackle, and has not gone anywhere yet.
  EXPECT_NEAR(
      simulation.pull().boatEnd.x(),
      simulation.settings().rode.speed.lineLength +
          worldPoint(simulation.anchor(), simulation.motion(), simulation.anchor().shackle).x(),
      1e-3);
}

TEST_P(SimulationTest, WorkOfTheRodeIsTheIntegralOfItsForceAlongTheWay) {
  Simulation simulation = simulationOf(GetParam());
  advanceTo(simulation, 0.0);
  const auto shackle = [&] {
    return worldPoint(simulation.anchor(), simulation.motion(), simulation.anchor().shackle);
  };
  // Centred: the force at a full step times half the way from the step before to the step after.
  double work = 0.0;
  Vec3 last = shackle();
  simulation.advanceOneStep();
  const double start = simulation.energy().rode;
  for (Vec3 here = shackle(); simulation.time() < 0.1;) {
    simulation.advanceOneStep();
    const Vec3 next = shackle();
    work += simulation.pull().force().dot(0.5 * (next - last));
    last = here;
    here = next;
  }
  ASSERT_GT(work, 0.1);
  // What is left is the turn of the block within a step: its angle, below 1e-3, squared.
  EXPECT_NEAR(simulation.energy().rode - start, work, 1e-6 * work);
}

TEST_P(SimulationTest, ShowsTheSameLoadsAfterACheckpoint) {
  Simulation simulation = simulationOf(GetParam());
  advanceTo(simulation, 0.05);
  Simulation resumed = simulationOf(GetParam());
  resumed.thaw(simulation.freeze());
  EXPECT_EQ(resumed.stateHash(), simulation.stateHash());
  EXPECT_EQ(resumed.time(), simulation.time());
  ASSERT_TRUE(resumed.isPulling());
  ASSERT_GT(simulation.pull().horizontalLoad, 0.0);
  EXPECT_EQ(resumed.pull().horizontalLoad, simulation.pull().horizontalLoad);
  EXPECT_EQ(resumed.pull().pull, simulation.pull().pull);
  EXPECT_EQ(resumed.pull().boatEnd, simulation.pull().boatEnd);
  ASSERT_GT(simulation.steelLoad().contacts, 0u);
  EXPECT_EQ(resumed.steelLoad().contacts, simulation.steelLoad().contacts);
  EXPECT_EQ(resumed.steelLoad().part.front().force, simulation.steelLoad().part.front().force);
}

TEST_P(SimulationTest, RefusesACheckpointThatEndsTooEarly) {
  Simulation simulation = simulationOf(GetParam());
  std::vector<std::byte> bytes = simulation.freeze();
  bytes.resize(bytes.size() / 2);
  EXPECT_THROW(simulation.thaw(bytes), SystemError);
}

TEST_P(SimulationTest, BooksTimeToEveryStage) {
  Simulation simulation = simulationOf(GetParam());
  advanceTo(simulation, 0.01);
  for (int k = 0; k < static_cast<int>(Stage::kCount); ++k)
    EXPECT_GT(simulation.timers().seconds(static_cast<Stage>(k)), 0.0)
        << kStageNames[static_cast<std::size_t>(k)];
}

HOLDGROUND_ON_EVERY_KERNEL(SimulationTest);

TEST(Simulation, LaysTheAnchorAMillimetreOverTheGrainUnderIt) {
  const GrainSet bed = layTiles(smallTile(), 1, 1);
  for (const double setback : {0.0, 0.3}) {
    SimulationSettings settings = smallPull(KernelKind::kReference, bed);
    settings.bed.material.steelSetback = setback;
    const Simulation simulation(bed, blockAnchor(), settings);
    // A block that lies flat and is wider than the grains: clearance is that of grains under its
    // lower face, unless one touches an edge first.
    const double bottom = simulation.motion().centreOfMass.z() - 0.03;
    double nearest = 1.0;
    for (std::size_t k = 0; k < bed.size(); ++k) {
      const Vec3& p = bed.position[k];
      const double beside =
          std::hypot(std::max(0.0, std::abs(p.x()) - 0.08), std::max(0.0, std::abs(p.y()) - 0.05));
      const double radius = bed.radius[k] * (1.0 - 2.0 * setback);
      if (beside < radius)
        nearest = std::min(nearest, bottom - p.z() - std::sqrt(radius * radius - beside * beside));
    }
    EXPECT_NEAR(nearest, 1e-3, 1e-9) << setback;
  }
}

TEST(Simulation, LaysTheAnchorToFaceThePull) {
  const GrainSet bed = layTiles(smallTile(), 1, 1);
  SimulationSettings settings = smallPull(KernelKind::kFast, bed);
  settings.rode.azimuth = 0.5 * kPi;
  const Simulation simulation(bed, blockAnchor(), settings);
  const AnchorPosition lies = positionOf(simulation.anchor(), simulation.motion(), 0.5 * kPi);
  EXPECT_NEAR((lies.toe - lies.heel).y(), 0.16, 1e-12);
  EXPECT_NEAR(lies.attitude.heading, 0.0, 1e-12);
}

TEST(EnergyBalance, IsWorkInLessWhatIsStoredLessWhatIsLost) {
  EnergyLedger start, now;
  start.kinetic = 1.0;
  start.elasticNormal = 2.0;
  now.kinetic = 5.0;             // stored: + 4
  now.elasticNormal = 10.0;      // + 8
  now.elasticTangential = 16.0;  // + 16
  now.elasticRolling = 32.0;     // + 32
  now.friction = 64.0;
  now.normalDamping = 128.0;
  now.tangentialDamping = 256.0;
  now.rolling = 512.0;
  now.waterDrag = 1024.0;
  now.historyArtefact = 2048.0;
  now.plastic = 0.5;
  now.rode = 4096.0;
  now.prescribed = 8192.0;
  start.potential = -100.0;
  now.potential = -16484.0;  // sank
  EXPECT_EQ(workIn(start, now), 4096.0 + 8192.0 + 16384.0);
  EXPECT_EQ(energyResidual(start, now), (4096.0 + 8192.0 + 16384.0) - (4.0 + 8.0 + 16.0 + 32.0) -
                                            (64.0 + 128.0 + 256.0 + 512.0 + 1024.0 + 2048.0 + 0.5));
}

}  // namespace holdground
