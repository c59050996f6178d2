#include "solver/geometry/ply_reader.hpp"

#include <gtest/gtest.h>

#include <string>

#include "solver/core/errors.hpp"

namespace holdground {

namespace {

const std::string kSquare =
    "ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\n"
    "property float z\nelement face 1\nproperty list uchar int vertex_indices\nend_header\n"
    "0 0 0\n1 0 0\n1 1 0\n0 1 0\n4 0 1 2 3\n";

}  // namespace

TEST(PlyReader, CutsAPolygonIntoTriangles) {
  const TriangleMesh mesh = parsePly(kSquare, "square.ply");
  ASSERT_EQ(mesh.vertices.size(), 4u);
  ASSERT_EQ(mesh.triangles.size(), 2u);
  EXPECT_EQ(mesh.vertices[2], Vec3(1.0, 1.0, 0.0));
}

TEST(PlyReader, RefusesAFileThatIsCutShort) {
  EXPECT_THROW(parsePly(kSquare.substr(0, kSquare.size() - 6), "short.ply"), InputError);
  EXPECT_THROW(parsePly("ply\n", "short.ply"), InputError);
}

}  // namespace holdground
