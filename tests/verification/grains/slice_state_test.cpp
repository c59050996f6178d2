// The stress of a slice against closed forms of two spheres, and against the weight of a bed.
#include "solver/state/slice_state.hpp"

#include <gtest/gtest.h>
#include <omp.h>

#include <cmath>

#include "solver/contact/hertz_mindlin.hpp"
#include "tests/support/beds.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

constexpr double kRadius = 0.02;
constexpr double kOverlap = 4e-4;
const Domain kDomain{0.4, 0.3, -0.3, 0.3};
const double kArea = kDomain.lengthX * kDomain.lengthY;

/// Two resting spheres about `middle`, pressed together along `along`.
std::unique_ptr<GrainKernel> pressedPair(KernelKind kind, const KernelSettings& settings,
                                         const Vec3& along, const Vec3& middle = Vec3::Zero(),
                                         double overlap = kOverlap) {
  Ball a, b;
  a.radius = b.radius = kRadius;
  a.position = middle + (kRadius - 0.5 * overlap) * along;
  b.position = middle - (kRadius - 0.5 * overlap) * along;
  auto kernel = makeKernel(kind, sceneOf(kDomain, {a, b}), settings);
  kernel->updateNeighbours();
  return kernel;
}

double hertzForce(const KernelSettings& settings) {
  return 4.0 / 3.0 * contactLaw(settings.material).effectiveYoung *
         std::sqrt(0.5 * kRadius * kOverlap) * kOverlap;
}

/// Positions of the fast kernel are exact to 0.1 nm here and its radii to 2e-9 m: 1e-5 of the
/// overlap, and the force goes with its 3/2 power.
constexpr double kRounding = 3e-5;

}  // namespace

class SliceStateTest : public KernelTest {};

TEST_P(SliceStateTest, PairGivesForceTimesBranchOverVolume) {
  const KernelSettings settings = weightlessSettings();
  const Vec3 n = Vec3(0.3, -0.5, 0.8).normalized();
  const auto kernel = pressedPair(GetParam(), settings, n);
  const Slice slice{-0.1, 0.1};
  const Mat3 stress = sliceState(*kernel, slice).stress();
  const double size = hertzForce(settings) * (2.0 * kRadius - kOverlap) / (0.2 * kArea);
  EXPECT_LT((stress - size * n * n.transpose()).norm(), kRounding * size) << stress;
}

TEST_P(SliceStateTest, BranchCountsByItsShareInside) {
  const KernelSettings settings = weightlessSettings();
  const Vec3 n = Vec3(0.6, 0.0, 0.8);
  const auto kernel = pressedPair(GetParam(), settings, n);
  const double whole = sliceState(*kernel, {-0.1, 0.1}).contactStress.norm() * 0.2;
  // The branch spans +-0.8 (R - overlap/2); the slice begins at a quarter of the way up.
  const double top = 0.8 * (kRadius - 0.5 * kOverlap);
  const double part =
      sliceState(*kernel, {-0.5 * top, 0.1}).contactStress.norm() * (0.1 + 0.5 * top);
  EXPECT_NEAR(part / whole, 0.75, 1e-6);
  // A slice wholly within the branch carries the force of one plane.
  const Mat3 thin = sliceState(*kernel, {-0.1 * top, 0.1 * top}).contactStress;
  EXPECT_NEAR(thin(2, 2) * kArea / (0.8 * hertzForce(settings)), 1.0, kRounding);
}

TEST_P(SliceStateTest, PairAcrossPeriodicSidesIsThePairWithin) {
  const KernelSettings settings = weightlessSettings();
  const Vec3 n = Vec3(0.7, 0.6, 0.3).normalized();
  const Slice slice{-0.1, 0.1};
  const Mat3 within = sliceState(*pressedPair(GetParam(), settings, n), slice).stress();
  const Vec3 corner(0.5 * kDomain.lengthX, -0.5 * kDomain.lengthY, 0.0);
  const Mat3 across = sliceState(*pressedPair(GetParam(), settings, n, corner), slice).stress();
  EXPECT_LT((across - within).norm(), kRounding * within.norm()) << across << "\n\n" << within;
}

TEST_P(SliceStateTest, StoneIsLoadedFromItsCentreOfMass) {
  // A ball pressed from above onto the outer sphere of a stone of two that touch, along x.
  const KernelSettings settings = weightlessSettings();
  Ball ball, inner, outer;
  ball.radius = inner.radius = outer.radius = kRadius;
  ball.position = Vec3(kRadius, 0.0, 2.0 * kRadius - kOverlap);
  inner.position.x() = -kRadius;
  outer.position.x() = kRadius;
  GrainSet set = sceneOf(kDomain, {ball, inner, outer});
  Stone stone;
  stone.firstSphere = 1;
  stone.mass = 2.0 * massOf(settings, kRadius);
  stone.inertia = Vec3::Constant(1e-4);
  stone.places = {Vec3(-kRadius, 0, 0), Vec3(kRadius, 0, 0)};
  set.stones = {stone};
  const auto kernel = makeKernel(GetParam(), set, settings);
  kernel->updateNeighbours();
  const SliceState state = sliceState(*kernel, {-0.1, 0.1});
  const double force = hertzForce(settings);
  const Vec3 branch(kRadius, 0.0, 2.0 * kRadius - kOverlap);  // from the stone's middle
  const Mat3 expected = force / (0.2 * kArea) * Vec3::UnitZ() * branch.transpose();
  EXPECT_LT((state.contactStress - expected).norm(), kRounding * expected.norm())
      << state.contactStress;
  EXPECT_EQ(state.coordination, 1.0);  // of ball and stone
  EXPECT_NEAR(state.solidFraction * 0.2 * kArea, 4.0 * kPi * std::pow(kRadius, 3), 1e-9);
}

TEST_P(SliceStateTest, AttractionOverAGapIsTension) {
  KernelSettings settings = weightlessSettings();
  settings.material.pullOffStress = 10e3;
  settings.material.pullOffRange = 0.1;
  const double diameter = 2.0 * kRadius, gap = 0.05 * diameter;  // half of the force is left there
  const auto kernel = pressedPair(GetParam(), settings, Vec3::UnitX(), Vec3::Zero(), -gap);
  const Mat3 stress = sliceState(*kernel, {-0.1, 0.1}).stress();
  const double force = 0.5 * 10e3 * diameter * diameter;
  EXPECT_NEAR(stress(0, 0) * 0.2 * kArea / (-force * (diameter + gap)), 1.0, 1e-5);
  EXPECT_EQ(sliceState(*kernel, {-0.1, 0.1}).coordination, 0.0);
}

TEST_P(SliceStateTest, SlidingPairHasTheTangentialForceOfTheNextStep) {
  // Sliding fast along y: the tangential force has its limit mu F_n, against the motion.
  KernelSettings settings = weightlessSettings();
  Ball a, b;
  a.radius = b.radius = kRadius;
  a.position.x() = kRadius - 0.5 * kOverlap;
  b.position.x() = -a.position.x();
  a.velocity.y() = 5.0;
  auto kernel = makeKernel(GetParam(), sceneOf(kDomain, {a, b}), settings);
  kernel->updateNeighbours();
  const Mat3 stress = sliceState(*kernel, {-0.1, 0.1}).contactStress;
  EXPECT_NEAR(stress(1, 0) / stress(0, 0), -settings.material.friction, 1e-4);
  EXPECT_NEAR(stress(0, 1), 0.0, 1e-6 * stress(0, 0));
}

TEST_P(SliceStateTest, AgitationIsStressAndShearFlowIsNot) {
  const KernelSettings settings = weightlessSettings();
  std::vector<Ball> balls;
  for (int k = 0; k < 8; ++k) {
    Ball ball;
    ball.radius = kRadius;
    ball.position = Vec3(-0.1 + 0.06 * (k % 4), k < 4 ? -0.05 : 0.05, -0.08 + 0.05 * (k % 4));
    ball.velocity = Vec3(2.0 + 3.0 * ball.position.z(), k < 4 ? 0.4 : -0.4, 0.0);
    balls.push_back(ball);
  }
  auto kernel = makeKernel(GetParam(), sceneOf(kDomain, balls), settings);
  kernel->updateNeighbours();
  const SliceState state = sliceState(*kernel, {-0.15, 0.15});
  const double agitation = 8.0 * massOf(settings, kRadius) * 0.16 / (0.3 * kArea);
  Mat3 expected = Mat3::Zero();
  expected(1, 1) = agitation;
  EXPECT_LT((state.stress() - expected).norm(), 1e-5 * agitation) << state.stress();
  EXPECT_NEAR(state.shearRate.x(), 3.0, 1e-5);
  EXPECT_NEAR(state.velocity.x(), 2.0 - 3.0 * 0.005, 1e-6);
  EXPECT_NEAR(state.solidFraction, 8.0 * 4.0 / 3.0 * kPi * std::pow(kRadius, 3) / (0.3 * kArea),
              1e-7);
}

TEST_P(SliceStateTest, SettledBedCarriesTheWeightAboveAtEveryDepth) {
  const KernelSettings settings = bedSettings();
  const GrainSet bed = settledBed();
  auto kernel = makeKernel(GetParam(), bed, settings);
  steps(*kernel, 400);
  kernel->updateNeighbours();
  const double area = bed.domain.lengthX * bed.domain.lengthY;
  const double netDensity = settings.material.density - settings.water.density;
  for (const Slice slice : {Slice{-0.08, -0.06}, {-0.16, -0.10}, {-0.24, -0.16}}) {
    double weight = 0.0;
    for (std::uint32_t slot = 0; slot < kernel->size(); ++slot) {
      const GrainSample g = kernel->sample(slot);
      const double planesBelow =
          (std::clamp(g.position.z(), slice.lower, slice.upper) - slice.lower) /
          (slice.upper - slice.lower);
      weight += planesBelow * netDensity * sphereVolumeBetween(g.radius, 0.0, {-1.0, 1.0}) *
                settings.gravity;
    }
    const Mat3 stress = sliceState(*kernel, slice).stress();
    // At rest to 1 mm/s, with a period of the bed of some 0.02 s at least: accelerations below
    // 2 pi 0.001/0.02 = 0.3 m/s^2 if all grains went together; as a sum over grains that shake by
    // themselves a tenth of that, 0.5 % of the net gravity of 6 m/s^2. Twice that is allowed.
    EXPECT_NEAR(stress(2, 2) / (weight / area), 1.0, 0.01) << slice.lower << "\n" << stress;
    // No horizontal force reaches the surface.
    EXPECT_LT(std::abs(stress(0, 2)), 0.01 * stress(2, 2)) << stress;
    EXPECT_LT(std::abs(stress(1, 2)), 0.01 * stress(2, 2)) << stress;
    // Torques balance but for the rolling moments that cross the ends of the slice.
    EXPECT_LT((stress - stress.transpose()).norm(), 0.03 * stress.norm()) << stress;
  }
}

HOLDGROUND_ON_EVERY_KERNEL(SliceStateTest);

TEST(SliceState, KernelsAgreeOnASettledBed) {
  omp_set_num_threads(1);
  const KernelSettings settings = bedSettings();
  const GrainSet bed = settledBed();
  auto fast = makeKernel(KernelKind::kFast, bed, settings);
  auto reference = makeKernel(KernelKind::kReference, bed, settings);
  fast->updateNeighbours();
  reference->updateNeighbours();
  const Slice slice{-0.2, -0.08};
  const SliceState a = sliceState(*fast, slice), b = sliceState(*reference, slice);
  // Overlaps of 1e-4 m, positions exact to 0.3 nm, single-precision radii and springs: 1e-4.
  EXPECT_LT((a.stress() - b.stress()).norm(), 1e-3 * b.stress().norm()) << a.stress() << b.stress();
  EXPECT_NEAR(a.solidFraction, b.solidFraction, 1e-6);
  EXPECT_NEAR(a.coordination, b.coordination, 0.01);
}

TEST(PrincipalStress, OfATurnedTensor) {
  const Mat3 turn = Quat(0.3, 0.4, -0.2, 0.6).normalized().toRotationMatrix();
  const Vec3 values(700.0, 300.0, 100.0);
  const PrincipalStress p = principalStress(turn * values.asDiagonal() * turn.transpose());
  EXPECT_NEAR(p.largest, 700.0, 1e-9);
  EXPECT_NEAR(p.middle, 300.0, 1e-9);
  EXPECT_NEAR(p.smallest, 100.0, 1e-9);
  EXPECT_NEAR(p.mobilisedSine(), 0.75, 1e-12);
}

}  // namespace holdground
