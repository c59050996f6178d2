#pragma once
// How thick a plate is and how true: rays shot inward from its triangles find the other face.
//
// From the middle of a triangle a ray goes inward along its normal; the distance to where it
// leaves is the thickness there, half way lies the mid-surface. A part is called a plate when most
// of its surface has nearly the median thickness. At most kMostRays triangles are tried, evenly
// spread, so a fine scan costs no more than kMostRays times its triangles.
// Checked by tests/unit/scenarios/plate_shape_test.cpp.

#include <optional>

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

struct PlateShape {
  double thickness = 0.0;   ///< median over the surface, by area [m]
  double outOfPlane = 0.0;  ///< greatest distance of the mid-surface from its best plane [m]
  double plateShare = 0.0;  ///< share of the surface within 10 % of the median [-]
  bool isPlate() const { return plateShare >= 0.6; }
};

inline constexpr std::size_t kMostRays = 400;

/// Empty when the mesh has no triangles or no ray meets another face.
std::optional<PlateShape> plateShapeOf(const TriangleMesh& mesh);

}  // namespace holdground
