#include "solver/geometry/surface_crossing.hpp"

#include <gtest/gtest.h>

#include <chrono>

#include "solver/geometry/mass_properties.hpp"
#include "solver/geometry/mesh_checks.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {

using test::boxMesh;
using test::icosphere;

namespace {

TriangleMesh together(TriangleMesh a, const TriangleMesh& b) {
  const auto first = static_cast<std::uint32_t>(a.vertices.size());
  a.vertices.insert(a.vertices.end(), b.vertices.begin(), b.vertices.end());
  for (const auto& t : b.triangles)
    a.triangles.push_back({t[0] + first, t[1] + first, t[2] + first});
  return a;
}

}  // namespace

TEST(FindCrossing, FindsNoneInSolidsThatOnlyTouch) {
  EXPECT_FALSE(findCrossing(boxMesh(Vec3::Zero(), Vec3::Ones())));
  EXPECT_FALSE(findCrossing(icosphere(3, 1.0)));
  const TriangleMesh box = boxMesh(Vec3::Zero(), Vec3::Ones());
  EXPECT_FALSE(findCrossing(together(box, boxMesh(Vec3(1, 0.3, 0.3), Vec3::Ones()))));
  EXPECT_FALSE(findCrossing(together(box, boxMesh(Vec3(0.2, 0.2, 0.2), 0.5 * Vec3::Ones()))));
}

TEST(FindCrossing, SaysWhichTrianglesAndWhere) {
  const TriangleMesh box = boxMesh(Vec3::Zero(), Vec3::Ones());
  const auto crossing =
      findCrossing(together(box, boxMesh(Vec3(0.9, 0.3, 0.3), Vec3::Ones() * 0.5)));
  ASSERT_TRUE(crossing.has_value());
  EXPECT_LT(crossing->first, 12u);
  EXPECT_GE(crossing->second, 12u);
  EXPECT_NEAR(crossing->point.x(), 1.0, 1e-12);
}

TEST(FindCrossing, FindsASurfaceThatPassesThroughItselfNearACorner) {
  // One corner of a box pulled out through the far side: triangles that share a corner cross.
  TriangleMesh box = weldVertices(boxMesh(Vec3::Zero(), Vec3::Ones()), 1e-9);
  for (Vec3& v : box.vertices)
    if (v == Vec3::Ones()) v = Vec3(0.2, 0.3, -0.5);
  EXPECT_TRUE(findCrossing(box).has_value());
}

TEST(FindCrossing, IsFastForTwentyThousandTriangles) {
  const TriangleMesh ball = icosphere(5, 1.0);
  ASSERT_EQ(ball.triangles.size(), 20480u);
  const auto began = std::chrono::steady_clock::now();
  EXPECT_FALSE(findCrossing(ball));
  EXPECT_LT(std::chrono::steady_clock::now() - began,
            std::chrono::seconds(10));  // about 0.2 s idle
}

TEST(SharedVolume, IsThatOfBoxesAndALens) {
  const TriangleMesh box = boxMesh(Vec3::Zero(), Vec3::Ones());
  // A ray stands for its cell: off by a cell at each side, at most.
  EXPECT_NEAR(sharedVolume(box, boxMesh(Vec3(0.9, 0.8, 0.7), Vec3::Ones())), 0.1 * 0.2 * 0.3,
              0.01 * 0.006);
  EXPECT_EQ(sharedVolume(box, boxMesh(Vec3(1.0, 0.0, 0.0), Vec3::Ones())), 0.0);
  EXPECT_EQ(sharedVolume(box, boxMesh(Vec3(3.0, 0.0, 0.0), Vec3::Ones())), 0.0);
  const TriangleMesh ball = icosphere(4, 1.0), other = icosphere(4, 1.0, Vec3(1.2, 0, 0));
  const double height = 0.4;  // of each of two caps
  EXPECT_NEAR(sharedVolume(ball, other), 2.0 * kPi * height * height * (1.0 - height / 3.0), 0.01);
  EXPECT_NEAR(sharedVolume(ball, ball), massProperties(ball).volume, 0.01);
}

}  // namespace holdground
