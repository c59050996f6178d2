#pragma once
// Where surfaces pass through each other: one with itself, and what two solids share.
//
// Crossing: an edge that goes from one side of another triangle to the other, through its inside,
// by more than 1e-5 of the mesh's diagonal at both ends, so that surfaces that only touch pass.
// Neighbours over an edge are not compared. Pairs are found by sweeping along the longest axis.
// Volumes: along parallel rays, where both solids are inside; a fraction of a percent.
// Checked by tests/unit/geometry/surface_crossing_test.cpp.

#include <cstdint>
#include <optional>

#include "solver/geometry/bounds.hpp"
#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

struct Crossing {
  std::uint32_t first, second;  ///< triangles, first < second
  Vec3 point;                   ///< where an edge of one goes through the other
};

/// The crossing of the lowest triangles of a welded mesh; nothing when there is none.
std::optional<Crossing> findCrossing(const TriangleMesh& mesh);

/// Volume that lies in both of two closed meshes; cube of their unit.
double sharedVolume(const TriangleMesh& a, const TriangleMesh& b);

/// Volume that the shells of a closed mesh enclose twice or more, or, inside out, less than not at
/// all, on lines along the shortest side of a box through it; cube of its unit.
double wronglyEnclosed(const TriangleMesh& mesh, const Bounds& box);

}  // namespace holdground
