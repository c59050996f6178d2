#include "solver/geometry/mesh_checks.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>

#include "solver/core/errors.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {

using test::boxMesh;
using test::insideOut;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

namespace {

const MeshOrigin kMillimetres{"part.stl", 0.001, "mm"};

TriangleMesh plate() { return boxMesh({0, 0, 0}, {400, 200, 10}); }

/// The message, or an empty text when the mesh is accepted.
std::string faultOf(const TriangleMesh& mesh, const MeshOrigin& origin = kMillimetres) {
  try {
    weldAndCheck(mesh, origin);
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

auto oneLineWith(const std::string& text) {
  return AllOf(HasSubstr("part.stl: "), HasSubstr(text), Not(HasSubstr("\n")));
}

TriangleMesh together(TriangleMesh a, const TriangleMesh& b) {
  const auto first = static_cast<std::uint32_t>(a.vertices.size());
  a.vertices.insert(a.vertices.end(), b.vertices.begin(), b.vertices.end());
  for (const auto& t : b.triangles) {
    a.triangles.push_back({t[0] + first, t[1] + first, t[2] + first});
  }
  return a;
}

}  // namespace

TEST(MeshChecks, AcceptsClosedSolids) {
  EXPECT_EQ(faultOf(plate()), "");
  EXPECT_EQ(faultOf(test::unwelded(plate())), "");
  EXPECT_EQ(faultOf(test::icosphere(2, 100.0)), "");
  EXPECT_EQ(faultOf(together(plate(), boxMesh({0, 500, 0}, {100, 100, 100}))), "");
}

TEST(MeshChecks, AcceptsCornersThatDifferByTheRoundingOfTheFile) {
  TriangleMesh mesh = test::unwelded(plate());
  for (std::size_t v = 0; v < mesh.vertices.size(); ++v) mesh.vertices[v].x() += 2e-5 * (v % 3);
  EXPECT_EQ(faultOf(mesh), "");
}

TEST(MeshChecks, RefusesASurfaceThatPassesThroughItself) {
  EXPECT_THAT(faultOf(together(plate(), boxMesh({350, 50, 2}, {100, 100, 4}))),
              oneLineWith("passes through itself: triangles "));
}

TEST(MeshChecks, AcceptsACavity) {
  EXPECT_EQ(faultOf(together(plate(), insideOut(boxMesh({10, 10, 2}, {100, 100, 5})))), "");
}

TEST(MeshChecks, RefusesASolidInASolidAndACopyOnItself) {
  const TriangleMesh inner = boxMesh({10, 10, 2}, {100, 100, 5});
  EXPECT_THAT(
      faultOf(together(plate(), inner)),
      oneLineWith("encloses volume twice: the shell with triangle 1 of 24 at (0, 0, 0) mm"));
  EXPECT_THAT(faultOf(together(plate(), boxMesh({200, 100, 5}, {1, 1, 1}))),
              oneLineWith("encloses volume twice: the shell with triangle 13 of 24"));
  for (const Vec3& shift : {Vec3(1e-3, 0, 0), Vec3(-1e-3, 2e-3, 1e-3)}) {
    TriangleMesh copy = plate();
    for (Vec3& v : copy.vertices) v += shift;
    EXPECT_THAT(faultOf(together(plate(), copy)), oneLineWith("encloses volume twice"));
  }
  // A cavity in a cavity would weigh less than nothing; an island in one is a solid.
  const TriangleMesh cavity = insideOut(inner);
  EXPECT_THAT(
      faultOf(together(together(plate(), cavity), insideOut(boxMesh({20, 20, 3}, {9, 9, 2})))),
      oneLineWith("encloses volume twice"));
  EXPECT_EQ(faultOf(together(together(plate(), cavity), boxMesh({20, 20, 3}, {9, 9, 2}))), "");
}

TEST(MeshChecks, AcceptsShellsThatOnlyTouch) {
  EXPECT_EQ(faultOf(together(plate(), boxMesh({50, 50, 10}, {100, 100, 10}))), "");
}

TEST(MeshChecks, WeldingJoinsTheCornersOfAnStl) {
  const TriangleMesh welded = weldVertices(test::unwelded(plate()), 0.0);
  EXPECT_EQ(welded.vertices.size(), 8u);
  EXPECT_EQ(welded.triangles.size(), 12u);
}

TEST(MeshChecks, WeldingJoinsWithinToleranceOnly) {
  TriangleMesh mesh = test::unwelded(plate());
  for (std::size_t v = 0; v < mesh.vertices.size(); ++v) mesh.vertices[v].x() += 1e-6 * (v % 3);
  EXPECT_EQ(weldVertices(mesh, 1e-5).vertices.size(), 8u);
  EXPECT_GT(weldVertices(mesh, 1e-8).vertices.size(), 8u);
}

TEST(MeshChecks, OpenSaysWhichEdgeAndHowMany) {
  TriangleMesh mesh = plate();
  mesh.triangles.erase(mesh.triangles.begin() + 2);
  const std::string fault = faultOf(mesh);
  EXPECT_THAT(fault, oneLineWith("open"));
  EXPECT_THAT(fault, HasSubstr("3 in all"));
  EXPECT_THAT(fault, HasSubstr("(400, 0, 10) mm"));
}

TEST(MeshChecks, InsideOutAsAWhole) {
  EXPECT_THAT(faultOf(insideOut(plate())), oneLineWith("is inside out (its triangles wind"));
}

TEST(MeshChecks, SeparateShellInsideOut) {
  const TriangleMesh mesh = together(plate(), insideOut(boxMesh({0, 500, 0}, {10, 10, 10})));
  EXPECT_THAT(faultOf(mesh), oneLineWith("separate shell that is inside out, with triangle 13"));
}

TEST(MeshChecks, WindingAgainstItsNeighbour) {
  TriangleMesh mesh = plate();
  std::swap(mesh.triangles[4][0], mesh.triangles[4][1]);
  EXPECT_THAT(faultOf(mesh), oneLineWith("wound against each other"));
}

TEST(MeshChecks, EdgeOfMoreThanTwoTriangles) {
  // Two boxes that share an edge only.
  const TriangleMesh mesh =
      together(boxMesh({0, 0, 0}, {100, 100, 100}), boxMesh({100, 100, 0}, {100, 100, 100}));
  EXPECT_THAT(faultOf(mesh), oneLineWith("shared by 4 triangles"));
}

TEST(MeshChecks, TriangleGivenTwice) {
  TriangleMesh mesh = plate();
  mesh.triangles.push_back(mesh.triangles[0]);
  EXPECT_THAT(faultOf(mesh), oneLineWith("is shared by 3 triangles"));
}

TEST(MeshChecks, DegenerateTriangleSaysWhich) {
  TriangleMesh mesh = plate();
  mesh.triangles.push_back({0, 1, 1});
  EXPECT_THAT(faultOf(mesh), oneLineWith("triangle 13 of 13 is degenerate"));
  mesh = plate();
  mesh.vertices.push_back({200, 0, 0});
  mesh.triangles.push_back({0, 8, 1});
  EXPECT_THAT(faultOf(mesh), oneLineWith("triangle 13 of 13 is degenerate"));
}

TEST(MeshChecks, NotANumberAndInfinity) {
  for (const double wrong :
       {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
    TriangleMesh mesh = plate();
    mesh.vertices[3].y() = wrong;
    EXPECT_THAT(faultOf(mesh), oneLineWith("triangle 2 of 12 has a coordinate that is no finite"));
  }
}

TEST(MeshChecks, EmptyAndFlat) {
  EXPECT_THAT(faultOf({}), oneLineWith("no triangles"));
  TriangleMesh sheet{{{0, 0, 0}, {100, 0, 0}, {0, 100, 0}}, {{0, 1, 2}, {0, 2, 1}}};
  EXPECT_THAT(faultOf(sheet), oneLineWith("no volume"));
}

TEST(MeshChecks, WrongUnitIsHintedAt) {
  const std::string fault = faultOf(plate(), {"part.stl", 1.0, "m"});
  EXPECT_THAT(fault, oneLineWith("400 m long"));
  EXPECT_THAT(fault, HasSubstr("0.4 m in mm"));
  const TriangleMesh inMetres = boxMesh({0, 0, 0}, {0.4, 0.2, 0.01});
  EXPECT_THAT(faultOf(inMetres), AllOf(oneLineWith("wrong unit?"), HasSubstr("0.4 m in m")));
}

TEST(MeshChecks, EndlessNumbersEnd) {
  // Far from the origin, or of a size beyond squares, welding must still come to an end.
  EXPECT_NO_THROW(faultOf(boxMesh({1e18, 0, 0}, {400, 200, 10})));
  EXPECT_NE(faultOf(boxMesh({0, 0, 0}, {1e200, 1e200, 1e200})), "");
  EXPECT_NE(faultOf(boxMesh({-1e308, 0, 0}, {1.7e308, 1.0, 1.0})), "");
}

}  // namespace holdground
