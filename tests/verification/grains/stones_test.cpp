// Stones, rigid clusters of spheres, against closed forms and against single grains.
#include "solver/motion/stones.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/bed/tile.hpp"
#include "solver/core/errors.hpp"
#include "solver/simulation/simulation.hpp"
#include "tests/support/beds.hpp"

namespace holdground {
namespace {

constexpr double kRadius = 0.02;

/// A held sphere at the origin's floor keeps lists honest; the stone of two touching spheres lies
/// along x at height z, or stands when `upright`.
GrainSet dumbbell(const KernelSettings& settings, const Vec3& centre, const Quat& orientation) {
  GrainSet set = sceneOf({1.0, 1.0, -1.0, 1.0},
                         {{.position = {0.4, 0.4, -0.9}, .radius = kRadius, .frozen = true},
                          {.radius = kRadius},
                          {.radius = kRadius}});
  const double m = massOf(settings, kRadius), i = 0.4 * m * kRadius * kRadius;
  Stone stone;
  stone.firstSphere = 1;
  stone.mass = 2.0 * m;
  stone.inertia = {2.0 * i, 2.0 * (i + m * kRadius * kRadius), 2.0 * (i + m * kRadius * kRadius)};
  stone.places = {Vec3(-kRadius, 0, 0), Vec3(kRadius, 0, 0)};
  stone.centreOfMass = centre;
  stone.orientation = orientation;
  for (std::size_t k = 0; k < 2; ++k) set.position[1 + k] = stone.sphere(k);
  set.stones = {stone};
  return set;
}

Vec3 centreOf(const GrainKernel& kernel) {
  return 0.5 * (grainOf(kernel, 1).position + grainOf(kernel, 2).position);
}

}  // namespace

class StonesTest : public KernelTest {};

TEST_P(StonesTest, FallAsFreeBodies) {
  KernelSettings settings = bedSettings();
  settings.water.density = 0.0;
  GrainSet set = dumbbell(settings, {0, 0, 0.5}, Quat::Identity());
  set.stones[0].spin = {0, 0, 3.0};
  const auto kernel = kernelOf(set, settings);
  constexpr int kSteps = 500;
  steps(*kernel, kSteps);
  const double t = kSteps * settings.timeStep;
  // Leapfrog: v at half steps begins with 0, so that z drops by g dt^2 n (n + 1)/2.
  const double drop = 0.5 * settings.gravity * t * (t + settings.timeStep);
  EXPECT_NEAR(centreOf(*kernel).z(), 0.5 - drop, 1e-8);  // positions resolve 1 nm
  // Turns about its axis of largest moment by 3 rad/s; the Cayley map is late by (w dt)^2/12.
  const Vec3 along = grainOf(*kernel, 2).position - grainOf(*kernel, 1).position;
  EXPECT_NEAR(std::atan2(along.y(), along.x()), std::remainder(3.0 * t, 2.0 * kPi),
              3.0 * t * std::pow(3.0 * settings.timeStep, 2) / 12.0 + 1e-7);
  EXPECT_NEAR(along.norm(), 2.0 * kRadius, 4e-9);
  EXPECT_NEAR(along.z(), 0.0, 4e-9);
}

// A stone of one sphere is that sphere.
TEST_P(StonesTest, OfOneSphereMoveAsItDoes) {
  KernelSettings settings = bedSettings();
  settings.water.density = 0.0;  // its drag is linearised at another instant of the step
  const Domain domain{1.0, 1.0, -1.0, 1.0};
  const std::vector<Ball> balls = {{.position = {0, 0, -0.9}, .radius = kRadius, .frozen = true},
                                   {.position = {0.012, 0.003, -0.85},
                                    .velocity = {0.1, 0, -1.0},
                                    .spin = {0, 5.0, 0},
                                    .radius = kRadius}};
  const auto single = kernelOf(sceneOf(domain, balls), settings);
  GrainSet set = sceneOf(domain, balls);
  Stone stone;
  stone.firstSphere = 1;
  stone.mass = massOf(settings, kRadius);
  stone.inertia = Vec3::Constant(0.4 * stone.mass * kRadius * kRadius);
  stone.places = {Vec3::Zero()};
  stone.centreOfMass = balls[1].position;
  stone.velocity = balls[1].velocity;
  stone.spin = balls[1].spin;
  set.stones = {stone};
  const auto cluster = kernelOf(set, settings);
  for (int k = 0; k < 400; ++k) {
    step(*single);
    step(*cluster);
  }
  const GrainSample a = grainOf(*single, 1), b = grainOf(*cluster, 1);
  EXPECT_GT(a.velocity.norm(), 0.2) << "it should have bounced";
  // The fast kernel keeps a grain, but not a stone, in single precision: 400 steps through a
  // collision lose two digits of seven.
  const double tolerance = isReference() ? 1e-10 : 1e-4;
  EXPECT_LT((a.velocity - b.velocity).norm(), tolerance);
  EXPECT_LT((a.spin - b.spin).norm(), tolerance * 100.0);
  EXPECT_LT((a.position - b.position).norm(), tolerance * 0.1);
}

// Head on, a stone rebounds with the restitution of the material: the damping takes its whole mass.
TEST_P(StonesTest, ReboundHeadOnAsTheMaterialSays) {
  KernelSettings settings = weightlessSettings();
  settings.timeStep *= 0.2;
  const Quat upright(Eigen::AngleAxisd(0.5 * kPi, Vec3::UnitY()));
  GrainSet set = dumbbell(settings, {0.4, 0.4, -0.9 + 3.2 * kRadius}, upright);
  set.stones[0].velocity = {0, 0, -0.5};
  const auto kernel = kernelOf(set, settings);
  steps(*kernel, 4000);
  EXPECT_NEAR(grainOf(*kernel, 1).velocity.z() / 0.5, settings.material.restitutionCoefficient,
              0.01);  // the bar of the same test for single grains
  EXPECT_NEAR(grainOf(*kernel, 1).spin.norm(), 0.0, 1e-3);
}

// A dumbbell struck under one end without loss: the impulse J along z at arm R obeys
// e = 1: J = 2 v / (1/M + R^2/I), v' = -v + J/M, w' = J R/I about y.
TEST_P(StonesTest, TurnWhenStruckAtAnEnd) {
  KernelSettings settings = weightlessSettings();
  settings.material.restitutionCoefficient = 1.0;
  settings.material.friction = 0.0;
  settings.material.rollingFriction = 0.0;
  settings.timeStep *= 0.2;
  // Sphere 1, at -R along x, comes down on the held one.
  GrainSet set = dumbbell(settings, {0.4 + kRadius, 0.4, -0.9 + 2.2 * kRadius}, Quat::Identity());
  const double speed = 0.5;
  set.stones[0].velocity = {0, 0, -speed};
  const double mass = set.stones[0].mass, inertia = set.stones[0].inertia.y();
  const auto kernel = kernelOf(set, settings);
  const double before = kernel->energy().kinetic;
  steps(*kernel, 1000);
  const Vec3 velocity = 0.5 * (grainOf(*kernel, 1).velocity + grainOf(*kernel, 2).velocity);
  const double impulse = 2.0 * speed / (1.0 / mass + kRadius * kRadius / inertia);
  // It turns by a hundredth of a radian while it touches, which changes the arm by its square.
  EXPECT_NEAR(velocity.z(), -speed + impulse / mass, 0.01 * speed);
  EXPECT_NEAR(grainOf(*kernel, 1).spin.y(), impulse * kRadius / inertia,
              0.01 * impulse * kRadius / inertia);
  EXPECT_NEAR(kernel->energy().kinetic, before, 1e-3 * before);
}

/// Stones of some 60 mm that fall onto a held layer.
GrainSet fallingStones(GrainShape shape) {
  TileRecipe recipe;
  recipe.smallestDiameter = 0.05;
  recipe.largestDiameter = 0.07;
  recipe.shape = shape;
  recipe.length = recipe.width = 0.5;
  recipe.depth = 0.4;
  return looseGrains(recipe);
}

TEST_P(StonesTest, HeapIsAccountedForAndKeepsItsShapes) {
  for (const GrainShape shape : {GrainShape::kRounded, GrainShape::kAngular}) {
    KernelSettings settings = bedSettings();
    settings.material.rollingFriction = 0.0;
    settings.timeStep *= 0.5;
    const GrainSet start = fallingStones(shape);
    const auto kernel = kernelOf(start, settings);
    kernel->updateNeighbours();
    const EnergyLedger before = kernel->energy();
    steps(*kernel, 4000);
    const EnergyLedger now = kernel->energy();
    const double work = workIn(before, now) + before.kinetic;
    EXPECT_GT(work, 5.0 * before.kinetic);
    EXPECT_LE(std::abs(energyResidual(before, now)), (isReference() ? 0.005 : 0.01) * work);
    EXPECT_GT(now.waterDrag, 0.0);
    const GrainSet end = kernel->store();
    for (const Stone& stone : end.stones)
      for (std::uint32_t k = 0; k < stone.sphereCount(); ++k)
        EXPECT_LT((end.position[stone.firstSphere + k] - stone.sphere(k)).norm(), 1e-8);
    // Spheres of one stone overlap deeply, and are no contacts.
    for (const ContactMemory& contact : end.contacts)
      for (const Stone& stone : end.stones)
        EXPECT_FALSE(contact.a - stone.firstSphere < stone.sphereCount() &&
                     contact.b - stone.firstSphere < stone.sphereCount());
  }
}

TEST_P(StonesTest, MomentumIsKept) {
  KernelSettings settings = weightlessSettings();
  settings.timeStep *= 0.5;
  GrainSet set = fallingStones(GrainShape::kAngular);
  std::fill(set.frozen.begin(), set.frozen.end(), 0);
  for (std::size_t s = 0; s < set.stones.size(); ++s)
    set.stones[s].velocity = {s % 2 == 0 ? 1.0 : -1.0, 0.3, s % 3 == 0 ? 0.5 : -0.5};
  const auto momentum = [&](const GrainKernel& kernel) {
    const GrainSet now = kernel.store();
    Vec3 sum = Vec3::Zero();
    std::vector<bool> ofStone(now.size(), false);
    for (const Stone& stone : now.stones) {
      sum += stone.mass * stone.velocity;
      std::fill_n(ofStone.begin() + stone.firstSphere, stone.sphereCount(), true);
    }
    for (std::size_t id = 0; id < now.size(); ++id)
      if (!ofStone[id]) sum += massOf(settings, now.radius[id]) * now.velocity[id];
    return sum;
  };
  const auto kernel = kernelOf(set, settings);
  const Vec3 before = momentum(*kernel);
  double scale = 0.0;
  for (const Stone& stone : set.stones) scale += stone.mass * stone.velocity.norm();
  steps(*kernel, 1000);
  EXPECT_GT(kernel->energy().normalDamping, 0.0) << "they should have met";
  // Rounding of single precision in some hundred contacts: 6e-8 of a force each, at random.
  EXPECT_LT((momentum(*kernel) - before).norm(), (isReference() ? 1e-10 : 1e-5) * scale);
}

TEST_P(StonesTest, ThatShareASphereAreRefused) {
  const KernelSettings settings = bedSettings();
  GrainSet set = dumbbell(settings, Vec3::Zero(), Quat::Identity());
  set.stones.push_back(set.stones[0]);
  EXPECT_THROW(kernelOf(set, settings), InputError);
}

HOLDGROUND_ON_EVERY_KERNEL(StonesTest);

}  // namespace holdground
