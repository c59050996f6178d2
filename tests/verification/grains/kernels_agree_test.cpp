// The two kernels describe one bed: beside each other from the same start, they part only by the
// rounding of single precision and by where in a step a spring slips.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/two_soils.hpp"

namespace holdground {
namespace {

double share(double value, double reference) { return value / reference; }

/// The pushed bed in either kernel, some steps on.
struct BothKernels {
  explicit BothKernels(int count, double pullOffStress = 0.0, double plasticity = 0.0) {
    settings.material.pullOffStress = pullOffStress;
    settings.material.plasticity = plasticity;
    settings.material.adhesiveShare = 1.0;
    settings.timeStep *= std::sqrt(1.0 - plasticity);
    const GrainSet start = pushedBed();
    fast = makeKernel(KernelKind::kFast, start, settings);
    reference = makeKernel(KernelKind::kReference, start, settings);
    steps(*fast, count);
    steps(*reference, count);
  }
  KernelSettings settings = bedSettings();
  std::unique_ptr<GrainKernel> fast, reference;
};

}  // namespace

TEST(KernelsAgree, OnEveryTermOfTheLedgerOfAPushedBed) {
  const BothKernels after(1500);
  const GrainKernel &fast = *after.fast, &reference = *after.reference;
  const EnergyLedger a = fast.energy(), b = reference.energy();
  // Twentieths: the bed is chaotic, and each term is a sum over some hundred grains' histories.
  EXPECT_NEAR(share(a.friction, b.friction), 1.0, 0.05);
  EXPECT_NEAR(share(a.rolling, b.rolling), 1.0, 0.05);
  EXPECT_NEAR(share(a.normalDamping, b.normalDamping), 1.0, 0.05);
  EXPECT_NEAR(share(a.waterDrag, b.waterDrag), 1.0, 0.05);
  EXPECT_NEAR(share(a.elasticNormal, b.elasticNormal), 1.0, 0.1);
  EXPECT_NEAR(share(a.tangentialDamping, b.tangentialDamping), 1.0, 0.1);
  const double contacts = static_cast<double>(fast.overlapStatistics().contacts) /
                          static_cast<double>(reference.overlapStatistics().contacts);
  EXPECT_NEAR(contacts, 1.0, 0.02);
  EXPECT_NEAR(fast.overlapStatistics().p50 / reference.overlapStatistics().p50, 1.0, 0.05);
}

// The same grains are exposed in both. Drag is taken at the speed before the step by the one and at
// the speed after it by the other: g dt apart, over a speed of some 0.5 m/s.
TEST(KernelsAgree, OnTheDragOfTheWaterForAWhile) {
  const BothKernels after(100);
  ASSERT_GT(after.reference->energy().waterDrag, 0.0);
  EXPECT_NEAR(share(after.fast->energy().waterDrag, after.reference->energy().waterDrag), 1.0,
              after.settings.gravity * after.settings.timeStep / 0.5);
}

// Grains that stick, by as much as some ten of them weigh: neighbours attract before they touch.
TEST(KernelsAgree, OnABedOfGrainsThatStick) {
  const BothKernels after(300, 2.0e3), loose(300);
  const EnergyLedger a = after.fast->energy(), b = after.reference->energy();
  EXPECT_LT(b.elasticNormal, loose.reference->energy().elasticNormal);
  EXPECT_NEAR(share(a.elasticNormal, b.elasticNormal), 1.0, 0.02);
  EXPECT_NEAR(share(a.normalDamping, b.normalDamping), 1.0, 0.05);
  EXPECT_NEAR(share(a.friction, b.friction), 1.0, 0.05);
}

TEST(KernelsAgree, OnABedOfGrainsThatKeepDents) {
  const BothKernels after(300, 500.0, 0.6);
  const EnergyLedger a = after.fast->energy(), b = after.reference->energy();
  EXPECT_GT(b.plastic, 0.0);
  EXPECT_NEAR(share(a.plastic, b.plastic), 1.0, 0.02);
  EXPECT_NEAR(share(a.elasticNormal, b.elasticNormal), 1.0, 0.02);
  EXPECT_NEAR(share(a.normalDamping, b.normalDamping), 1.0, 0.05);
  EXPECT_NEAR(share(a.friction, b.friction), 1.0, 0.05);
}

// A light soil that sticks and keeps dents, pushed over sand.
TEST(KernelsAgree, OnAStackOfTwoSoils) {
  const KernelSettings settings = twoSoilSettings();
  const GrainSet start = pushedStack();
  const auto fast = makeKernel(KernelKind::kFast, start, settings);
  const auto reference = makeKernel(KernelKind::kReference, start, settings);
  steps(*fast, 100);
  steps(*reference, 100);
  const double moved = largestDistance(start, reference->store());
  EXPECT_GT(moved, 1e-3);
  EXPECT_LT(largestDistance(fast->store(), reference->store()), 0.01 * moved);
  steps(*fast, 300);
  steps(*reference, 300);
  const EnergyLedger a = fast->energy(), b = reference->energy();
  EXPECT_GT(b.plastic, 0.0);
  EXPECT_NEAR(share(a.plastic, b.plastic), 1.0, 0.02);
  EXPECT_NEAR(share(a.elasticNormal, b.elasticNormal), 1.0, 0.02);
  EXPECT_NEAR(share(a.normalDamping, b.normalDamping), 1.0, 0.05);
  EXPECT_NEAR(share(a.friction, b.friction), 1.0, 0.05);
  EXPECT_NEAR(share(a.rolling, b.rolling), 1.0, 0.1);
  EXPECT_EQ(fast->store().soil, start.soil);
  EXPECT_EQ(reference->store().soil, start.soil);
}

// Positions after a short while, in grain diameters, before chaos has had its say.
TEST(KernelsAgree, OnPositionsForAWhile) {
  const BothKernels after(100);
  const double moved = largestDistance(pushedBed(), after.reference->store());
  EXPECT_GT(moved, 1e-3);
  EXPECT_LT(largestDistance(after.fast->store(), after.reference->store()), 0.01 * moved);
}

}  // namespace holdground
