// The anchor that comes with the program: its files say what its pattern draws.

#include <gtest/gtest.h>

#include "scenarios/run/build_anchor.hpp"
#include "scenarios/schema/anchor_file.hpp"
#include "solver/anchor/anchor_motion.hpp"
#include "solver/geometry/mesh_file.hpp"
#include "solver/geometry/surface_topology.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {

namespace {

const std::filesystem::path kAnchors =
    std::filesystem::path(HOLDGROUND_SOURCE_DIR) / "scenarios" / "anchors";

Anchor fromMeshes() { return buildAnchor(readAnchorFile(kAnchors / "scoop-20kg.toml")); }
Anchor fromPattern() { return buildAnchor(readAnchorFile(kAnchors / "scoop-20kg-pattern.toml")); }

}  // namespace

TEST(ShippedAnchor, MeshFilesAreWhatThePatternDraws) {
  const AnchorSpec spec = readAnchorFile(kAnchors / "scoop-20kg-pattern.toml");
  const TemporaryFolder folder;
  for (const AnchorPart& part : drawScoop(*spec.pattern).parts) {
    const std::string name = part.name + ".stl";
    writeStl(part.mesh, 1000.0, "invented scoop anchor, part " + part.name + ", unit mm",
             folder / name);
    EXPECT_TRUE(readText(folder / name) == readText(kAnchors / "scoop-20kg" / name))
        << name << " differs; the present one is drawn anew by " << folder / name;
  }
}

TEST(ShippedAnchor, MeshesAndPatternGiveOneAnchor) {
  const Anchor a = fromMeshes(), b = fromPattern();
  ASSERT_EQ(a.parts.size(), b.parts.size());
  // Single precision in millimetres: 3e-5 mm in 760 mm.
  EXPECT_NEAR(a.mass, b.mass, 1e-5 * b.mass);
  EXPECT_LT((a.centreOfMass - b.centreOfMass).norm(), 1e-7);
  EXPECT_LT((a.inertia - b.inertia).norm(), 1e-5 * b.inertia.norm());
  for (const auto& [p, q] :
       {std::pair{a.shackle, b.shackle}, std::pair{a.toe, b.toe}, std::pair{a.heel, b.heel}}) {
    EXPECT_LT((p - q).norm(), 1e-12);
  }
  for (std::size_t k = 0; k < a.parts.size(); ++k) {
    EXPECT_EQ(a.parts[k].name, b.parts[k].name);
    EXPECT_EQ(a.parts[k].role, b.parts[k].role);
    EXPECT_EQ(a.parts[k].surface.friction, b.parts[k].surface.friction);
  }
  EXPECT_EQ(a.settingPose.pitch, b.settingPose.pitch);
}

TEST(ShippedAnchor, PartsReadFromFilesStillJoinWithoutASeam) {
  const Anchor anchor = fromMeshes();
  std::vector<const TriangleMesh*> meshes;
  for (const AnchorPart& part : anchor.parts) meshes.push_back(&part.mesh);
  for (const SurfaceEdge& edge : joinSurfaces(meshes).topology.edges) {
    ASSERT_NE(edge.kind, EdgeKind::kJunction);
  }
}

TEST(ShippedAnchor, WeighsAboutTwentyKilogrammes) { EXPECT_NEAR(fromMeshes().mass, 20.0, 1.5); }

TEST(ShippedAnchor, SettingPoseLaysFlukeAndToeOnAFlat) {
  const Anchor anchor = fromMeshes();
  EXPECT_EQ(anchor.settingPose.list, 0.0);
  const RigidMotion laid = settingMotion(anchor, 0.0);
  double toeLowest = 1.0, flukeLowest = 1.0;
  for (const AnchorPart& part : anchor.parts) {
    if (part.role != PartRole::kFluke) continue;
    double& lowest = part.name == "toe" ? toeLowest : flukeLowest;
    for (const Vec3& v : part.mesh.vertices) {
      lowest = std::min(lowest, worldPoint(anchor, laid, v).z());
    }
  }
  // The pose is written to a tenth of a degree: 0.05 degrees over 0.3 m.
  EXPECT_NEAR(toeLowest, 0.0, 3e-4);
  EXPECT_NEAR(flukeLowest, 0.0, 3e-4);
}

}  // namespace holdground
