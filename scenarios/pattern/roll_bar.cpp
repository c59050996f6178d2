#include "scenarios/pattern/roll_bar.hpp"

#include <algorithm>
#include <cmath>

#include "scenarios/pattern/fluke_surface.hpp"

namespace holdground {

namespace {

constexpr int kSides = kRollBarSides;

/// Middle and directions across the tube where the ellipse has parameter t (0 port, pi starboard).
struct Station {
  Vec3 middle, outward, aft;
};

Station stationAt(const ScoopPattern& p, const Vec3& foot, double t) {
  const double half = 0.5 * p.rollBarWidth;
  const Vec3 middle(foot.x(), half * std::cos(t), foot.z() + p.rollBarHeight * std::sin(t));
  const Vec3 along = Vec3(0.0, -half * std::sin(t), p.rollBarHeight * std::cos(t)).normalized();
  return {middle, Vec3(0.0, along.z(), -along.y()), -Vec3::UnitX()};
}

/// The middle of a ring and its corners.
void addRing(TriangleMesh& mesh, const Station& at, double radius) {
  for (int k = 0; k < kSides; ++k) {
    const double angle = 2.0 * kPi * k / kSides;
    mesh.vertices.push_back(at.middle +
                            radius * (std::cos(angle) * at.outward + std::sin(angle) * at.aft));
  }
}

void addTube(TriangleMesh& mesh, int rings) {
  for (int r = 0; r + 1 < rings; ++r) {
    for (int k = 0; k < kSides; ++k) {
      const auto a = static_cast<std::uint32_t>(r * kSides + k);
      const auto b = static_cast<std::uint32_t>(r * kSides + (k + 1) % kSides);
      mesh.triangles.push_back({a, b, b + kSides});
      mesh.triangles.push_back({a, b + kSides, a + kSides});
    }
  }
}

enum class End { kFirst, kLast };

void addCap(TriangleMesh& mesh, int ring, const Vec3& middle, End end) {
  const auto centre = static_cast<std::uint32_t>(mesh.vertices.size());
  mesh.vertices.push_back(middle);
  for (int k = 0; k < kSides; ++k) {
    auto a = static_cast<std::uint32_t>(ring * kSides + k);
    auto b = static_cast<std::uint32_t>(ring * kSides + (k + 1) % kSides);
    if (end == End::kFirst) std::swap(a, b);
    mesh.triangles.push_back({centre, a, b});
  }
}

}  // namespace

TriangleMesh rollBarMesh(const ScoopPattern& pattern) {
  const FlukeSurface fluke(pattern);
  const double half = 0.5 * pattern.rollBarWidth, radius = 0.5 * pattern.rollBarDiameter;
  const Vec3 foot = fluke.upper(pattern.rollBarAft, half);
  // Of the ellipse, roughly: pi times the root of the mean square of its half axes.
  const double length = kPi * std::sqrt(0.5 * (half * half + std::pow(pattern.rollBarHeight, 2)));
  const int pieces = std::max(16, static_cast<int>(std::ceil(length / (1.4 * pattern.meshSize))));

  TriangleMesh mesh;
  for (int r = 0; r <= pieces; ++r)
    addRing(mesh, stationAt(pattern, foot, kPi * r / pieces), radius);
  addTube(mesh, pieces + 1);
  // The tube stands upright on its feet: dropped onto the face, their corners stay on its sides.
  const auto drop = [&](Vec3& v) { v.z() = fluke.upper(v.x(), v.y()).z(); };
  for (int k = 0; k < kSides; ++k) {
    drop(mesh.vertices[static_cast<std::size_t>(k)]);
    drop(mesh.vertices[static_cast<std::size_t>(pieces * kSides + k)]);
  }
  addCap(mesh, 0, foot, End::kFirst);
  addCap(mesh, pieces, {foot.x(), -foot.y(), foot.z()}, End::kLast);
  return mesh;
}

double rollBarDensity(const ScoopPattern& pattern) {
  const double bore = 1.0 - 2.0 * pattern.rollBarWall / pattern.rollBarDiameter;
  return pattern.density * (1.0 - bore * bore);
}

}  // namespace holdground
