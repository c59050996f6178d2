#include "solver/probe/make_room.hpp"

#include <algorithm>
#include <cmath>

#include "solver/geometry/bounds.hpp"
#include "solver/geometry/closest_point.hpp"
#include "solver/state/select_grains.hpp"

namespace holdground {

namespace {

/// Of the triangle as seen from the origin, positive from behind [sr].
double solidAngle(const Vec3& a, const Vec3& b, const Vec3& c) {
  const double la = a.norm(), lb = b.norm(), lc = c.norm();
  const double over = a.dot(b.cross(c));
  const double under = la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb;
  return 2.0 * std::atan2(over, under);
}

bool overlaps(const TriangleMesh& solid, const Vec3& centre, double reach) {
  double angle = 0.0;
  for (std::size_t t = 0; t < solid.triangles.size(); ++t) {
    const Vec3 a = solid.corner(t, 0), b = solid.corner(t, 1), c = solid.corner(t, 2);
    const Vec3 away = centre - closestPointOnTriangle(centre, a, b, c).point;
    if (away.squaredNorm() < reach * reach) return true;
    angle += solidAngle(a - centre, b - centre, c - centre);
  }
  return angle > 2.0 * kPi;
}

}  // namespace

RoomyBed makeRoom(const GrainSet& bed, std::span<const TriangleMesh> solids,
                  const std::vector<double>& setbackShares) {
  std::vector<std::uint8_t> taken(bed.size(), 0);
  for (const TriangleMesh& solid : solids) {
    const Bounds box = boundsOf(solid);
    const Vec3 middle = box.middle();
#pragma omp parallel for schedule(dynamic, 256)
    for (std::size_t k = 0; k < bed.size(); ++k) {
      Vec3 d = bed.position[k] - middle;
      d.x() -= bed.domain.lengthX * std::round(d.x() / bed.domain.lengthX);
      d.y() -= bed.domain.lengthY * std::round(d.y() / bed.domain.lengthY);
      const double reach = bed.radius[k] * (1.0 - 2.0 * setbackShares[bed.soilOf(k)]);
      const Vec3 beyond = d.cwiseAbs() - 0.5 * box.size();
      if (beyond.maxCoeff() < reach && overlaps(solid, middle + d, reach)) taken[k] = 1;
    }
  }

  RoomyBed result;
  result.grains = selectGrains(bed, [&](std::size_t k) { return taken[k] == 0; });
  result.taken = bed.size() - result.grains.size();
  const auto held = [](const GrainSet& grains) {
    return static_cast<std::size_t>(std::count(grains.frozen.begin(), grains.frozen.end(), 1));
  };
  result.takenFrozen = held(bed) - held(result.grains);
  return result;
}

}  // namespace holdground
