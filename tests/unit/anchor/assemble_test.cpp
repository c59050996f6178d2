#include "solver/anchor/assemble.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "solver/anchor/attitude.hpp"
#include "solver/anchor/extents.hpp"
#include "solver/core/errors.hpp"
#include "solver/geometry/mass_properties.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {

using test::boxMesh;
using testing::HasSubstr;

namespace {

/// A steel block and a lead block side by side, and the points of an anchor.
Anchor twoBlocks() {
  Anchor anchor;
  anchor.parts = {
      {"steel", PartRole::kFluke, boxMesh({0, -0.1, 0}, {0.2, 0.2, 0.02}), 7850.0, {}},
      {"lead", PartRole::kBallast, boxMesh({0.2, -0.1, 0}, {0.1, 0.2, 0.02}), 11340.0, {}}};
  anchor.toe = {0.3, 0, 0};
  anchor.heel = {0, 0, 0};
  anchor.shackle = {0.5, 0, 0.4};
  return anchor;
}

bool isPositiveDefinite(const Mat3& m) {
  const Vec3 values = Eigen::SelfAdjointEigenSolver<Mat3>(m).eigenvalues();
  // A rigid body also obeys the triangle inequality of its principal moments.
  return values[0] > 0.0 && values[0] + values[1] >= values[2];
}

std::string refusal(const BenchReadings& bench) {
  Anchor anchor = twoBlocks();
  try {
    assemble(anchor, bench);
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

constexpr double kSteel = 7850.0 * 0.2 * 0.2 * 0.02, kLead = 11340.0 * 0.1 * 0.2 * 0.02;

}  // namespace

TEST(Assemble, SumsPartsAsOneBody) {
  Anchor anchor = twoBlocks();
  assemble(anchor);
  EXPECT_NEAR(anchor.mass, kSteel + kLead, 1e-12);
  EXPECT_NEAR(anchor.volume, 0.3 * 0.2 * 0.02, 1e-15);
  const double x = (kSteel * 0.1 + kLead * 0.25) / (kSteel + kLead);
  EXPECT_LT((anchor.centreOfMass - Vec3(x, 0, 0.01)).norm(), 1e-14);
  EXPECT_LT((anchor.centreOfVolume - Vec3(0.15, 0, 0.01)).norm(), 1e-14);
  EXPECT_DOUBLE_EQ(anchor.length, 0.3);
  EXPECT_DOUBLE_EQ(anchor.flukeWidth, 0.2);
  // Izz of two boxes, each about the common centre.
  const double izz = kSteel * ((0.04 + 0.04) / 12.0 + (x - 0.1) * (x - 0.1)) +
                     kLead * ((0.01 + 0.04) / 12.0 + (x - 0.25) * (x - 0.25));
  EXPECT_NEAR(anchor.inertia(2, 2), izz, 1e-14);
}

TEST(Assemble, LengthAndWidthDoNotDependOnHowTheFrameLies) {
  // Turned as a drawing may lie: pitched by 30 degrees, then moved.
  const Eigen::AngleAxisd pitched(kPi / 6.0, Vec3::UnitY());
  const auto turn = [&pitched](Vec3& v) { v = pitched * v + Vec3(0.4, 0.0, -1.0); };
  Anchor level = twoBlocks(), turned = twoBlocks();
  for (AnchorPart& part : turned.parts)
    for (Vec3& v : part.mesh.vertices) turn(v);
  for (Vec3* point : {&turned.toe, &turned.heel, &turned.shackle}) turn(*point);
  assemble(level);
  assemble(turned);
  EXPECT_NEAR(level.length, 0.3, 1e-15);
  EXPECT_NEAR(turned.length, level.length, 1e-14);
  EXPECT_NEAR(turned.flukeWidth, level.flukeWidth, 1e-14);
  EXPECT_LT((extents(turned) - Vec3(0.3, 0.2, 0.02)).norm(), 1e-14);
  EXPECT_LT((extents(turned, PartRole::kFluke) - Vec3(0.2, 0.2, 0.02)).norm(), 1e-14);
  EXPECT_EQ(extents(turned, PartRole::kStock), Vec3(Vec3::Zero()));
}

TEST(Assemble, CuttingABodyIntoPartsChangesNothing) {
  Anchor whole = twoBlocks(), cut = twoBlocks();
  for (AnchorPart& part : cut.parts) part.density = 7850.0;
  whole.parts = {{"all", PartRole::kFluke, boxMesh({0, -0.1, 0}, {0.3, 0.2, 0.02}), 7850.0, {}}};
  assemble(whole);
  assemble(cut);
  EXPECT_NEAR(whole.mass, cut.mass, 1e-12);
  EXPECT_LT((whole.centreOfMass - cut.centreOfMass).norm(), 1e-14);
  EXPECT_LT((whole.inertia - cut.inertia).norm(), 1e-14);
}

TEST(Assemble, BenchMassScalesDensitiesAndInertia) {
  Anchor before = twoBlocks(), after = twoBlocks();
  assemble(before);
  assemble(after, {.mass = 1.1 * before.mass, .centreOfMass = {}, .toeReading = {}});
  EXPECT_DOUBLE_EQ(after.mass, 1.1 * before.mass);
  EXPECT_LT((after.inertia - 1.1 * before.inertia).norm(), 1e-14);
  EXPECT_NEAR(after.parts[0].density, 1.1 * 7850.0, 1e-9);
  EXPECT_EQ(after.volume, before.volume);
}

TEST(Assemble, BenchBalanceMovesTheCentreAndKeepsARealBody) {
  Anchor before = twoBlocks();
  assemble(before);
  for (const Vec3& shift : {Vec3(0.02, 0, 0), Vec3(-0.03, 0.01, 0.001), Vec3(0, 0, -0.002)}) {
    Anchor after = twoBlocks();
    const Vec3 wanted = before.centreOfMass + shift;
    assemble(after, {.mass = {}, .centreOfMass = wanted, .toeReading = {}});
    EXPECT_LT((after.centreOfMass - wanted).norm(), 1e-14);
    EXPECT_EQ(after.mass, before.mass);
    EXPECT_TRUE(isPositiveDefinite(after.inertia)) << after.inertia;
    // About the old centre the body is the same one, thinned by the share that went to the point.
    const Vec3 u = shift.normalized();
    const double about = u.dot(shiftInertia(after.inertia, after.mass, shift) * u);
    EXPECT_LT(about, u.dot(before.inertia * u)) << "a point on the axis adds nothing about it";
  }
}

TEST(Assemble, ToeReadingIsMet) {
  Anchor before = twoBlocks();
  assemble(before);
  const double wanted = toeReading(before) + 0.005 * before.mass;
  Anchor after = twoBlocks();
  assemble(after, {.mass = before.mass, .centreOfMass = {}, .toeReading = wanted});
  EXPECT_NEAR(toeReading(after), wanted, 1e-12);
  EXPECT_TRUE(isPositiveDefinite(after.inertia));
}

TEST(Assemble, ToeReadingIsTheLeverRule) {
  // Toe 0.2 m below and 0 m ahead ... laid level: balance a quarter of the way from the shackle.
  Anchor anchor = twoBlocks();
  anchor.toe = {0.3, 0, 0.01};
  anchor.shackle = {-0.9, 0, 0.01};
  assemble(anchor);
  const double share = (anchor.centreOfMass.x() + 0.9) / 1.2;
  EXPECT_NEAR(toeReading(anchor), share * anchor.mass, 1e-12);
}

TEST(Assemble, PitchOnToeAndShackleLaysThemLevel) {
  Anchor anchor = twoBlocks();
  const Quat laid = orientationFor(anchor, {toeAndShacklePitch(anchor), 0.0, 0.0});
  EXPECT_NEAR((laid * (anchor.shackle - anchor.toe)).z(), 0.0, 1e-15);
  EXPECT_GT((laid * (anchor.shackle - anchor.toe)).x(), 0.0);
  EXPECT_GT((laid * (anchor.heel - anchor.toe)).z(), 0.0) << "toe down";
}

TEST(Assemble, ImpossibleReadingsNameTheirKey) {
  EXPECT_THAT(refusal({.mass = 20000.0, .centreOfMass = {}, .toeReading = {}}),
              HasSubstr("bench.mass:"));
  EXPECT_THAT(refusal({.mass = 1.0, .centreOfMass = {}, .toeReading = {}}),
              HasSubstr("bench.mass:"));
  EXPECT_THAT(refusal({.mass = {}, .centreOfMass = Vec3(0.29, 0, 0.01), .toeReading = {}}),
              HasSubstr("bench.centre_of_mass:"));
  EXPECT_THAT(refusal({.mass = {}, .centreOfMass = Vec3(5, 0, 0), .toeReading = {}}),
              HasSubstr("bench.centre_of_mass:"));
  EXPECT_THAT(refusal({.mass = {}, .centreOfMass = {}, .toeReading = 0.1}),
              HasSubstr("bench.toe_reading:"));
}

}  // namespace holdground
