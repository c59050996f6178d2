// Energy of a heap that falls and comes to rest: what gravity gives is stored or booked as lost.
#include <gtest/gtest.h>

#include <cmath>

#include "solver/simulation/simulation.hpp"
#include "tests/support/two_soils.hpp"

namespace holdground {
namespace {

/// A column of grains that stands on a held layer in a wider domain and slumps.
GrainSet standingColumn() {
  CloudShape shape;
  shape.across = 12;
  shape.layers = 12;
  shape.spacing = 2.2;
  shape.spread = 0.1;
  shape.speed = 0.1;
  shape.frozenFloor = true;
  const GrainSet full = cloudOf(shape);
  GrainSet column;
  column.domain = full.domain;
  for (std::size_t id = 0; id < full.size(); ++id) {
    const bool inside = full.position[id].head<2>().norm() < 0.17;
    if (!full.frozen[id] && !inside) continue;
    column.position.push_back(full.position[id]);
    column.velocity.push_back(full.velocity[id]);
    column.spin.push_back(full.spin[id]);
    column.radius.push_back(full.radius[id]);
    column.frozen.push_back(full.frozen[id]);
  }
  return column;
}

}  // namespace

class EnergyLedgerTest : public KernelTest {};

// 0.5 % of the work for the reference, 1 % for the fast kernel: the bars of every record.
TEST_P(EnergyLedgerTest, CollapsingHeapIsAccountedFor) {
  const KernelSettings settings = bedSettings();
  const auto kernel = kernelOf(standingColumn(), settings);
  const EnergyLedger start = kernel->energy();
  double worst = 0.0;
  for (int k = 0; k < 12; ++k) {
    steps(*kernel, 1000);
    const EnergyLedger now = kernel->energy();
    const double work = workIn(start, now) + start.kinetic;
    ASSERT_GT(work, start.kinetic);
    worst = std::max(worst, std::abs(energyResidual(start, now)) / work);
  }
  EXPECT_LE(worst, isReference() ? 0.005 : 0.01);
  const EnergyLedger end = kernel->energy();
  const double released = start.potential - end.potential;
  EXPECT_GT(released, 20.0 * start.kinetic);
  EXPECT_LT(end.kinetic, 0.05 * released) << "it should have come to rest";
  EXPECT_GT(end.friction, 0.05 * released);
  EXPECT_GT(end.rolling, 0.01 * released);
  EXPECT_GT(end.waterDrag, 0.01 * released);
  for (const double loss : {end.friction, end.normalDamping, end.tangentialDamping, end.rolling,
                            end.waterDrag, end.historyArtefact})
    EXPECT_GE(loss, 0.0);
}

TEST_P(EnergyLedgerTest, HeapOfGrainsThatStickIsAccountedFor) {
  KernelSettings settings = bedSettings();
  settings.material.pullOffStress = 2.0e3;
  const auto kernel = kernelOf(standingColumn(), settings);
  kernel->updateNeighbours();  // energies of pairs are those of the list
  const EnergyLedger start = kernel->energy();
  double worst = 0.0, bound = 0.0;
  for (int k = 0; k < 6; ++k) {
    steps(*kernel, 1000);
    const EnergyLedger now = kernel->energy();
    // Grains that meet give off the energy of their bond: it is turned over like work put in.
    const double bonds = start.elasticNormal - now.elasticNormal;
    const double work = workIn(start, now) + start.kinetic + bonds;
    worst = std::max(worst, std::abs(energyResidual(start, now)) / work);
    bound = std::min(bound, now.elasticNormal);
  }
  EXPECT_LT(bound, 0.0) << "nothing stuck";
  EXPECT_LE(worst, isReference() ? 0.005 : 0.01);
}

// The dents of a heap that was loose cost some of the work; their pull is worth some grains'
// weight.
TEST_P(EnergyLedgerTest, HeapOfGrainsThatKeepDentsIsAccountedFor) {
  KernelSettings settings = bedSettings();
  settings.material.pullOffStress = 500.0;
  settings.material.plasticity = 0.6;
  settings.material.adhesiveShare = 1.0;
  settings.timeStep *= std::sqrt(1.0 - settings.material.plasticity);
  const auto kernel = kernelOf(standingColumn(), settings);
  kernel->updateNeighbours();
  const EnergyLedger start = kernel->energy();
  double worst = 0.0, plastic = 0.0;
  for (int k = 0; k < 8; ++k) {
    steps(*kernel, 1000);
    const EnergyLedger now = kernel->energy();
    const double bonds = start.elasticNormal - now.elasticNormal;
    const double work = workIn(start, now) + start.kinetic + bonds;
    worst = std::max(worst, std::abs(energyResidual(start, now)) / work);
    EXPECT_GE(now.plastic, plastic);
    plastic = now.plastic;
  }
  EXPECT_LE(worst, isReference() ? 0.005 : 0.01);
  EXPECT_GT(plastic, 0.05 * workIn(start, kernel->energy()));
}

TEST_P(EnergyLedgerTest, HeapOfTwoSoilsIsAccountedFor) {
  const auto kernel = kernelOf(inTwoSoils(standingColumn(), 0.25), twoSoilSettings());
  kernel->updateNeighbours();
  const EnergyLedger start = kernel->energy();
  double worst = 0.0;
  for (int k = 0; k < 8; ++k) {
    steps(*kernel, 1000);
    const EnergyLedger now = kernel->energy();
    const double bonds = start.elasticNormal - now.elasticNormal;
    const double work = workIn(start, now) + start.kinetic + bonds;
    worst = std::max(worst, std::abs(energyResidual(start, now)) / work);
  }
  EXPECT_LE(worst, isReference() ? 0.005 : 0.01);
  EXPECT_GT(kernel->energy().plastic, 0.0);
}

// Drag in closed form: m v' = -c v^2 from rest speed v0, v = v0/(1 + c v0 t/m).
TEST_P(EnergyLedgerTest, DragSlowsALoneGrainAsTheQuadraticLawSays) {
  KernelSettings settings = bedSettings();
  settings.gravity = 0.0;
  Ball ball;
  ball.radius = 0.02;
  ball.velocity = Vec3(0.6, 0.0, 0.8);
  const auto kernel = kernelOf(sceneOf(Domain{1.0, 1.0, -2.0, 2.0}, {ball}), settings);
  const int count = 4000;
  steps(*kernel, count);
  const double mass = massOf(settings, ball.radius);
  const double factor = 0.5 * settings.water.density * settings.water.dragCoefficient * kPi *
                        ball.radius * ball.radius;
  const double expected = 1.0 / (1.0 + factor * count * settings.timeStep / mass);
  const GrainSample sample = grainOf(*kernel, 0);
  EXPECT_NEAR(sample.velocity.norm() / expected, 1.0, 1e-3);
  EXPECT_NEAR(sample.velocity.z() / sample.velocity.x(), 0.8 / 0.6, 1e-4);
  EXPECT_NEAR(kernel->energy().waterDrag / (0.5 * mass * (1.0 - expected * expected)), 1.0, 2e-3);
}

HOLDGROUND_ON_EVERY_KERNEL(EnergyLedgerTest);

}  // namespace holdground
