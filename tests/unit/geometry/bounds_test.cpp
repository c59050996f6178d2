#include "solver/geometry/bounds.hpp"

#include <gtest/gtest.h>

#include "tests/support/test_meshes.hpp"

namespace holdground {

TEST(Bounds, HoldWhatIsAddedAndNoMore) {
  Bounds bounds;
  EXPECT_TRUE(bounds.isEmpty());
  bounds.add(Vec3(1.0, -2.0, 3.0));
  EXPECT_FALSE(bounds.isEmpty());
  EXPECT_EQ(bounds.diagonal(), 0.0);
  bounds.add(Vec3(-1.0, 0.0, 4.0));
  EXPECT_EQ(bounds.lower, Vec3(-1.0, -2.0, 3.0));
  EXPECT_EQ(bounds.upper, Vec3(1.0, 0.0, 4.0));
  EXPECT_EQ(bounds.diagonal(), 3.0);
}

TEST(Bounds, MeetWhereTheyTouchAndContainOnlyWhereTheyDoNot) {
  const Bounds cube{Vec3::Zero(), Vec3::Ones()};
  const Bounds beside{Vec3(1.0, 0.0, 0.0), Vec3(2.0, 1.0, 1.0)};
  const Bounds apart{Vec3(1.1, 0.0, 0.0), Vec3(2.0, 1.0, 1.0)};
  const Bounds within{Vec3::Constant(0.1), Vec3::Constant(0.9)};
  EXPECT_TRUE(cube.meets(beside) && beside.meets(cube));
  EXPECT_FALSE(cube.meets(apart) || apart.meets(cube));
  EXPECT_TRUE(cube.contains(within));
  EXPECT_FALSE(within.contains(cube));
  EXPECT_FALSE(cube.contains({Vec3::Zero(), Vec3::Constant(0.5)}));
}

TEST(Bounds, LieApartByTheShortestWayBetweenThem) {
  const Bounds cube{Vec3::Zero(), Vec3::Ones()};
  EXPECT_EQ(cube.gapTo({Vec3(1.0, 0.2, 0.2), Vec3(2.0, 0.4, 0.4)}), 0.0);
  const Bounds corner{Vec3(4.0, -5.0, 0.5), Vec3(5.0, -4.0, 0.6)};
  EXPECT_EQ(cube.gapTo(corner), 5.0);
  EXPECT_EQ(corner.gapTo(cube), 5.0);
  EXPECT_EQ(cube.middle(), Vec3::Constant(0.5));
}

TEST(Bounds, OfAMeshAreThoseOfItsTriangles) {
  const TriangleMesh mesh = test::boxMesh(Vec3(1.0, 2.0, 3.0), Vec3(0.5, 0.25, 0.125));
  Bounds all;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    all.add(boundsOf(mesh, t));
  }
  EXPECT_EQ(boundsOf(mesh).lower, Vec3(1.0, 2.0, 3.0));
  EXPECT_EQ(boundsOf(mesh).upper, Vec3(1.5, 2.25, 3.125));
  EXPECT_EQ(all.lower, boundsOf(mesh).lower);
  EXPECT_EQ(all.upper, boundsOf(mesh).upper);
}

}  // namespace holdground
