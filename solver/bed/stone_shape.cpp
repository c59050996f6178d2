#include "solver/bed/stone_shape.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

namespace holdground {

namespace {

constexpr std::uint64_t kDrawsPerStone = 32;
constexpr double kCornerRadius = 0.2;    // over b
constexpr double kDeepestCorner = 0.25;  // how far a corner may lie inwards
constexpr int kCells = 36;               // along a

struct Sphere {
  Vec3 centre;
  double radius;
};

/// Axes a, b, c of a stone as half lengths, b = 1/2.
Vec3 halfAxes(const CounterRandom& random, std::uint64_t k) {
  const double b = 0.5;
  return {b * random.uniform(kDrawsPerStone * k, 1.15, kLongestStone), b,
          b * random.uniform(kDrawsPerStone * k + 1, 0.6, 0.85)};
}

std::vector<Sphere> roundedSpheres(const Vec3& half) {
  const double c = half.z();
  std::vector<Sphere> spheres = {{Vec3::Zero(), c}};
  for (int axis = 0; axis < 2; ++axis) {
    const double room = half[axis] * half[axis] - c * c;
    const double tip = room / half[axis];
    for (const double share : {0.5, 1.0}) {
      if (axis == 1 && share < 1.0) continue;
      for (const double side : {-1.0, 1.0}) {
        const double x = side * share * tip;
        spheres.push_back({x * Vec3::Unit(axis), c * std::sqrt(1.0 - x * x / room)});
      }
    }
  }
  return spheres;
}

std::vector<Sphere> angularSpheres(const Vec3& half, const CounterRandom& random, std::uint64_t k) {
  const double corner = kCornerRadius, core = 0.95 * half.z();
  std::vector<Sphere> spheres = {{Vec3::Zero(), core}};
  for (const double side : {-1.0, 1.0})
    spheres.push_back({Vec3(side * 0.5 * half.x(), 0.0, 0.0), 0.85 * core});
  std::uint64_t draw = kDrawsPerStone * k + 2;
  for (int n = 0; n < 8; ++n) {
    Vec3 place;
    for (int axis = 0; axis < 3; ++axis) {
      const double side = (n >> axis) % 2 == 0 ? -1.0 : 1.0;
      place[axis] =
          side * (half[axis] - corner) * (1.0 - random.uniform(draw++, 0.0, kDeepestCorner));
    }
    spheres.push_back({place, corner});
  }
  return spheres;
}

struct Solid {
  double volume = 0.0;
  Vec3 centre = Vec3::Zero();
  Mat3 second = Mat3::Zero();  ///< integral of x x^T about the origin
};

Solid solidOf(const std::vector<Sphere>& spheres, const Vec3& half) {
  const double edge = 2.0 * half.x() / kCells, cell = edge * edge * edge;
  Solid solid;
  const auto cells = [&](int axis) { return static_cast<int>(std::ceil(2.0 * half[axis] / edge)); };
  for (int iz = 0; iz < cells(2); ++iz)
    for (int iy = 0; iy < cells(1); ++iy)
      for (int ix = 0; ix < kCells; ++ix) {
        const Vec3 x((ix + 0.5 - 0.5 * kCells) * edge, (iy + 0.5 - 0.5 * cells(1)) * edge,
                     (iz + 0.5 - 0.5 * cells(2)) * edge);
        const bool inside = std::any_of(spheres.begin(), spheres.end(), [&x](const Sphere& s) {
          return (x - s.centre).squaredNorm() < s.radius * s.radius;
        });
        if (!inside) continue;
        solid.volume += cell;
        solid.centre += cell * x;
        solid.second += cell * x * x.transpose();
      }
  solid.centre /= solid.volume;
  return solid;
}

}  // namespace

ShapedStone makeStone(GrainShape shape, double diameter, double density,
                      const CounterRandom& random, std::uint64_t k) {
  ShapedStone result;
  Stone& stone = result.stone;
  if (shape == GrainShape::kSphere) {
    const double radius = 0.5 * diameter;
    stone.mass = density * 4.0 / 3.0 * kPi * radius * radius * radius;
    stone.inertia = Vec3::Constant(0.4 * stone.mass * radius * radius);
    stone.places = {Vec3::Zero()};
    result.radii = {radius};
    return result;
  }
  const Vec3 half = halfAxes(random, k);
  const std::vector<Sphere> spheres =
      shape == GrainShape::kRounded ? roundedSpheres(half) : angularSpheres(half, random, k);
  const Solid solid = solidOf(spheres, half);
  const Mat3 second =
      solid.second - solid.volume * solid.centre * solid.centre.transpose();  // about the centre
  const Mat3 inertia = second.trace() * Mat3::Identity() - second;
  const Eigen::SelfAdjointEigenSolver<Mat3> principal(inertia);
  Mat3 axes = principal.eigenvectors();
  if (axes.determinant() < 0.0) axes.col(2) = -axes.col(2);
  const double cube = diameter * diameter * diameter;
  stone.mass = density * cube * solid.volume;
  stone.inertia = density * cube * diameter * diameter * principal.eigenvalues();
  stone.orientation = Quat(axes);
  for (const Sphere& sphere : spheres) {
    stone.places.push_back(diameter * (axes.transpose() * (sphere.centre - solid.centre)));
    result.radii.push_back(diameter * sphere.radius);
  }
  return result;
}

double meanVolumeShare(GrainShape shape) {
  if (shape == GrainShape::kSphere) return 1.0;
  constexpr std::uint64_t kStones = 64;
  const CounterRandom random(1, 0);
  double volume = 0.0;
  for (std::uint64_t k = 0; k < kStones; ++k)
    volume += makeStone(shape, 1.0, 1.0, random, k).stone.mass;
  return volume / (static_cast<double>(kStones) * kPi / 6.0);
}

std::uint32_t spheresOf(GrainShape shape) {
  if (shape == GrainShape::kSphere) return 1;
  return makeStone(shape, 1.0, 1.0, CounterRandom(1, 0), 0).stone.sphereCount();
}

Quat randomOrientation(const CounterRandom& random, std::uint64_t k) {
  const double share = random.uniform(3 * k);
  const double first = random.uniform(3 * k + 1, 0.0, 2.0 * kPi);
  const double second = random.uniform(3 * k + 2, 0.0, 2.0 * kPi);
  const double low = std::sqrt(1.0 - share), high = std::sqrt(share);
  return Quat(high * std::cos(second), low * std::sin(first), low * std::cos(first),
              high * std::sin(second));
}

}  // namespace holdground
