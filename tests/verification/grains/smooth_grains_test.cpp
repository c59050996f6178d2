// Grains with neither friction nor rolling resistance, for which the fast kernel leaves out all
// springs, against the same law with so little of both that single precision does not see it.
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

}  // namespace holdground
