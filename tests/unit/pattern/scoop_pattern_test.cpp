#include "scenarios/pattern/scoop_pattern.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "scenarios/pattern/fluke_surface.hpp"
#include "scenarios/pattern/scoop_limits.hpp"
#include "solver/geometry/mass_properties.hpp"
#include "solver/geometry/surface_topology.hpp"

namespace holdground {

namespace {

ContactSurface joined(const PatternAnchor& anchor) {
  std::vector<const TriangleMesh*> meshes;
  for (const AnchorPart& part : anchor.parts) meshes.push_back(&part.mesh);
  return joinSurfaces(meshes);
}

double totalVolume(const PatternAnchor& anchor) {
  double volume = 0.0;
  for (const AnchorPart& part : anchor.parts) volume += massProperties(part.mesh).volume;
  return volume;
}

double aspectOf(const TriangleMesh& mesh, std::size_t t) {
  const Vec3 a = mesh.corner(t, 0), b = mesh.corner(t, 1), c = mesh.corner(t, 2);
  const double longest = std::max({(b - a).norm(), (c - b).norm(), (a - c).norm()});
  return (b - a).cross(c - a).norm() / (longest * longest);
}

/// Some quite different scoops that are all allowed.
std::vector<ScoopPattern> variants() {
  std::vector<ScoopPattern> all(8);
  all[1].edgeBend = -all[1].edgeBend;
  all[2].dish = 0.0;
  all[3].dish = -0.02;
  all[3].edgeBend = 0.0;
  all[4].meshSize = 0.012;
  all[4].bendLine = 0.02;
  all[5].shankThickness = 0.020;
  all[5].shankRise = 110.0 * kPi / 180.0;
  all[5].toeFullness = 1.0;
  all[6].flukeLength = 0.30;
  all[6].toeLength = 0.08;
  all[6].toeThickness = 0.03;
  all[6].shankNose = -0.3;
  all[7].rollBarDiameter = 0.03;
  return all;
}

}  // namespace

TEST(ScoopPattern, PartsAreClosedAndFaceOutward) {
  for (const ScoopPattern& pattern : variants()) {
    for (const AnchorPart& part : drawScoop(pattern).parts) {
      for (const SurfaceEdge& edge : buildTopology(part.mesh).edges) {
        ASSERT_NE(edge.kind, EdgeKind::kJunction) << part.name;
      }
      EXPECT_GT(massProperties(part.mesh).volume, 0.0) << part.name;
    }
  }
}

TEST(ScoopPattern, PartsJoinWithoutSeamOrBuriedFace) {
  for (const ScoopPattern& pattern : variants()) {
    const PatternAnchor anchor = drawScoop(pattern);
    const ContactSurface surface = joined(anchor);
    std::size_t separate = 0;
    for (const AnchorPart& part : anchor.parts) separate += part.mesh.triangles.size();
    EXPECT_LT(surface.mesh.triangles.size(), separate);
    for (const SurfaceEdge& edge : surface.topology.edges) {
      ASSERT_NE(edge.kind, EdgeKind::kJunction);
    }
    // Every part's steel counts once: the joined surface encloses what the parts enclose.
    EXPECT_NEAR(massProperties(surface.mesh).volume, totalVolume(anchor), 1e-15);
  }
}

TEST(ScoopPattern, DefaultDimensionsWeighTwentyKilogrammes) {
  const ScoopPattern pattern;
  EXPECT_NEAR(totalVolume(drawScoop(pattern)) * pattern.density, 20.0, 0.2);
  EXPECT_NEAR(flukeAngle(pattern) * 180.0 / kPi, 22.2, 0.1);
}

TEST(ScoopPattern, TrianglesAreFewAndNoSlivers) {
  const ContactSurface surface = joined(drawScoop({}));
  EXPECT_LT(surface.mesh.triangles.size(), 2100u);
  EXPECT_GT(surface.mesh.triangles.size(), 500u);
  for (std::size_t t = 0; t < surface.mesh.triangles.size(); ++t) {
    EXPECT_GT(aspectOf(surface.mesh, t), 0.05) << "height over longest edge, triangle " << t;
  }
}

TEST(ScoopPattern, PlateIsAsThickAsDrawn) {
  // Volume of a plate of constant thickness t between parallel faces: t times the mean of the areas
  // of its two faces, to second order in t over the radius of the dish.
  const ScoopPattern pattern;
  const PatternAnchor anchor = drawScoop(pattern);
  const AnchorPart& fluke = anchor.parts.front();
  double faces = 0.0;
  for (std::size_t t = 0; t < fluke.mesh.triangles.size(); ++t) {
    const Vec3 a = fluke.mesh.corner(t, 0);
    const Vec3 twice = (fluke.mesh.corner(t, 1) - a).cross(fluke.mesh.corner(t, 2) - a);
    if (std::abs(twice.normalized().z()) > 0.8) faces += 0.5 * twice.norm();
  }
  EXPECT_NEAR(massProperties(fluke.mesh).volume, pattern.flukeThickness * faces / 2.0,
              0.01 * pattern.flukeThickness * faces / 2.0);
}

TEST(ScoopPattern, EdgesBentDownLieBelowTheMiddleOfTheFace) {
  ScoopPattern pattern;
  pattern.dish = 0.0;
  const FlukeSurface down(pattern);
  const double s = pattern.widestAt, w = down.halfWidth(s);
  EXPECT_DOUBLE_EQ(w, 0.5 * pattern.flukeWidth);
  EXPECT_NEAR(down.upper(s, w).z(), -(w - down.bendLine(s)) * std::tan(pattern.edgeBend), 1e-15);
  EXPECT_EQ(down.upper(s, 0.0).z(), 0.0);
}

TEST(ScoopPattern, NamedPointsLieOnTheSteel) {
  const ScoopPattern pattern;
  const PatternAnchor anchor = drawScoop(pattern);
  EXPECT_EQ(anchor.heel, Vec3(0, 0, 0));
  EXPECT_EQ(anchor.toe, Vec3(pattern.flukeLength, 0, 0));
  EXPECT_EQ(anchor.shackle, Vec3(pattern.shankReach, 0, pattern.shankHeight));
  double foremost = -1.0;
  for (int p = 0; p < 2; ++p) {
    for (const Vec3& v : anchor.parts[p].mesh.vertices) foremost = std::max(foremost, v.x());
  }
  // The blunt point leans with the dish by less than its own thickness.
  EXPECT_NEAR(foremost, pattern.flukeLength, pattern.tipThickness);
}

TEST(ScoopPattern, IsMirrorSymmetric) {
  const PatternAnchor anchor = drawScoop({});
  for (const AnchorPart& part : anchor.parts) {
    const MassProperties p = massProperties(part.mesh);
    EXPECT_NEAR(p.centroid.y(), 0.0, 1e-15) << part.name;
    EXPECT_NEAR(p.inertia(0, 1), 0.0, 1e-17) << part.name;
    EXPECT_NEAR(p.inertia(1, 2), 0.0, 1e-17) << part.name;
  }
}

TEST(ScoopPattern, EveryDimensionIsListedAndChangesTheDrawing) {
  // A field of ScoopPattern is one double: as many limits as doubles.
  EXPECT_EQ(scoopLimits().size(), sizeof(ScoopPattern) / sizeof(double));
  ScoopPattern whole;
  whole.rollBarDiameter = 0.03;
  const auto weighed = [](const PatternAnchor& anchor) {
    double mass = 0.0, moment = 0.0;
    for (const AnchorPart& part : anchor.parts) {
      const MassProperties p = massProperties(part.mesh);
      mass += part.density * p.volume;
      moment += part.density * p.volume * p.centroid.x();
    }
    return std::pair(mass, moment);
  };
  const auto before = weighed(drawScoop(whole));
  for (const ScoopLimit& limit : scoopLimits()) {
    ScoopPattern pattern = whole;
    pattern.*limit.field *= 0.99;
    const auto after = weighed(drawScoop(pattern));
    if (limit.key == "mesh_size") continue;
    EXPECT_NE(after, before) << limit.key;
  }
}

}  // namespace holdground
