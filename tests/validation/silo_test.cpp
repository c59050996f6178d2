// Grains in an upright pipe: what the floor bears grows no more with the height of the fill. Two
// minutes on one core. What it printed stands in tests/validation/published_checks.md.
//   Janssen 1895 (translated by Sperl 2006, Granular Matter 8:59, from memory):
//   sigma(z) = rho g L (1 - exp(-z/L)), L = D/(4 mu_w K).
// The wall is raised slowly, so that its friction is mobilised; K, which the formula does not give,
// is found from one fill and must predict the other.
#include <gtest/gtest.h>

#include <cmath>
#include <iostream>

#include "solver/material/modulus_rule.hpp"
#include "solver/probe/probe_simulation.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {
namespace {

constexpr double kInside = 0.44;  // diameter D of the pipe [m], ten grains
constexpr double kWallFriction = 0.4;
constexpr double kHeight = 3.0;  // of the pipe [m]

/// Open sheet whose front faces the axis.
TriangleMesh pipe() {
  constexpr int kSides = 48;
  TriangleMesh mesh;
  for (int k = 0; k < kSides; ++k) {
    const double a = 2.0 * kPi * k / kSides;
    for (const double z : {-0.1, kHeight})
      mesh.vertices.push_back({0.5 * kInside * std::cos(a), 0.5 * kInside * std::sin(a), z});
  }
  for (std::uint32_t k = 0; k < kSides; ++k) {
    const std::uint32_t a = 2 * k, b = 2 * ((k + 1) % kSides);
    mesh.triangles.push_back({a, a + 1, b + 1});
    mesh.triangles.push_back({a, b + 1, b});
  }
  return mesh;
}

TriangleMesh floorPlate() {
  TriangleMesh mesh;
  const double s = 0.5;
  mesh.vertices = {{-s, -s, 0}, {s, -s, 0}, {s, s, 0}, {-s, s, 0}};
  mesh.triangles = {{0, 1, 2}, {0, 2, 3}};
  return mesh;
}

struct Silo {
  double weight, floor;  ///< of the grains; what the floor bears [N]
};

Silo filled(int layers) {
  GrainSet set;
  const double radius = 0.022, pitch = 0.0475;
  set.domain = {1.4, 1.4, -0.5, kHeight + 0.5};
  for (int z = 0; z < layers; ++z)
    for (int y = -5; y <= 5; ++y)
      for (int x = -5; x <= 5; ++x) {
        const Vec3 at(x * pitch + 0.001 * ((z * 7 + y) % 3), y * pitch + 0.001 * ((z * 5 + x) % 3),
                      0.03 + z * pitch);
        if (std::hypot(at.x(), at.y()) > 0.5 * kInside - 1.1 * radius) continue;
        set.position.push_back(at);
        set.velocity.push_back(Vec3::Zero());
        set.spin.push_back(Vec3::Zero());
        set.radius.push_back(radius * (1.0 - 0.04 * ((x + 2 * y + 3 * z + 60) % 5) / 4.0));
        set.frozen.push_back(0);
      }
  ProbeSettings settings;
  settings.bed.material.friction = 0.5;
  settings.bed.material.rollingFriction = 0.1;
  settings.bed.material.youngModulus = softenedYoungModulus(30e3, 0.25);
  settings.bed.water.density = 0.0;
  settings.bed.timeStep = stableTimeStep(set, settings.bed.material);
  ProbeSimulation silo(set, settings);
  const TriangleMesh wall = pipe(), plate = floorPlate();
  ProbeBody wallBody, floorBody;
  wallBody.parts = {{&wall, {kWallFriction, 0.0, 0.0, 0.0}}};
  floorBody.parts = {{&plate, {0.5, 0.0, 0.0, 0.0}}};
  const std::size_t wallIndex = silo.addBody(wallBody), floorIndex = silo.addBody(floorBody);
  while (silo.time() < 1.5) silo.advanceOneStep();
  BodyDrive rising;
  rising.axis[2] = AxisDrive::velocity(0.02);
  silo.setDrive(wallIndex, rising);
  double sum = 0.0;
  int looks = 0;
  while (silo.time() < 4.0) {
    silo.advanceOneStep();
    if (silo.time() < 3.0) continue;
    sum -= silo.reaction(floorIndex).force.z();
    ++looks;
  }
  double weight = 0.0;
  for (const double r : set.radius)
    weight += 4.0 / 3.0 * kPi * r * r * r * settings.bed.material.density * kStandardGravity;
  std::cout << layers << " layers: weight " << weight << " N, floor " << sum / looks << " N"
            << std::endl;
  return {weight, sum / looks};
}

/// Share of the weight that the floor bears, z = depth over L: (1 - e^-z)/z.
double share(double z) { return (1.0 - std::exp(-z)) / z; }

TEST(Silo, FloorBearsWhatJanssenSays) {
  const Silo low = filled(14), high = filled(28);
  double z = 1.0;  // of the low fill, by bisection of its share
  for (double least = 1e-3, most = 20.0; most - least > 1e-9;) {
    z = 0.5 * (least + most);
    (share(z) > low.floor / low.weight ? least : most) = z;
  }
  const double ratio = high.weight / low.weight;
  // Depth of the fill: weight over area and bulk weight, solid fraction about 0.57 at a wall.
  const double depth =
      low.weight / (0.57 * 2650.0 * kStandardGravity * kPi / 4.0 * kInside * kInside);
  const double k = z * kInside / (4.0 * kWallFriction * depth);
  std::cout << "K " << k << ", floor of the high fill: predicted " << share(z * ratio) * high.weight
            << " N, measured " << high.floor << " N" << std::endl;
  // Between active and passive pressure for 26 degrees: 0.39 to 2.56.
  EXPECT_GT(k, 0.3);
  EXPECT_LT(k, 2.6);
  EXPECT_NEAR(high.floor, share(z * ratio) * high.weight, 0.1 * high.floor);
}

}  // namespace
}  // namespace holdground
