#pragma once
// The smallest box along the axes that holds what was put into it.
// Checked by: tests/unit/geometry/bounds_test.cpp

#include <limits>

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

/// Empty at first: lower above upper. In the frame and unit of what is added.
struct Bounds {
  Vec3 lower = Vec3::Constant(std::numeric_limits<double>::infinity());
  Vec3 upper = -lower;

  void add(const Vec3& point) {
    lower = lower.cwiseMin(point);
    upper = upper.cwiseMax(point);
  }
  void add(const Bounds& other) {
    add(other.lower);
    add(other.upper);
  }
  bool isEmpty() const { return lower.x() > upper.x(); }
  Vec3 size() const { return upper - lower; }
  double diagonal() const { return size().norm(); }
  Vec3 middle() const { return 0.5 * (lower + upper); }
  /// Shortest way from one to the other; 0 where they meet.
  double gapTo(const Bounds& other) const {
    return (other.lower - upper).cwiseMax(lower - other.upper).cwiseMax(Vec3::Zero()).norm();
  }
  /// Do they share a point?
  bool meets(const Bounds& other) const {
    return (lower.array() <= other.upper.array()).all() &&
           (other.lower.array() <= upper.array()).all();
  }
  /// Does the other lie inside and nowhere touch?
  bool contains(const Bounds& other) const {
    return (other.lower.array() > lower.array()).all() &&
           (other.upper.array() < upper.array()).all();
  }
};

inline Bounds boundsOf(const TriangleMesh& mesh, std::size_t triangle) {
  Bounds bounds;
  for (int k = 0; k < 3; ++k) bounds.add(mesh.corner(triangle, k));
  return bounds;
}

/// Of all triangles; vertices that none uses do not count.
inline Bounds boundsOf(const TriangleMesh& mesh) {
  Bounds bounds;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (int k = 0; k < 3; ++k) bounds.add(mesh.corner(t, k));
  return bounds;
}

}  // namespace holdground
