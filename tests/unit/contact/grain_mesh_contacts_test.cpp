#include "solver/contact/grain_mesh_contacts.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/contact_meshes.hpp"
#include "tests/support/contact_world.hpp"
#include "tests/support/small_bed.hpp"

namespace holdground {
namespace {

constexpr double kRadius = 0.05;

ContactWorldSettings stone(KernelKind kind) {
  ContactWorldSettings settings;
  settings.kind = kind;
  settings.material = {2650.0, 1.0e8, 0.25, 0.5, 0.1, 0.3};
  settings.surface = {0.4, 0.0};
  settings.domain = {2.0, 2.0, -1.0, 1.0};
  settings.gravity = kStandardGravity;
  settings.timeStep = 1e-4;
  return settings;
}

class GrainMesh : public ::testing::TestWithParam<KernelKind> {};

}  // namespace

TEST_P(GrainMesh, GrooveCarriesTwoEqualForces) {
  // Statics: each side carries W / (2 cos 45).
  ContactWorldSettings settings = stone(GetParam());
  settings.surface.friction = 0.0;
  GrainList grains(settings.domain);
  grains.add(kRadius, Vec3(0.0, 0.01, kRadius * std::sqrt(2.0)));
  const TriangleMesh both = test::foldedSheet(0.5, -0.5 * kPi);
  TriangleMesh left = both, right = both;
  left.triangles.resize(2);
  right.triangles.erase(right.triangles.begin(), right.triangles.begin() + 2);
  ContactWorld world(settings, grains.set(), {left, right}, ContactWorld::fixedBody());
  world.run(1.0);
  const double weight = sphereMass(settings.material, kRadius) * kStandardGravity;
  ASSERT_EQ(world.load().contacts, 2u);
  for (const BodyLoad& side : world.load().part) {
    EXPECT_NEAR(side.force.norm(), weight * std::sqrt(0.5), 1e-4 * weight);
    EXPECT_NEAR(side.force.z(), -0.5 * weight, 1e-4 * weight);
  }
  EXPECT_NEAR(world.load().total.force.x(), 0.0, 1e-4 * weight);
}

TEST_P(GrainMesh, RollingOverATessellatedFlatFeelsNoTriangle) {
  // The path starts above a vertex, runs along edges for a while and then across everything.
  const Quat tilt(Eigen::AngleAxisd(0.2, Vec3(0.3, 1.0, 0.1).normalized()));
  const auto roll = [&](int squares, std::vector<Vec3>& path) {
    ContactWorldSettings settings = stone(GetParam());
    settings.surface.rollingFriction = 0.02;
    GrainList grains(settings.domain);
    grains.add(kRadius, tilt * Vec3(-0.3, 0.0, kRadius - 2e-5), tilt * Vec3(0.8, 0.0, 0.0));
    ContactWorld world(settings, grains.set(), {test::sheet(1.6, 1.6, squares, squares)},
                       ContactWorld::fixedBody(tilt));
    for (int step = 0; step < 6000; ++step) {
      world.step();
      path.push_back(world.grain(0).position);
    }
    EXPECT_EQ(world.load().contacts, 1u);
  };
  std::vector<Vec3> plain, cut;
  roll(2, plain);
  roll(64, cut);
  EXPECT_GT((plain.back() - plain.front()).norm(), 0.5);
  // Rounding in double; the fast kernel's positions come in units of 5e-10 m.
  const double tolerance = GetParam() == KernelKind::kReference ? 1e-12 : 1e-9;
  for (std::size_t step = 0; step < plain.size(); ++step)
    ASSERT_NEAR((plain[step] - cut[step]).norm(), 0.0, tolerance) << "step " << step;
}

TEST_P(GrainMesh, StaticFrictionIsContinuousAcrossTriangles) {
  // A ball rolling down a slope is held by (2/7) m g sin(slope), well below sliding.
  const double slope = 0.3;
  const Quat tilt(Eigen::AngleAxisd(slope, Vec3::UnitY()));
  ContactWorldSettings settings = stone(GetParam());
  GrainList grains(settings.domain);
  grains.add(kRadius, tilt * Vec3(-0.5, 0.003, kRadius - 3e-5));
  ContactWorld world(settings, grains.set(), {test::sheet(1.8, 0.6, 60, 20)},
                     ContactWorld::fixedBody(tilt));
  world.run(0.2);
  const double weight = sphereMass(settings.material, kRadius) * kStandardGravity;
  const double expected = 2.0 / 7.0 * weight * std::sin(slope);
  double travel = world.grain(0).position.x();
  for (int step = 0; step < 4000; ++step) {
    world.step();
    const double held = (tilt.conjugate() * world.load().total.force).x();
    ASSERT_NEAR(held, expected, 0.02 * expected) << "step " << step;
  }
  travel = world.grain(0).position.x() - travel;
  EXPECT_GT(travel, 0.3);  // ten columns of triangles
}

TEST_P(GrainMesh, HistoryFollowsOverAConvexEdge) {
  // A block turns about its own edge under a frozen grain: the contact goes from the top face over
  // the edge to the side while a force along the edge, put on before, stays.
  ContactWorldSettings settings = stone(GetParam());
  settings.gravity = 0.0;
  settings.timeStep = 1e-3;
  const double overlap = 1e-3, half = 0.2;
  GrainList grains(settings.domain);
  grains.add(kRadius, Vec3(0.0, 0.0, kRadius - overlap), Vec3::Zero(), Vec3::Zero(), true);
  RigidMotion start;
  const double lead = 0.05;
  start.orientation = Quat(Eigen::AngleAxisd(lead, Vec3::UnitY()));
  start.centreOfMass = start.orientation * Vec3(-half, 0.0, -half);  // the edge at the origin
  ContactWorld world(settings, grains.set(), {test::box(Vec3::Constant(2.0 * half), 5)},
                     RigidBody::prescribed(start));
  world.body().prescribe(Vec3(0.0, 1e-3, 0.0), Vec3::Zero());
  for (int step = 0; step < 20; ++step) world.step();
  world.body().prescribe(Vec3::Zero(), Vec3::Zero());
  world.step();
  const double held = world.load().total.force.y();
  EXPECT_LT(held, -1.0);

  // Turning the block by -(90 degrees + 2 lead) about the edge takes the contact round it.
  const double rate = -1.0, turn = 0.5 * kPi + 2.0 * lead;
  const Vec3 spin(0.0, rate, 0.0);
  for (double turnedBy = 0.0; turnedBy < turn; turnedBy += -rate * settings.timeStep) {
    // The arm half a step on keeps the edge in place to third order.
    const Quat halfStep(Eigen::AngleAxisd(0.5 * rate * settings.timeStep, Vec3::UnitY()));
    const Vec3 arm = halfStep * (world.body().motion().orientation * Vec3(half, 0.0, half));
    world.body().prescribe(-spin.cross(arm), spin);
    world.step();
    ASSERT_EQ(world.load().contacts, 1u) << turnedBy;
    // The overlap is 1 - cos(lead) of the distance larger at either end: 6 % of itself, so that the
    // stiffness and with it the force fall by 3 % on the way to the edge.
    ASSERT_NEAR(world.load().total.force.y(), held, 0.035 * std::abs(held)) << turnedBy;
  }
}

TEST_P(GrainMesh, HistoryTurnsWithTheBody) {
  // A plate turns about the axis of a grain that it holds by friction: what it holds turns too.
  ContactWorldSettings settings = stone(GetParam());
  settings.gravity = 0.0;
  GrainList grains(settings.domain);
  grains.add(kRadius, Vec3(0.0, 0.0, kRadius - 1e-3), Vec3::Zero(), Vec3::Zero(), true);
  RigidMotion start;
  ContactWorld world(settings, grains.set(), {test::sheet(0.5, 0.5, 7, 7)},
                     RigidBody::prescribed(start));
  world.body().prescribe(Vec3(0.0, 0.01, 0.0), Vec3::Zero());
  for (int step = 0; step < 50; ++step) world.step();
  world.body().prescribe(Vec3::Zero(), Vec3::Zero());
  world.step();
  const Vec3 before = world.load().total.force;
  // A turn about the grain's own vertical leaves the contact point where it is.
  const Vec3 spin(0.0, 0.0, 10.0);
  for (int step = 0; step < 1571; ++step) {
    world.body().prescribe(spin.cross(world.body().motion().centreOfMass), spin);
    world.step();
  }
  const Vec3 after = world.load().total.force;
  EXPECT_LT(before.y(), -1.0);
  EXPECT_NEAR(after.x(), -before.y(), 0.01 * std::abs(before.y()));
  EXPECT_NEAR(after.y(), 0.0, 0.01 * std::abs(before.y()));
}

TEST_P(GrainMesh, SeesGrainsAcrossThePeriodicSide) {
  // The body has gone once round in x; the grain is at the far side of the domain.
  ContactWorldSettings settings = stone(GetParam());
  settings.gravity = 0.0;
  GrainList grains(settings.domain);
  grains.add(kRadius, Vec3(-0.98, 0.0, kRadius - 1e-3));
  RigidMotion start;
  start.centreOfMass = Vec3(0.97 + 2.0 * settings.domain.lengthX, 0.0, 0.0);
  ContactWorld world(settings, grains.set(), {test::sheet(0.5, 0.5, 3, 3)},
                     RigidBody::prescribed(start));
  world.step();
  EXPECT_EQ(world.load().contacts, 1u);
  EXPECT_LT(world.load().total.force.z(), -1.0);
  // The force acts 0.05 to the +x side of the body: bow down is positive about y.
  EXPECT_NEAR(world.load().total.torque.y(), -0.05 * world.load().total.force.z(),
              1e-6 * std::abs(world.load().total.force.z()));
}

namespace {

void expectThawedContinue(KernelKind kind, const Surface& surface) {
  ContactWorld whole = blockInSmallBed(kind, surface);
  for (int step = 0; step < 600; ++step) whole.step(blockLoad());
  const auto kernel = whole.kernel().freeze(), contacts = whole.contacts().freeze(),
             body = whole.body().freeze();
  EXPECT_GT(whole.load().contacts, 3u);

  ContactWorld resumed = blockInSmallBed(kind, surface);
  resumed.kernel().thaw(kernel);
  resumed.contacts().thaw(contacts);
  resumed.body().thaw(body);
  EXPECT_EQ(resumed.contacts().stateHash(), whole.contacts().stateHash());
  for (int step = 0; step < 300; ++step) {
    whole.step(blockLoad());
    resumed.step(blockLoad());
    ASSERT_EQ(whole.contacts().stateHash(), resumed.contacts().stateHash()) << step;
  }
  EXPECT_EQ(whole.kernel().stateHash(), resumed.kernel().stateHash());
  EXPECT_EQ(whole.body().freeze(), resumed.body().freeze());
  EXPECT_EQ(whole.contacts().freeze(), resumed.contacts().freeze());
}

}  // namespace

TEST_P(GrainMesh, ThawedContactsContinueBitForBit) {
  expectThawedContinue(GetParam(), smallBedSettings(GetParam()).surface);
  expectThawedContinue(GetParam(), kStickySteel);
}

TEST_P(GrainMesh, ListsFindEveryContactThatAFreshSearchFinds) {
  // A second set of contacts, refreshed every step, must see what the first one sees.
  ContactWorld world = blockInSmallBed(GetParam());
  const TriangleMesh mesh = steelBlockMesh();
  const ContactPart part{&mesh, {}};
  std::size_t touches = 0;
  for (int step = 0; step < 1200; ++step) {
    world.step(blockLoad());
    if (step % 11 != 0) continue;
    GrainMeshContacts fresh({&part, 1}, Vec3::Zero(), BodyCompliance{},
                            smallBedSettings(GetParam()).material, 0.0245);
    fresh.update(world.kernel(), world.body().motion(), true);
    EnergyLedger listed, searched;
    world.contacts().addEnergy(world.kernel(), world.body().motion(), listed);
    fresh.addEnergy(world.kernel(), world.body().motion(), searched);
    ASSERT_EQ(listed.elasticNormal, searched.elasticNormal) << step;
    if (searched.elasticNormal > 0.0) ++touches;
  }
  EXPECT_GT(touches, 50u);
  EXPECT_LT(world.contacts().refreshCount(), 1000u);
}

namespace {

/// A plate of 10 mm thickness comes up under a frozen grain at 1 m/s, some way, and goes aside.
SteelPenetration platePushedInto(KernelKind kind, double setback, double rise) {
  ContactWorldSettings settings = stone(kind);
  settings.gravity = 0.0;
  settings.material.steelSetback = setback;
  GrainList grains(settings.domain);
  grains.add(kRadius, Vec3(0.01, 0.02, 0.0), Vec3::Zero(), Vec3::Zero(), true);
  RigidMotion start;
  start.centreOfMass = Vec3(0.0, 0.0, -0.0600125);  // the top 55 mm below the grain's centre
  ContactWorld world(settings, grains.set(), {test::box(Vec3(0.4, 0.4, 0.01), 4)},
                     RigidBody::prescribed(start));
  world.body().prescribe(Vec3(0.0, 0.0, 1.0), Vec3::Zero());
  world.run(rise);
  world.body().prescribe(Vec3(1.0, 0.0, 0.0), Vec3::Zero());
  world.run(0.4);
  EXPECT_EQ(world.load().contacts, 0u);
  return world.contacts().penetration();
}

}  // namespace

TEST_P(GrainMesh, CountsAGrainWhoseCentrePassesThroughTheSurface) {
  for (const double setback : {0.0, 0.3}) {
    // The last overlap before the passage: half a diameter less the setback, to half a step of
    // 0.1 mm over 100 mm.
    const SteelPenetration through = platePushedInto(GetParam(), setback, 0.06);
    EXPECT_EQ(through.passages, 1u) << setback;
    EXPECT_NEAR(through.largestOverlapRatio, 0.5 - setback, 1e-3) << setback;
    // A millimetre short of it, and then off over the plate's edge.
    const SteelPenetration held = platePushedInto(GetParam(), setback, 0.054);
    EXPECT_EQ(held.passages, 0u) << setback;
    EXPECT_NEAR(held.largestOverlapRatio, 0.49 - setback, 1e-3) << setback;
  }
}

TEST_P(GrainMesh, PenetrationIsInTheCheckpoint) {
  ContactWorldSettings settings = stone(GetParam());
  settings.gravity = 0.0;
  GrainList grains(settings.domain);
  grains.add(kRadius, Vec3(0.0, 0.0, kRadius - 1e-3), Vec3::Zero(), Vec3::Zero(), true);
  ContactWorld world(settings, grains.set(), {test::sheet(0.5, 0.5, 3, 3)},
                     ContactWorld::fixedBody());
  world.step();
  ContactWorld other(settings, grains.set(), {test::sheet(0.5, 0.5, 3, 3)},
                     ContactWorld::fixedBody());
  other.contacts().thaw(world.contacts().freeze());
  EXPECT_NEAR(other.contacts().penetration().largestOverlapRatio, 0.01, 1e-6);
  EXPECT_EQ(other.load().normalForce, world.load().normalForce);
  EXPECT_NEAR(world.load().normalForce, world.load().total.force.norm(),
              1e-9 * world.load().normalForce);
}

TEST_P(GrainMesh, AContactLeftBehindGivesItsSpringsToTheLedger) {
  // The plate turns under a frozen grain, and is then somewhere else at once: what the springs
  // held is lost to sliding and rolling, and nothing of it to nowhere.
  ContactWorldSettings settings = stone(GetParam());
  settings.gravity = 0.0;
  settings.surface.rollingFriction = 0.3;
  GrainList grains(settings.domain);
  grains.add(kRadius, Vec3(0.0, 0.0, kRadius - 1e-3), Vec3::Zero(), Vec3::Zero(), true);
  ContactWorld world(settings, grains.set(), {test::sheet(0.5, 0.5, 3, 3)},
                     RigidBody::prescribed(RigidMotion{}));
  world.body().prescribe(Vec3(0.0, 1e-3, 0.0), Vec3(0.1, 0.0, 0.0));
  for (int step = 0; step < 20; ++step) world.step();
  EnergyLedger held, left;
  world.contacts().addEnergy(world.kernel(), world.body().motion(), held);
  RigidMotion away = world.body().motion();
  away.centreOfMass.z() -= 0.8;
  world.contacts().update(world.kernel(), away, false);
  world.contacts().addEnergy(world.kernel(), away, left);
  ASSERT_GT(held.elasticRolling, 0.0);
  ASSERT_GT(held.elasticTangential, 0.0);
  EXPECT_EQ(left.elasticRolling, 0.0);
  EXPECT_NEAR(left.rolling - held.rolling, held.elasticRolling, 1e-12 * held.elasticRolling);
  EXPECT_NEAR(left.friction - held.friction, held.elasticTangential,
              1e-12 * held.elasticTangential);
}

TEST_P(GrainMesh, FindsGrainsThatTouchThroughThePlate) {
  ContactWorldSettings settings = stone(GetParam());
  settings.gravity = 0.0;
  settings.material.steelSetback = 0.3;
  const double x = 0.9, away = 0.045;  // 90 mm apart across the plate's 10
  GrainList grains(settings.domain);
  grains.add(kRadius, Vec3(x, 0.0, away), Vec3::Zero(), Vec3::Zero(), true);
  grains.add(kRadius, Vec3(x, 0.0, -away), Vec3::Zero(), Vec3::Zero(), true);
  grains.add(kRadius, Vec3(x, 0.09, away), Vec3::Zero(), Vec3::Zero(), true);  // on one side
  grains.add(kRadius, Vec3(-0.4, 0.0, away), Vec3::Zero(), Vec3::Zero(), true);
  grains.add(kRadius, Vec3(-0.4, 0.0, -away), Vec3::Zero(), Vec3::Zero(), true);  // off the plate
  grains.add(kRadius, Vec3(x, -0.15, 0.024), Vec3::Zero(), Vec3::Zero(), true);   // on the steel
  RigidMotion start;
  start.centreOfMass = Vec3(-1.05, 0.0, 0.0);  // as seen across the periodic side
  ContactWorld world(settings, grains.set(), {test::box(Vec3(0.5, 0.5, 0.01), 5)},
                     RigidBody::prescribed(start));
  world.step();
  const PairsThroughSteel found =
      world.contacts().pairsThroughSteel(world.kernel(), world.body().motion());
  EXPECT_EQ(found.pairs, 1u);
  // Hertz: 4/3 E* sqrt(R/2) delta^1.5, E* = E / (2 (1 - nu^2)), delta = 10 mm; places in the fast
  // kernel come in units of 5e-10 m, 1e-7 of that.
  const double force =
      4.0 / 3.0 * 1.0e8 / (2.0 * (1.0 - 0.0625)) * std::sqrt(0.5 * kRadius) * std::pow(0.01, 1.5);
  EXPECT_NEAR(found.normalForce, force, 1e-6 * force);
  ASSERT_EQ(world.load().contacts, 1u);
  EXPECT_DOUBLE_EQ(found.shareOfSteel, found.normalForce / world.load().normalForce);
}

INSTANTIATE_TEST_SUITE_P(Kernels, GrainMesh,
                         ::testing::Values(KernelKind::kReference, KernelKind::kFast),
                         [](const auto& kind) { return kernelName(kind.param); });

}  // namespace holdground
