#include "scenarios/run/plate_shape.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace holdground {

namespace {

constexpr double kAlike = 0.10;    // of the median thickness
constexpr double kOpposed = -0.8;  // cosine between the normals of two faces of a plate

struct Probe {
  double thickness;
  double area;
  Vec3 middle;
};

/// Where the ray p + s d first meets the triangle with s > least; infinity when it does not.
/// Source: Moeller & Trumbore 1997, J. Graphics Tools 2(1):21.
double rayMeets(const Vec3& p, const Vec3& d, const Vec3& a, const Vec3& b, const Vec3& c,
                double least) {
  constexpr double kNever = std::numeric_limits<double>::infinity();
  const Vec3 ab = b - a, ac = c - a, pv = d.cross(ac);
  const double det = ab.dot(pv);
  if (std::abs(det) < 1e-30) return kNever;
  const Vec3 tv = p - a;
  const double u = tv.dot(pv) / det;
  if (u < 0.0 || u > 1.0) return kNever;
  const Vec3 qv = tv.cross(ab);
  const double v = d.dot(qv) / det;
  if (v < 0.0 || u + v > 1.0) return kNever;
  const double s = ac.dot(qv) / det;
  return s > least ? s : kNever;
}

std::vector<Probe> probe(const TriangleMesh& mesh) {
  const std::size_t count = mesh.triangles.size();
  std::vector<Vec3> twiceArea(count);
  for (std::size_t t = 0; t < count; ++t) {
    const Vec3 a = mesh.corner(t, 0);
    twiceArea[t] = (mesh.corner(t, 1) - a).cross(mesh.corner(t, 2) - a);
  }
  std::vector<Probe> probes;
  const std::size_t rays = std::min(count, kMostRays);
  for (std::size_t r = 0; r < rays; ++r) {
    const std::size_t t = r * count / rays;
    const double area = 0.5 * twiceArea[t].norm();
    const Vec3 normal = twiceArea[t].normalized();
    const Vec3 from = (mesh.corner(t, 0) + mesh.corner(t, 1) + mesh.corner(t, 2)) / 3.0;
    const double least = 1e-6 * std::sqrt(area);
    double nearest = std::numeric_limits<double>::infinity();
    std::size_t met = t;
    for (std::size_t other = 0; other < count; ++other) {
      if (other == t) continue;
      const double s = rayMeets(from, -normal, mesh.corner(other, 0), mesh.corner(other, 1),
                                mesh.corner(other, 2), least);
      if (s < nearest) {
        nearest = s;
        met = other;
      }
    }
    if (!std::isfinite(nearest)) continue;
    const bool facesAway = twiceArea[met].normalized().dot(normal) < kOpposed;
    // A ray that leaves through a slanting face measures no plate, but counts against one.
    probes.push_back({facesAway ? nearest : 0.0, area, from - 0.5 * nearest * normal});
  }
  return probes;
}

/// Greatest distance of points from their best plane, on either side.
double greatestFromPlane(const std::vector<Vec3>& points) {
  Vec3 mean = Vec3::Zero();
  for (const Vec3& p : points) mean += p;
  mean /= static_cast<double>(points.size());
  Mat3 moment = Mat3::Zero();
  for (const Vec3& p : points) moment += (p - mean) * (p - mean).transpose();
  const Eigen::SelfAdjointEigenSolver<Mat3> solver(moment);
  const Vec3 normal = solver.eigenvectors().col(0);
  double greatest = 0.0;
  for (const Vec3& p : points) greatest = std::max(greatest, std::abs(normal.dot(p - mean)));
  return greatest;
}

}  // namespace

std::optional<PlateShape> plateShapeOf(const TriangleMesh& mesh) {
  std::vector<Probe> probes = probe(mesh);
  if (probes.empty()) return std::nullopt;
  std::sort(probes.begin(), probes.end(),
            [](const Probe& a, const Probe& b) { return a.thickness < b.thickness; });
  double total = 0.0, half = 0.0, alike = 0.0;
  for (const Probe& p : probes) total += p.area;
  PlateShape shape;
  for (const Probe& p : probes) {
    half += p.area;
    if (half < 0.5 * total) continue;
    shape.thickness = p.thickness;
    break;
  }
  std::vector<Vec3> middles;
  for (const Probe& p : probes) {
    if (std::abs(p.thickness - shape.thickness) > kAlike * shape.thickness) continue;
    alike += p.area;
    middles.push_back(p.middle);
  }
  shape.plateShare = shape.thickness > 0.0 ? alike / total : 0.0;
  if (middles.size() >= 3) shape.outOfPlane = greatestFromPlane(middles);
  return shape;
}

}  // namespace holdground
