// A free body among grains: momentum, energy, and the sliding block of every textbook.

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/contact_meshes.hpp"
#include "tests/support/contact_world.hpp"
#include "tests/support/small_bed.hpp"

namespace holdground {
namespace {

class BodyAmongGrains : public ::testing::TestWithParam<KernelKind> {};

struct Momentum {
  Vec3 linear = Vec3::Zero();   ///< [kg m/s]
  Vec3 angular = Vec3::Zero();  ///< about the origin [kg m^2/s]
};

/// To be taken when nothing touches: velocities of half and full step are then the same.
Momentum momentumOf(ContactWorld& world, const GrainMaterial& material) {
  Momentum sum;
  const GrainSet grains = world.kernel().store();
  for (std::size_t k = 0; k < grains.size(); ++k) {
    const double r = grains.radius[k], mass = sphereMass(material, r);
    sum.linear += mass * grains.velocity[k];
    sum.angular +=
        mass * grains.position[k].cross(grains.velocity[k]) + 0.4 * mass * r * r * grains.spin[k];
  }
  const RigidBody& body = world.body();
  sum.linear += body.momentum();
  sum.angular += body.motion().centreOfMass.cross(body.momentum()) + body.angularMomentum();
  return sum;
}

/// A cloud of grains without gravity that closes in on a turning block, far from the sides.
struct Steel {
  double setback = 0.0;
  Surface surface = smallBedSettings(KernelKind::kReference).surface;
};
const std::vector<Steel> kSteels = {{}, {0.3}, {0.0, kStickySteel}};

ContactWorld cloud(KernelKind kind, ContactWorldSettings& settings, const Steel& steel = {}) {
  settings = smallBedSettings(kind);
  settings.material.steelSetback = steel.setback;
  settings.surface = steel.surface;
  settings.gravity = 0.0;
  settings.waterDensity = 0.0;
  settings.domain = {4.0, 4.0, -2.0, 2.0};
  std::mt19937 random(5);
  std::uniform_real_distribution<double> uniform(-1.0, 1.0);
  GrainList grains(settings.domain);
  for (int k = -2; k <= 2; ++k) {
    for (int j = -2; j <= 2; ++j) {
      for (int i = -2; i <= 2; ++i) {
        const Vec3 position = 0.1 * Vec3(i, j, k);
        if (position.norm() < 0.19) continue;
        grains.add(0.02 + 0.004 * uniform(random), position,
                   -2.0 * position + 0.1 * Vec3(uniform(random), uniform(random), uniform(random)),
                   5.0 * Vec3(uniform(random), uniform(random), uniform(random)));
      }
    }
  }
  RigidMotion start;
  start.velocity = Vec3(0.2, 0.1, 0.0);
  start.spin = Vec3(3.0, 1.0, 2.0);
  return ContactWorld(settings, grains.set(), {steelBlockMesh()},
                      RigidBody(7.5, Vec3(0.04, 0.06, 0.09).asDiagonal(), start));
}

void expectMomentumKept(KernelKind kind, const Steel& steel) {
  ContactWorldSettings settings;
  ContactWorld world = cloud(kind, settings, steel);
  const Momentum before = momentumOf(world, settings.material);
  std::size_t contacts = 0;
  for (int step = 0; step < 3000; ++step) {
    world.step();
    contacts += world.load().contacts;
  }
  EXPECT_GT(contacts, 1000u);
  const auto touching = [&] {
    return world.load().total.force.norm() > 0.0 || world.kernel().overlapStatistics().contacts > 0;
  };
  for (int free = 0; free < 2; free = touching() ? 0 : free + 1) world.step();
  const Momentum after = momentumOf(world, settings.material);
  // Scale: 90 grains of 0.1 kg at 0.5 m/s, 0.25 m from the middle. The fast kernel keeps velocities
  // in single precision: 6e-8 of that a step, over 3,000 steps as a random walk 3e-6.
  const double tolerance = kind == KernelKind::kReference ? 1e-10 : 3e-6;
  EXPECT_NEAR((after.linear - before.linear).norm(), 0.0, tolerance * 4.5);
  EXPECT_NEAR((after.angular - before.angular).norm(), 0.0, tolerance * 1.1);
}

}  // namespace

TEST_P(BodyAmongGrains, KeepMomentumAndAngularMomentum) {
  for (Steel steel : kSteels) {
    steel.surface.tension = 0.0;  // or some stay on the block for good
    expectMomentumKept(GetParam(), steel);
  }
}

TEST_P(BodyAmongGrains, EnergyLedgerCloses) {
  for (const Steel& steel : kSteels) {
    ContactWorldSettings settings;
    ContactWorld world = cloud(GetParam(), settings, steel);
    world.step();
    const EnergyLedger before = world.energy();
    for (int step = 0; step < 3000; ++step) world.step();
    const EnergyLedger after = world.energy();
    const double lost = before.stored() - after.stored();
    EXPECT_GT(lost, 0.3 * before.stored());
    EXPECT_NEAR(after.dissipated() - before.dissipated(), lost, 5e-3 * lost);
  }
}

TEST_P(BodyAmongGrains, ElasticFrictionlessCloudKeepsItsEnergy) {
  ContactWorldSettings settings;
  ContactWorld rough = cloud(GetParam(), settings);
  settings.material.friction = settings.material.rollingFriction = 0.0;
  settings.material.restitutionCoefficient = 1.0;
  settings.surface = {0.0, 0.0};
  settings.timeStep = 2e-5;
  ContactWorld world(settings, rough.kernel().store(), {steelBlockMesh()}, rough.body());
  const double before = world.energy().stored();
  for (int step = 0; step < 10000; ++step) world.step();
  const double after = world.energy().stored();
  EXPECT_NEAR(after, before, 1e-3 * before);  // leapfrog: bounded, second order in the step
}

namespace {

/// A long block on four frozen grains, under gravity tilted by `slope` about y (it may slide +x).
class SlidingBlock {
 public:
  SlidingBlock(KernelKind kind, double friction, double slope, double speed) {
    ContactWorldSettings settings;
    settings.kind = kind;
    settings.material = {2650.0, 1.0e9, 0.25, 0.0, 0.0, 0.3};
    settings.surface = {friction, 0.0};
    settings.domain = {4.0, 4.0, -1.0, 1.0};
    settings.timeStep = 2e-5;
    GrainList grains(settings.domain);
    for (const double x : {-0.2, 0.6})
      for (const double y : {-0.1, 0.1})
        grains.add(0.04, Vec3(x, y, -0.04), Vec3::Zero(), Vec3::Zero(), true);
    weight_ = kMass * kStandardGravity * Vec3(std::sin(slope), 0.0, -std::cos(slope));
    RigidMotion start;
    start.centreOfMass = Vec3(0.0, 0.0, 0.025 - 4e-6);
    start.velocity = Vec3(speed, 0.0, 0.0);
    const Mat3 inertia =
        (kMass / 12.0 * Vec3(0.16 + 0.0025, 2.56 + 0.0025, 2.56 + 0.16)).asDiagonal();
    world_ = std::make_unique<ContactWorld>(settings, grains.set(),
                                            std::vector{test::box(Vec3(1.6, 0.4, 0.05), 8)},
                                            RigidBody(kMass, inertia, start));
  }
  void run(double time) {
    const double end = world_->time() + time;
    while (world_->time() < end) world_->step({weight_, Vec3::Zero()});
  }
  double position() const { return world_->body().motion().centreOfMass.x(); }
  double speed() const { return world_->body().motion().velocity.x(); }
  const ContactWorld& world() const { return *world_; }

 private:
  static constexpr double kMass = 20.0;
  Vec3 weight_;
  std::unique_ptr<ContactWorld> world_;
};

}  // namespace

TEST_P(BodyAmongGrains, BlockSlidesDownWithGravityLessFriction) {
  // a = g (sin 30 - mu cos 30), textbook.
  const double friction = 0.3, slope = kPi / 6.0;
  SlidingBlock block(GetParam(), friction, slope, 0.0);
  block.run(0.1);
  const double before = block.speed();
  block.run(0.3);
  const double acceleration = (block.speed() - before) / 0.3;
  const double expected = kStandardGravity * (std::sin(slope) - friction * std::cos(slope));
  // Sliding all the time, T = mu N, and N is g cos(slope) m on the mean once the block has stopped
  // bouncing (675 rad/s, well damped: nothing is left of it after 0.1 s). What remains: one step
  // more or less in 15,000, 7e-5; the block's tilt, for the hind grains carry up to three quarters
  // of it and give 0.02 mm more on an arm of 0.8 m, 1.2e-5 rad on the mean, of g cos(slope), 5e-5.
  EXPECT_NEAR(acceleration, expected, 1.2e-4 * expected);
}

TEST_P(BodyAmongGrains, BlockStopsAfterItsTextbookDistanceAndStays) {
  const double friction = 0.3, speed = 1.2;
  SlidingBlock block(GetParam(), friction, 0.0, speed);
  block.run(1.0);
  // Of 0.245 m, in millimetres: the first bounce, 0.3 of 0.024; the springs' stretch mu N/kt at the
  // start and at the end, 0.007 each; half a step between velocity and place, 0.012; the tilt, up
  // to 2.4e-5 rad against mu = 0.3, 0.020.
  EXPECT_NEAR(block.position(), speed * speed / (2.0 * friction * kStandardGravity), 5.5e-5);
  // It stops after 0.41 s; 0.59 s on, a swing at 600 rad/s, a third of its critical damping, has
  // fallen by exp(-100), to the rounding of a place of 0.2 m over a step: 3e-17 m in 2e-5 s.
  EXPECT_LT(std::abs(block.speed()), 1e-11);
}

TEST_P(BodyAmongGrains, BlockStaysOnASlopeBelowItsFriction) {
  SlidingBlock block(GetParam(), 0.3, 0.25, 0.0);
  block.run(0.5);
  const double before = block.position();
  block.run(0.5);
  // Springs hold it; as above, only rounding is left after half a second, 1e-16 m a step over
  // 25,000 steps.
  EXPECT_NEAR(block.position(), before, 2.5e-12);
}

INSTANTIATE_TEST_SUITE_P(Kernels, BodyAmongGrains,
                         ::testing::Values(KernelKind::kReference, KernelKind::kFast),
                         [](const auto& kind) { return kernelName(kind.param); });

}  // namespace holdground
