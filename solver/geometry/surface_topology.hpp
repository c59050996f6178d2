#pragma once
// What contact needs to know about a surface beyond its triangles: which edges are real, and which
// triangles belong to one smooth patch.
//
// A patch is a set of triangles joined over edges whose dihedral (the angle between the outward
// normals on either side) is at most the crease angle. One contact per grain and patch: a
// tessellated flat or a finely faceted curve is one patch, the two sides of a plate are two.
// Checked by tests/unit/geometry/surface_topology_test.cpp.

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

/// kJunction: fewer or more than two triangles meet (where parts of a union touch); never smooth.
enum class EdgeKind : std::uint8_t { kFlat, kConvex, kConcave, kJunction };

struct SurfaceEdge {
  std::array<std::uint32_t, 2> vertices{};
  std::array<std::uint32_t, 2> triangles{};  ///< the two neighbours; at a junction the first two
  double dihedral = 0.0;                     ///< angle between outward normals [rad], 0 .. pi
  EdgeKind kind = EdgeKind::kJunction;
  bool smooth = false;  ///< both sides belong to one patch across this edge
};

struct SurfaceTopology {
  std::vector<SurfaceEdge> edges;
  std::vector<std::array<std::uint32_t, 3>> triangleEdges;  ///< edge k joins corners k, (k+1)%3
  std::vector<Vec3> normals;                                ///< unit outward, per triangle
  std::vector<std::uint32_t> patch;                         ///< smooth patch of each triangle
  std::uint32_t patchCount = 0;
  std::vector<std::uint32_t> vertexStart;      ///< size vertices + 1
  std::vector<std::uint32_t> vertexTriangles;  ///< triangles around each vertex, ascending

  /// Triangles that use vertex v.
  std::span<const std::uint32_t> around(std::uint32_t v) const {
    return {vertexTriangles.data() + vertexStart[v], vertexStart[v + 1] - vertexStart[v]};
  }
};

inline constexpr double kDefaultCreaseAngle = 30.0 * kPi / 180.0;

/// Edges flatter than this count as flat rather than convex or concave [rad].
inline constexpr double kFlatAngle = 1e-4;

/// Topology of a mesh without degenerate triangles. Neighbours are found by shared vertex indices,
/// so weld first.
SurfaceTopology buildTopology(const TriangleMesh& mesh, double creaseAngle = kDefaultCreaseAngle);

/// Several closed meshes as one surface to touch.
struct ContactSurface {
  TriangleMesh mesh;                ///< vertices at the same place are one
  std::vector<std::uint16_t> part;  ///< which mesh each triangle came from
  SurfaceTopology topology;
};

/// Joins meshes: vertices at exactly the same place are welded, and where two meshes abut with the
/// very same triangles in opposite winding both are dropped, so that patches run on smoothly from
/// part to part and no buried face can be touched.
ContactSurface joinSurfaces(std::span<const TriangleMesh* const> meshes,
                            double creaseAngle = kDefaultCreaseAngle);

}  // namespace holdground
