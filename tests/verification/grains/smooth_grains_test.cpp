// Grains with neither friction nor rolling resistance, for which the fast kernel leaves out all
// springs, and those with friction alone, for which it leaves out those of rolling, against the
// same law with so little of what is missing that single precision does not see it.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/beds.hpp"

namespace holdground {
namespace {

GrainMaterial sticky(double friction, double plasticity) {
  GrainMaterial m = bedSettings().material;
  m.pullOffStress = 5e3;
  m.plasticity = plasticity;
  m.adhesiveShare = plasticity > 0.0 ? 0.5 : 0.0;
  m.friction = m.rollingFriction = friction;
  return m;
}

GrainMaterial rubbing(double rolling, double plasticity) {
  GrainMaterial m = sticky(0.3, plasticity);
  m.rollingFriction = rolling;
  return m;
}

/// A bed that settled with friction, pushed sideways, and some steps later.
std::unique_ptr<GrainKernel> pushedFor(int count, const GrainMaterial& material,
                                       EnergyLedger* atStart = nullptr) {
  KernelSettings settings = bedSettings();
  settings.material = material;
  auto kernel = makeKernel(KernelKind::kFast, pushedBed(), settings);
  kernel->updateNeighbours();
  if (atStart != nullptr) *atStart = kernel->energy();
  steps(*kernel, count);
  kernel->updateNeighbours();
  return kernel;
}

}  // namespace

TEST(SmoothGrains, MoveAsThoseWithNextToNoFriction) {
  for (const double plasticity : {0.0, 0.6}) {
    const GrainSet smooth = pushedFor(400, sticky(0.0, plasticity))->store();
    const GrainSet rough = pushedFor(400, sticky(1e-30, plasticity))->store();
    const GrainSet before = pushedBed();
    double moved = 0.0;
    for (std::size_t k = 0; k < smooth.size(); ++k) {
      EXPECT_EQ(smooth.position[k], rough.position[k]) << k;
      EXPECT_EQ(smooth.velocity[k], rough.velocity[k]) << k;
      moved = std::max(moved, (smooth.position[k] - before.position[k]).norm());
    }
    EXPECT_GT(moved, 0.01);
    ASSERT_EQ(smooth.contacts.size(), rough.contacts.size());
    for (std::size_t k = 0; k < smooth.contacts.size(); ++k) {
      EXPECT_EQ(smooth.contacts[k].tangentialForce, Vec3::Zero()) << "left from settling";
      EXPECT_EQ(smooth.contacts[k].tangentialStiffness, rough.contacts[k].tangentialStiffness);
      EXPECT_EQ(smooth.contacts[k].dent, rough.contacts[k].dent);
    }
  }
}

TEST(SmoothGrains, LoseTheSameEnergy) {
  for (const double plasticity : {0.0, 0.6}) {
    EnergyLedger start;
    const auto smooth = pushedFor(400, sticky(0.0, plasticity), &start);
    const EnergyLedger a = smooth->energy();
    const EnergyLedger b = pushedFor(400, sticky(1e-30, plasticity))->energy();
    EXPECT_EQ(a.normalDamping, b.normalDamping);
    EXPECT_EQ(a.plastic, b.plastic);
    EXPECT_EQ(a.friction, 0.0);
    EXPECT_EQ(a.elasticTangential, 0.0);
    EXPECT_GT(a.normalDamping, 0.0);
    // The bar of the fast kernel, of what the push put in.
    EXPECT_LE(std::abs(energyResidual(start, a)), 0.01 * start.kinetic);
  }
}

// Sliding is cut with another order of factors: each cut differs by some 2^-23, and 20 of them by
// 2.4e-6 of a force; speeds here are up to 1 m/s. Later the pull through chaos tells.
TEST(SlidingGrains, MoveAsThoseThatHardlyResistRolling) {
  constexpr double kTolerance = 2.4e-6;
  for (const double plasticity : {0.0, 0.6}) {
    EnergyLedger start;
    const auto without = pushedFor(20, rubbing(0.0, plasticity), &start);
    const auto with = pushedFor(20, rubbing(1e-30, plasticity));
    const GrainSet a = without->store(), b = with->store(), before = pushedBed();
    double moved = 0.0;
    for (std::size_t k = 0; k < a.size(); ++k) {
      EXPECT_LT((a.velocity[k] - b.velocity[k]).norm(), kTolerance) << k;
      EXPECT_LT((a.spin[k] - b.spin[k]).norm() * a.radius[k], kTolerance) << k;
      moved = std::max(moved, (a.position[k] - before.position[k]).norm());
    }
    EXPECT_GT(moved, 0.0005);
    for (const ContactMemory& c : a.contacts) EXPECT_EQ(c.rollingMoment, Vec3::Zero());
    const EnergyLedger lost = without->energy(), same = with->energy();
    EXPECT_GT(lost.friction, 0.01 * start.kinetic);
    EXPECT_NEAR(lost.friction, same.friction, 1e-4 * lost.friction);
    EXPECT_NEAR(lost.tangentialDamping, same.tangentialDamping, 1e-4 * lost.friction);
    EXPECT_EQ(lost.rolling, 0.0);
    EXPECT_LE(std::abs(energyResidual(start, lost)), 0.01 * start.kinetic);
  }
}

}  // namespace holdground
