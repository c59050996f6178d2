#include "scenarios/run/probe_shapes.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/core/errors.hpp"
#include "solver/geometry/bounds.hpp"
#include "solver/geometry/mass_properties.hpp"
#include "solver/geometry/mesh_checks.hpp"
#include "solver/geometry/mesh_file.hpp"
#include "tests/support/contact_meshes.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

ProbeBodySpec bodyOf(ProbeShape shape) {
  ProbeBodySpec body;
  body.shape = shape;
  body.length = 0.5;
  body.width = 0.3;
  body.height = 0.4;
  body.thickness = 0.02;
  body.diameter = 0.2;
  return body;
}

/// Area of the inscribed polygon of 48 sides over that of the circle.
const double kPolygon = 24.0 / kPi * std::sin(kPi / 24.0);

}  // namespace

// A closed solid whose outside is outside, of the volume and extent of the shape asked for.
TEST(ProbeShapes, AreClosedSolidsOfTheRightVolumeAndExtent) {
  using enum ProbeShape;
  struct Expected {
    ProbeShape shape;
    double volume, tolerance;
    Vec3 size, middle;
  };
  const double circle = kPi * 0.01 * kPolygon;
  const Vec3 none = Vec3::Zero();
  const Expected table[] = {
      {kPlate, 0.5 * 0.3 * 0.02, 1e-12, Vec3(0.5, 0.3, 0.02), none},
      {kBar, circle * 0.5, 1e-12, Vec3(0.2, 0.5, 0.2), none},
      // Rings of 24 sides on top of the polygon of 48: 0.3 + 0.3 % short, second order.
      {kSphere, kPi * 0.008 / 6.0, 0.012, Vec3(0.2, 0.2, 0.2), none},
      {kCone, circle * 0.4 / 3.0, 1e-12, Vec3(0.2, 0.2, 0.4), Vec3(0.0, 0.0, 0.2)},
      {kVane, (2.0 * 0.2 * 0.02 - 0.02 * 0.02) * 0.4, 1e-12, Vec3(0.2, 0.2, 0.4), none},
      {kBox, 0.54 * 0.34 * 0.42 - 0.5 * 0.3 * 0.4, 1e-12, Vec3(0.54, 0.34, 0.42), none},
      {kTube, kPi * (0.12 * 0.12 - 0.01) * kPolygon * 0.4, 1e-12, Vec3(0.24, 0.24, 0.4), none}};
  for (const Expected& e : table) {
    const TriangleMesh mesh = probeMesh(bodyOf(e.shape));
    EXPECT_NO_THROW(checkMesh(mesh, {"drawn", 1.0, "m"})) << static_cast<int>(e.shape);
    EXPECT_NEAR(massProperties(mesh).volume, e.volume, e.tolerance * e.volume)
        << static_cast<int>(e.shape);
    const Bounds box = boundsOf(mesh);
    EXPECT_LT((box.size() - e.size).norm(), 1e-12) << static_cast<int>(e.shape);
    EXPECT_LT((box.middle() - e.middle).norm(), 1e-12) << static_cast<int>(e.shape);
  }
}

TEST(ProbeShapes, MeshOfAFileIsInMetresAndStandsWhereItWasPut) {
  const TemporaryFolder folder;
  writeStl(test::box(Vec3(0.1, 0.2, 0.3)), 1000.0, "box", folder / "box.stl");
  ProbeBodySpec body;
  body.mesh = folder / "box.stl";
  body.meshUnit = 0.001;
  body.position = Vec3(1.0, 2.0, 3.0);
  body.rotation = Eigen::AngleAxisd(0.5 * kPi, Vec3::UnitZ()).toRotationMatrix();
  const Bounds box = boundsOf(probeMeshAtStart(body, probeMesh(body)));
  EXPECT_LT((box.size() - Vec3(0.2, 0.1, 0.3)).norm(), 1e-7);  // single precision
  EXPECT_LT((box.middle() - body.position).norm(), 1e-7);
}

TEST(ProbeShapes, AnOpenMeshIsRefused) {
  const TemporaryFolder folder;
  writeStl(test::sheet(0.1, 0.2, 1, 1), 1000.0, "sheet", folder / "sheet.stl");
  ProbeBodySpec body;
  body.mesh = folder / "sheet.stl";
  body.meshUnit = 0.001;
  EXPECT_THROW(probeMesh(body), InputError);
}

}  // namespace holdground
