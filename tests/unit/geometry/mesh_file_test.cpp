#include "solver/geometry/mesh_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "solver/core/errors.hpp"
#include "solver/geometry/mass_properties.hpp"
#include "solver/geometry/mesh_checks.hpp"
#include "tests/support/mesh_texts.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {

namespace {

TriangleMesh plate() { return test::boxMesh({1, 2, 3}, {400, 200, 10}); }

void expectPlate(const TriangleMesh& mesh) {
  EXPECT_EQ(mesh.triangles.size(), 12u);
  const TriangleMesh welded = weldAndCheck(mesh, {"plate", 0.001, "mm"});
  EXPECT_EQ(welded.vertices.size(), 8u);
  // Small whole numbers survive single precision unchanged.
  EXPECT_NEAR(massProperties(welded).volume, 400.0 * 200.0 * 10.0, 1e-6);
  EXPECT_LT((massProperties(welded).centroid - Vec3(201, 102, 8)).norm(), 1e-9);
}

}  // namespace

TEST(MeshFile, ReadsEveryKind) {
  const TemporaryFolder folder;
  for (const auto& [name, bytes] : test::meshFiles(plate())) {
    SCOPED_TRACE(name);
    expectPlate(readMeshFile(writeText(folder / name, bytes)));
  }
}

TEST(MeshFile, ExtensionMayBeInCapitals) {
  const TemporaryFolder folder;
  expectPlate(readMeshFile(writeText(folder / "PLATE.STL", test::asciiStl(plate()))));
}

TEST(MeshFile, BinaryStlThatBeginsWithSolidIsReadAsBinary) {
  const TemporaryFolder folder;
  std::string bytes = test::binaryStl(plate());
  bytes.replace(0, 10, "solid part");
  expectPlate(readMeshFile(writeText(folder / "a.stl", bytes)));
}

TEST(MeshFile, BytesAfterABinaryStlAreIgnored) {
  const TemporaryFolder folder;
  expectPlate(readMeshFile(writeText(folder / "a.stl", test::binaryStl(plate()) + "made by me")));
}

TEST(MeshFile, PolygonsAreCutIntoTriangles) {
  const TemporaryFolder folder;
  const std::string points = "v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\n";
  EXPECT_EQ(readMeshFile(writeText(folder / "a.obj", points + "f 1 2 3 4\n")).triangles.size(), 2u);
  const std::string head =
      "ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\n"
      "property float y\nproperty float z\nelement face 1\n"
      "property list uchar int vertex_index\nend_header\n";
  const std::string body = "0 0 0\n1 0 0\n1 1 0\n0 1 0\n4 0 1 2 3\n";
  EXPECT_EQ(readMeshFile(writeText(folder / "a.ply", head + body)).triangles.size(), 2u);
}

TEST(MeshFile, PlySkipsWhatItDoesNotKnow) {
  const TemporaryFolder folder;
  const std::string text =
      "ply\nformat ascii 1.0\ncomment scanned\nobj_info x\nelement camera 1\nproperty float angle\n"
      "element vertex 3\nproperty uchar red\nproperty double z\nproperty double x\n"
      "property double y\nproperty list uchar float weights\nelement face 1\n"
      "property list uchar float texcoord\nproperty list uchar uint vertex_indices\nend_header\n"
      "7\n255 3 1 2 0\n255 3 2 2 2 0.5 0.5\n0 3 1 4 0\n6 0 0 1 0 0 1 3 0 1 2\n";
  const TriangleMesh mesh = readMeshFile(writeText(folder / "a.ply", text));
  ASSERT_EQ(mesh.vertices.size(), 3u);
  EXPECT_EQ(mesh.vertices[1], Vec3(2, 2, 3));
  ASSERT_EQ(mesh.triangles.size(), 1u);
  EXPECT_EQ(mesh.triangles[0], (std::array<std::uint32_t, 3>{0, 1, 2}));
}

TEST(MeshFile, WrittenStlReadsBackTriangleByTriangle) {
  const TemporaryFolder folder;
  const TriangleMesh mesh = test::icosphere(2, 0.2, {0.1, -0.3, 0.5});
  writeStl(mesh, 1000.0, "a sphere", folder / "a.stl");
  const TriangleMesh read = readMeshFile(folder / "a.stl");
  ASSERT_EQ(read.triangles.size(), mesh.triangles.size());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    for (int k = 0; k < 3; ++k) {
      // Half a unit in the last place of a float near 700 mm.
      EXPECT_LT((read.corner(t, k) - 1000.0 * mesh.corner(t, k)).cwiseAbs().maxCoeff(), 3.1e-5);
    }
  }
}

}  // namespace holdground
