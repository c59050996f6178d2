#pragma once
// The point of a triangle nearest to a given point, and the feature it lies on.
// Source: Ericson 2005, Real-Time Collision Detection, section 5.1.5 (regions of Voronoi features).
// Valid for any triangle that is not degenerate (checked by mesh_checks).
// Promises: no allocation; the point lies on the triangle to rounding.
// Checked by tests/unit/geometry/closest_point_test.cpp.

#include <cstdint>

#include "solver/core/types.hpp"

namespace holdground {

/// Edge k joins corners k and (k+1)%3.
enum class TriangleFeature : std::uint8_t {
  kFace,
  kEdge0,
  kEdge1,
  kEdge2,
  kVertex0,
  kVertex1,
  kVertex2
};

struct TrianglePoint {
  Vec3 point;  ///< [m]
  TriangleFeature feature;
};

/// Nearest point of triangle (a, b, c) to p.
inline TrianglePoint closestPointOnTriangle(const Vec3& p, const Vec3& a, const Vec3& b,
                                            const Vec3& c) {
  const Vec3 ab = b - a, ac = c - a, ap = p - a;
  const double d1 = ab.dot(ap), d2 = ac.dot(ap);
  if (d1 <= 0.0 && d2 <= 0.0) return {a, TriangleFeature::kVertex0};

  const Vec3 bp = p - b;
  const double d3 = ab.dot(bp), d4 = ac.dot(bp);
  if (d3 >= 0.0 && d4 <= d3) return {b, TriangleFeature::kVertex1};

  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0)
    return {a + ab * (d1 / (d1 - d3)), TriangleFeature::kEdge0};

  const Vec3 cp = p - c;
  const double d5 = ab.dot(cp), d6 = ac.dot(cp);
  if (d6 >= 0.0 && d5 <= d6) return {c, TriangleFeature::kVertex2};

  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0)
    return {a + ac * (d2 / (d2 - d6)), TriangleFeature::kEdge2};

  const double va = d3 * d6 - d5 * d4;
  if (va <= 0.0 && d4 - d3 >= 0.0 && d5 - d6 >= 0.0) {
    return {b + (c - b) * ((d4 - d3) / ((d4 - d3) + (d5 - d6))), TriangleFeature::kEdge1};
  }
  const double inverse = 1.0 / (va + vb + vc);
  return {a + ab * (vb * inverse) + ac * (vc * inverse), TriangleFeature::kFace};
}

}  // namespace holdground
