#include "scenarios/pattern/plate_loft.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "solver/geometry/mass_properties.hpp"
#include "solver/geometry/surface_topology.hpp"

namespace holdground {

namespace {

/// A 3 x 4 block of unit squares, one unit thick, starting at row `first`.
TriangleMesh block(int first, Diagonals diagonals) {
  PointGrid upper(4, 5), lower(4, 5);
  for (int r = 0; r < 4; ++r) {
    for (int c = 0; c < 5; ++c) {
      upper.at(r, c) = Vec3(first + r, c, 1.0);
      lower.at(r, c) = Vec3(first + r, c, 0.0);
    }
  }
  return loftPlate(upper, lower, diagonals);
}

}  // namespace

TEST(PlateLoft, ClosesTheBlockAndFacesOutward) {
  for (const Diagonals diagonals : {Diagonals::kAlike, Diagonals::kMirrored}) {
    const TriangleMesh mesh = block(0, diagonals);
    EXPECT_NEAR(massProperties(mesh).volume, 12.0, 1e-12);
    EXPECT_NEAR(massProperties(mesh).area, 2.0 * (12.0 + 3.0 + 4.0), 1e-12);
    const SurfaceTopology topology = buildTopology(mesh);
    EXPECT_EQ(topology.patchCount, 6u);
    for (const SurfaceEdge& edge : topology.edges) EXPECT_NE(edge.kind, EdgeKind::kJunction);
  }
}

TEST(PlateLoft, PlatesThatShareARowJoinWithoutASeam) {
  const TriangleMesh first = block(0, Diagonals::kMirrored),
                     second = block(3, Diagonals::kMirrored);
  const TriangleMesh* both[] = {&first, &second};
  const ContactSurface joined = joinSurfaces(both);
  EXPECT_EQ(joined.topology.patchCount, 6u);
  EXPECT_EQ(joined.mesh.triangles.size(), first.triangles.size() + second.triangles.size() - 16);
}

TEST(PlateLoft, MirroredDiagonalsMirror) {
  const TriangleMesh mesh = block(0, Diagonals::kMirrored);
  // Reflect every triangle in the plane y = 2 and look for it again.
  const auto key = [](std::array<Vec3, 3> corners) {
    std::sort(corners.begin(), corners.end(), [](const Vec3& a, const Vec3& b) {
      return std::lexicographical_compare(a.data(), a.data() + 3, b.data(), b.data() + 3);
    });
    return corners;
  };
  std::vector<std::array<Vec3, 3>> all;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    all.push_back(key({mesh.corner(t, 0), mesh.corner(t, 1), mesh.corner(t, 2)}));
  }
  for (const auto& corners : all) {
    std::array<Vec3, 3> reflected = corners;
    for (Vec3& v : reflected) v.y() = 4.0 - v.y();
    EXPECT_NE(std::find(all.begin(), all.end(), key(reflected)), all.end());
  }
}

}  // namespace holdground
