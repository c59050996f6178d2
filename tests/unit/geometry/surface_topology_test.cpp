#include "solver/geometry/surface_topology.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "tests/support/test_meshes.hpp"

namespace holdground {

using test::boxMesh;

namespace {

/// Two walls that meet at a right angle along the y axis, seen from inside the corner.
TriangleMesh concaveCorner() {
  return {{{0, 0, 0}, {0, 1, 0}, {1, 0, 0}, {1, 1, 0}, {0, 0, 1}, {0, 1, 1}},
          {{0, 2, 1}, {1, 2, 3}, {0, 1, 4}, {1, 5, 4}}};
}

std::map<EdgeKind, int> countKinds(const SurfaceTopology& topology) {
  std::map<EdgeKind, int> kinds;
  for (const SurfaceEdge& edge : topology.edges) ++kinds[edge.kind];
  return kinds;
}

}  // namespace

TEST(SurfaceTopology, BoxHasTwelveConvexEdgesAndSixPatches) {
  const SurfaceTopology topology = buildTopology(boxMesh({0, 0, 0}, {1, 2, 3}));
  auto kinds = countKinds(topology);
  EXPECT_EQ(kinds[EdgeKind::kConvex], 12);
  EXPECT_EQ(kinds[EdgeKind::kFlat], 6);
  EXPECT_EQ(kinds[EdgeKind::kConcave] + kinds[EdgeKind::kJunction], 0);
  EXPECT_EQ(topology.patchCount, 6u);
  for (const SurfaceEdge& edge : topology.edges) {
    EXPECT_NEAR(edge.dihedral, edge.kind == EdgeKind::kConvex ? kPi / 2 : 0.0, 1e-12);
    EXPECT_EQ(edge.smooth, edge.kind == EdgeKind::kFlat);
  }
}

TEST(SurfaceTopology, InsideOfACornerIsConcave) {
  const SurfaceTopology topology = buildTopology(concaveCorner());
  auto kinds = countKinds(topology);
  EXPECT_EQ(kinds[EdgeKind::kConcave], 1);
  EXPECT_EQ(kinds[EdgeKind::kFlat], 2);
  EXPECT_EQ(kinds[EdgeKind::kJunction], 6);  // the open rim
  EXPECT_EQ(topology.patchCount, 2u);
}

TEST(SurfaceTopology, SphereIsOnePatchAndItsEdgesAreConvex) {
  const SurfaceTopology topology = buildTopology(test::icosphere(2, 0.3));
  EXPECT_EQ(topology.patchCount, 1u);
  EXPECT_EQ(countKinds(topology)[EdgeKind::kConvex], static_cast<int>(topology.edges.size()));
  // Euler: E = 3 F / 2.
  EXPECT_EQ(topology.edges.size() * 2, topology.patch.size() * 3);
}

TEST(SurfaceTopology, CreaseAngleDecidesWhatIsSmooth) {
  const TriangleMesh icosahedron = test::icosphere(0, 0.3);
  // Normals of an icosahedron's neighbours differ by 180 - 138.19 = 41.81 degrees.
  EXPECT_EQ(buildTopology(icosahedron, 41.0 * kPi / 180.0).patchCount, 20u);
  EXPECT_EQ(buildTopology(icosahedron, 42.0 * kPi / 180.0).patchCount, 1u);
}

TEST(SurfaceTopology, EdgesAndVerticesPointBackAtTheirTriangles) {
  const TriangleMesh mesh = test::icosphere(1, 1.0);
  const SurfaceTopology topology = buildTopology(mesh);
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    for (int k = 0; k < 3; ++k) {
      const SurfaceEdge& edge = topology.edges[topology.triangleEdges[t][k]];
      EXPECT_TRUE(edge.triangles[0] == t || edge.triangles[1] == t);
      std::array<std::uint32_t, 2> ends{mesh.triangles[t][k], mesh.triangles[t][(k + 1) % 3]};
      std::sort(ends.begin(), ends.end());
      EXPECT_EQ(edge.vertices, ends);
      const auto around = topology.around(mesh.triangles[t][k]);
      EXPECT_TRUE(std::binary_search(around.begin(), around.end(), t));
    }
    EXPECT_GT(topology.normals[t].dot(mesh.corner(t, 0)), 0.0);
  }
  EXPECT_EQ(topology.vertexTriangles.size(), 3 * mesh.triangles.size());
}

TEST(JoinSurfaces, AbuttingBoxesBecomeOneSmoothBox) {
  const TriangleMesh left = boxMesh({-1, 0, 0}, {1, 1, 1});
  TriangleMesh right = boxMesh({0, 0, 0}, {1, 1, 1});
  // The shared face must be cut along the same diagonal: that of the left box's x = 0 face.
  right.triangles[8] = {0, 4, 6};
  right.triangles[9] = {0, 6, 2};
  const TriangleMesh* same[] = {&left, &right};
  const ContactSurface other = joinSurfaces(same);
  EXPECT_EQ(other.mesh.triangles.size(), 24u) << "cut along different diagonals nothing is buried";

  right = boxMesh({0, 0, 0}, {1, 1, 1});
  const ContactSurface joined = joinSurfaces(same);
  EXPECT_EQ(joined.mesh.vertices.size(), 12u);
  EXPECT_EQ(joined.mesh.triangles.size(), 20u);
  EXPECT_EQ(joined.topology.patchCount, 6u);
  EXPECT_EQ(countKinds(joined.topology)[EdgeKind::kJunction], 0);
  EXPECT_EQ(std::count(joined.part.begin(), joined.part.end(), 0), 10);
}

TEST(JoinSurfaces, PostOnAPlateMeetsItInAConcaveCorner) {
  // A plate of 3 x 1 squares with a box standing on the middle one.
  const TriangleMesh a = boxMesh({0, 0, 0}, {1, 1, 1}), b = boxMesh({1, 0, 0}, {1, 1, 1}),
                     c = boxMesh({2, 0, 0}, {1, 1, 1}), post = boxMesh({1, 0, 1}, {1, 1, 1});
  const TriangleMesh* parts[] = {&a, &b, &c, &post};
  const ContactSurface joined = joinSurfaces(parts);
  EXPECT_EQ(countKinds(joined.topology)[EdgeKind::kConcave], 2);
  EXPECT_EQ(countKinds(joined.topology)[EdgeKind::kJunction], 0);
}

TEST(JoinSurfaces, SeparateBodiesStaySeparate) {
  const TriangleMesh a = boxMesh({0, 0, 0}, {1, 1, 1}), b = boxMesh({5, 0, 0}, {1, 1, 1});
  const TriangleMesh* parts[] = {&a, &b};
  const ContactSurface joined = joinSurfaces(parts);
  EXPECT_EQ(joined.mesh.triangles.size(), 24u);
  EXPECT_EQ(joined.topology.patchCount, 12u);
}

}  // namespace holdground
