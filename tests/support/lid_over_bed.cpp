#include "tests/support/lid_over_bed.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "tests/support/contact_meshes.hpp"
#include "tests/support/small_bed.hpp"

namespace holdground {
namespace {

/// An endless sheet, front side up, with waves along x that repeat with the tile.
TriangleMesh corrugated(int waves, double height) {
  const double size = LidOverBed::kTile * 1.25;
  TriangleMesh mesh = test::sheet(size, size, 10 * waves, 1);
  for (Vec3& v : mesh.vertices)
    v.z() = 0.5 * height * std::cos(2.0 * kPi * waves * v.x() / LidOverBed::kTile);
  return mesh;
}

TriangleMesh turnedOver(TriangleMesh mesh) {
  for (auto& triangle : mesh.triangles) std::swap(triangle[1], triangle[2]);
  return mesh;
}

GrainSet looseGrains() {
  GrainSet grains = smallBed(3, 7);
  std::fill(grains.frozen.begin(), grains.frozen.end(), std::uint8_t{0});
  for (Vec3& velocity : grains.velocity) velocity = Vec3(0.0, 0.0, -0.2);
  return grains;
}

}  // namespace

ProbeSettings smallProbe(KernelKind kind) {
  const ContactWorldSettings world = smallBedSettings(kind);
  ProbeSettings settings;
  settings.kernel = kind;
  settings.bed.material = world.material;
  settings.bed.water.density = world.waterDensity;
  settings.bed.gravity = world.gravity;
  settings.bed.timeStep = world.timeStep;
  return settings;
}

void run(ProbeSimulation& probe, double time) {
  const double end = probe.time() + time - 0.5 * probe.settings().bed.timeStep;
  while (probe.time() < end) probe.advanceOneStep();
}

TriangleMesh sheetFacingDown(double sizeX, double sizeY, int columns, int rows) {
  return turnedOver(test::sheet(sizeX, sizeY, columns, rows));
}

BodyDrive pressed(double force, double damping, double speed) {
  return {{AxisDrive::velocity(speed), AxisDrive::velocity(0.0), AxisDrive::force(-force, damping)},
          Vec3::Zero()};
}

LidOverBed::LidOverBed(KernelKind kind) : probe_(looseGrains(), smallProbe(kind)) {
  const TriangleMesh below = corrugated(8, 0.02);
  const TriangleMesh above = turnedOver(below);
  ProbeBody floor;
  floor.parts = {{&below, {0.5, 0.0}}};
  floor.position = Vec3(0.0, 0.0, -0.06);
  probe_.addBody(floor);
  ProbeBody lid;
  lid.parts = {{&above, {0.5, 0.0}}};
  lid.position = Vec3(0.0, 0.0, 0.34);
  lid.mass = kMass;
  lid.drive = pressed(kLoad, 4.0 * kDamping);
  probe_.addBody(lid);
}

void LidOverBed::beginShearing(double speed) {
  constexpr int kSteps = 1000;
  for (int k = 0; k <= kSteps; ++k) {
    probe_.setDrive(kLid, pressed(kLoad, kDamping, speed * k / kSteps));
    probe_.advanceOneStep();
  }
}

Vec3 LidOverBed::grainMomentum() const {
  Vec3 sum = Vec3::Zero();
  for (std::uint32_t slot = 0; slot < probe_.kernel().size(); ++slot) {
    const GrainSample grain = probe_.kernel().sample(slot);
    sum += grain.velocity / grain.inverseMass;
  }
  return sum;
}

double LidOverBed::grainWeight() const {
  const KernelSettings& bed = probe_.settings().bed;
  double mass = 0.0;
  for (std::uint32_t slot = 0; slot < probe_.kernel().size(); ++slot)
    mass += 1.0 / probe_.kernel().sample(slot).inverseMass;
  return mass * bed.gravity * (1.0 - bed.water.density / bed.material.density);
}

}  // namespace holdground
