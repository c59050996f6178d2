// Steel meets each grain by the law of its soil.
#include <gtest/gtest.h>

#include <cmath>

#include "solver/contact/grain_mesh_contacts.hpp"
#include "solver/motion/rigid_body.hpp"
#include "tests/support/contact_meshes.hpp"
#include "tests/support/kernels.hpp"

namespace holdground {
namespace {

constexpr double kRadius = 0.02;

GrainMaterial soilOf(double young, double setback) {
  GrainMaterial m;
  m.youngModulus = young;
  m.steelSetback = setback;
  return m;
}

const std::vector<GrainMaterial> kSoils{soilOf(2e7, 0.3), soilOf(1e8, 0.0)};

/// A still block, top at z = 0, with one grain of each soil on it, either pressed in by an overlap.
struct SteelAndTwoGrains {
  explicit SteelAndTwoGrains(KernelKind kind, double overlap, const Vec3& velocity = Vec3::Zero(),
                             std::vector<Surface> surfaces = {{0.3, 0.0}, {0.3, 0.0}})
      : mesh(test::box(Vec3(0.6, 0.3, 0.1), 4)) {
    Ball balls[2];
    GrainSet set;
    for (std::size_t k = 0; k < 2; ++k) {
      balls[k].radius = kRadius;
      balls[k].velocity = velocity;
      const double reach = kRadius * (1.0 - 2.0 * kSoils[k].steelSetback);
      balls[k].position = Vec3(k == 0 ? -0.1 : 0.1, 0.0, 0.05 + reach - overlap);
    }
    set = sceneOf(Domain{1.0, 1.0, -0.5, 0.5}, {balls[0], balls[1]});
    set.soil = {0, 1};
    settings.material = kSoils[0];
    settings.lowerSoils = {kSoils[1]};
    settings.gravity = 0.0;
    settings.water.density = 0.0;
    settings.timeStep = 1e-5;
    kernel = makeKernel(kind, set, settings);
    ContactPart part{&mesh, surfaces[0], {surfaces[1]}};
    steel.emplace(std::span(&part, 1), Vec3::Zero(), BodyCompliance{}, kSoils, kRadius);
  }

  /// What a step of the steel does to each grain, if it did the same the step before [N].
  std::array<Vec3, 2> forces() {
    const double mass[2] = {massOf(settings, kRadius), massOf(settings, kRadius)};
    std::array<Vec3, 2> before{grainOf(*kernel, 0).velocity, grainOf(*kernel, 1).velocity};
    steel->update(*kernel, {}, kernel->updateNeighbours());
    steel->computeForces(*kernel, {}, settings.timeStep);
    kernel->advance();
    std::array<Vec3, 2> result;
    for (std::uint32_t k = 0; k < 2; ++k)
      result[k] = mass[k] * (grainOf(*kernel, k).velocity - before[k]) / settings.timeStep;
    return result;
  }

  TriangleMesh mesh;
  KernelSettings settings;
  std::unique_ptr<GrainKernel> kernel;
  std::optional<GrainMeshContacts> steel;
};

double hertz(const GrainMaterial& m, double overlap) {
  const EffectiveModuli moduli = effectiveModuliOnRigid(m.youngModulus, m.poissonRatio);
  return 4.0 / 3.0 * moduli.young * std::sqrt(kRadius * overlap) * overlap;
}

}  // namespace

class SteelOnSoilsTest : public KernelTest {};

TEST_P(SteelOnSoilsTest, PressesEachByItsOwnModulusAndSetback) {
  SteelAndTwoGrains world(GetParam(), 1e-4);
  const auto force = world.forces();
  for (std::size_t k = 0; k < 2; ++k)  // from nothing: predicted by half a step more
    EXPECT_NEAR(force[k].z() / (1.5 * hertz(kSoils[k], 1e-4)), 1.0, 1e-3) << "soil " << k;
}

TEST_P(SteelOnSoilsTest, RubsEachAsItIsTold) {
  SteelAndTwoGrains world(GetParam(), 1e-4, Vec3(2.0, 0.0, 0.0), {{0.1, 0.0}, {0.5, 0.0}});
  world.forces();
  world.forces();
  const auto force = world.forces();
  EXPECT_NEAR(-force[0].x() / force[0].z(), 0.1, 1e-3);
  EXPECT_NEAR(-force[1].x() / force[1].z(), 0.5, 5e-3);
}

// Adhesion is that of the soil that clings: a sticky grain holds, the sand beside it does not.
TEST_P(SteelOnSoilsTest, ClingsToTheStickySoilAlone) {
  SteelAndTwoGrains world(GetParam(), 1e-5, Vec3(2.0, 0.0, 0.0),
                          {{0.0, 0.0, 2000.0, 0.0}, {0.0, 0.0}});
  world.forces();
  world.forces();
  const auto force = world.forces();
  EXPECT_LT(force[0].x(), -0.5 * 2000.0 * 4.0 * kRadius * kRadius);
  EXPECT_NEAR(force[1].x(), 0.0, 1e-3);
}

TEST_P(SteelOnSoilsTest, RemembersTheSoilOfAContactInACheckpoint) {
  SteelAndTwoGrains world(GetParam(), 1e-4, Vec3(0.1, 0.0, 0.0));
  world.forces();
  SteelAndTwoGrains other(GetParam(), 1e-4, Vec3(0.1, 0.0, 0.0));
  other.kernel->thaw(world.kernel->freeze());
  other.steel->thaw(world.steel->freeze());
  EXPECT_EQ(other.steel->stateHash(), world.steel->stateHash());
  for (int k = 0; k < 20; ++k) {
    world.forces();
    other.forces();
  }
  EXPECT_EQ(other.steel->stateHash(), world.steel->stateHash());
  EXPECT_EQ(other.kernel->stateHash(), world.kernel->stateHash());
}

HOLDGROUND_ON_EVERY_KERNEL(SteelOnSoilsTest);

}  // namespace holdground
