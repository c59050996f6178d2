#include "tests/support/small_bed.hpp"

#include <cmath>
#include <random>

#include "tests/support/contact_meshes.hpp"

namespace holdground {
namespace {

const Vec3 kBlock(0.3, 0.24, 0.03);
constexpr double kSteel = 7850.0;
constexpr double kTile = 0.6;
constexpr double kPitch = 0.05;

double blockMass() { return kSteel * kBlock.prod(); }

}  // namespace

GrainSet smallBed(std::uint64_t seed, int layers) {
  std::mt19937_64 random(seed);
  const auto uniform = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53;
  };
  GrainList grains({kTile, kTile, -0.1, 1.0});
  const int across = static_cast<int>(kTile / kPitch);
  for (int k = 0; k < layers; ++k) {
    for (int j = 0; j < across; ++j) {
      for (int i = 0; i < across; ++i) {
        const double radius = uniform(0.018, 0.0245);
        const double jitter = kPitch / 2.0 - 0.0245;
        const Vec3 lattice((i + 0.5) * kPitch - 0.5 * kTile, (j + 0.5) * kPitch - 0.5 * kTile,
                           k * kPitch);
        const Vec3 shift(uniform(-jitter, jitter), uniform(-jitter, jitter), 0.0);
        grains.add(radius, lattice + shift, Vec3(0.0, 0.0, k == 0 ? 0.0 : -1.0), Vec3::Zero(),
                   k == 0);
      }
    }
  }
  return grains.set();
}

ContactWorldSettings smallBedSettings(KernelKind kind) {
  ContactWorldSettings settings;
  settings.kind = kind;
  settings.material = {2650.0, 2.0e7, 0.25, 0.5, 0.1, 0.5};
  settings.surface = {0.3, 0.05};
  settings.gravity = kStandardGravity;
  settings.timeStep = 1e-4;
  settings.waterDensity = 1025.0;
  return settings;
}

TriangleMesh steelBlockMesh() { return test::box(kBlock, 4); }

ContactWorld blockInSmallBed(KernelKind kind, const Surface& surface) {
  const Vec3 square = kBlock.cwiseProduct(kBlock);
  const Mat3 inertia =
      (blockMass() / 12.0 *
       Vec3(square.y() + square.z(), square.z() + square.x(), square.x() + square.y()))
          .asDiagonal();
  RigidMotion start;
  start.centreOfMass = Vec3(0.12, 0.03, 0.14);
  const GrainSet whole = smallBed();
  GrainList roomy(whole.domain);
  for (std::size_t k = 0; k < whole.size(); ++k) {
    Vec3 away = whole.position[k] - start.centreOfMass;
    away.x() -= kTile * std::round(away.x() / kTile);
    away.y() -= kTile * std::round(away.y() / kTile);
    const Vec3 outside = (away.cwiseAbs() - 0.5 * kBlock).cwiseMax(0.0);
    if (outside.norm() > whole.radius[k])
      roomy.add(whole.radius[k], whole.position[k], whole.velocity[k], Vec3::Zero(),
                whole.frozen[k] != 0);
  }
  ContactWorldSettings settings = smallBedSettings(kind);
  settings.surface = surface;
  return ContactWorld(settings, roomy.set(), {steelBlockMesh()},
                      RigidBody(blockMass(), inertia, start));
}

BodyLoad blockLoad() {
  return {Vec3(100.0, 5.0, -blockMass() * kStandardGravity), Vec3(0.2, 1.0, 0.0)};
}

}  // namespace holdground
