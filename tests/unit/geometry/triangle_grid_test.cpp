#include "solver/geometry/triangle_grid.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <set>

#include "solver/geometry/closest_point.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {

namespace {

void expectComplete(const TriangleMesh& mesh, double reach, double cellSize) {
  const TriangleGrid grid(mesh, reach, cellSize);
  std::mt19937_64 random(11);
  std::uniform_real_distribution<double> uniform(-0.2, 1.2);
  const Vec3 extent = grid.upper() - grid.lower();
  for (int trial = 0; trial < 2000; ++trial) {
    const Vec3 share(uniform(random), uniform(random), uniform(random));
    const Vec3 p = grid.lower() + extent.cwiseProduct(share);
    const auto candidates = grid.candidates(p);
    EXPECT_TRUE(std::is_sorted(candidates.begin(), candidates.end()));
    const std::set<std::uint32_t> found(candidates.begin(), candidates.end());
    EXPECT_EQ(found.size(), candidates.size()) << "a triangle listed twice";
    for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
      const Vec3 nearest =
          closestPointOnTriangle(p, mesh.corner(t, 0), mesh.corner(t, 1), mesh.corner(t, 2)).point;
      if ((nearest - p).norm() > reach) continue;
      ASSERT_TRUE(found.contains(t)) << "point " << p.transpose() << " triangle " << t;
    }
  }
}

}  // namespace

TEST(TriangleGrid, ListsEveryTriangleWithinReachAsBruteForce) {
  expectComplete(test::icosphere(2, 0.3, {0.1, 0.2, -0.3}), 0.05, 0.0);
  expectComplete(test::icosphere(1, 0.3), 0.2, 0.03);
  expectComplete(test::boxMesh({-0.3, -0.006, 0.0}, {0.6, 0.012, 0.4}), 0.03, 0.0);
}

TEST(TriangleGrid, CoarseCellsAreStillComplete) {
  expectComplete(test::icosphere(1, 0.3), 0.02, 0.5);
}

TEST(TriangleGrid, ListsFewOfTheTrianglesOfALargeMesh) {
  const TriangleMesh mesh = test::icosphere(4, 0.3);
  const TriangleGrid grid(mesh, 0.02);
  EXPECT_LT(grid.candidates({0.3, 0.0, 0.0}).size(), mesh.triangles.size() / 20);
  EXPECT_FALSE(grid.candidates({0.3, 0.0, 0.0}).empty());
}

TEST(TriangleGrid, IsEmptyOutsideItsBoxAndForNaN) {
  const TriangleGrid grid(test::icosphere(1, 0.3), 0.02);
  EXPECT_TRUE(grid.candidates({0.5, 0.0, 0.0}).empty());
  EXPECT_TRUE(grid.candidates({0.0, -0.5, 0.0}).empty());
  EXPECT_TRUE(grid.candidates(Vec3::Constant(std::nan(""))).empty());
  EXPECT_TRUE(TriangleGrid().candidates({0.0, 0.0, 0.0}).empty());
}

}  // namespace holdground
