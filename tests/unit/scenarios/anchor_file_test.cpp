#include "scenarios/schema/anchor_file.hpp"

#include <gtest/gtest.h>

#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

AnchorSpec read(const std::string& text) {
  const ScenarioFolder folder;
  folder.writeAnchor(text);
  return readAnchorFile(folder.anchor());
}

std::string faultOf(const std::string& text) {
  return withoutFolder(inputFault([&] { read(text); }));
}

/// The anchor of parts with more lines in its [[part]].
std::string withInPart(const std::string& lines) {
  return replaced(kPartAnchorText, "unit = \"mm\"", "unit = \"mm\"\n" + lines);
}

TEST(AnchorFile, ReadsAPatternWithDefaultsForTheRest) {
  const AnchorSpec anchor = read(kPatternAnchorText);
  EXPECT_EQ(anchor.type, AnchorType::kScoop);
  ASSERT_TRUE(anchor.pattern);
  EXPECT_EQ(anchor.pattern->flukeLength, 0.42);
  EXPECT_EQ(anchor.pattern->shankReach, ScoopPattern().shankReach);
  EXPECT_TRUE(anchor.parts.empty());
  EXPECT_EQ(anchor.reading.source().text, kPatternAnchorText);
}

TEST(AnchorFile, ReadsPartsAndPointsAndFindsTheMeshBesideTheFile) {
  const ScenarioFolder folder;
  folder.writeAnchor(kPartAnchorText);
  const AnchorSpec anchor = readAnchorFile(folder.anchor());
  ASSERT_EQ(anchor.parts.size(), 1u);
  EXPECT_EQ(anchor.parts[0].role, PartRole::kFluke);
  EXPECT_EQ(anchor.parts[0].mesh, folder.anchor().parent_path() / "plate.stl");
  EXPECT_EQ(anchor.parts[0].meshUnit, 0.001);
  EXPECT_TRUE(anchor.parts[0].rotation.isIdentity());
  EXPECT_EQ(anchor.shackle, Vec3(0.5, 0.0, 0.2));
  EXPECT_FALSE(anchor.pattern);
}

TEST(AnchorFile, AxesOfTheMeshFileAreTurnedIntoTheAnchorFrame) {
  const AnchorSpec anchor = read(withInPart("forward = \"-y\"\nup = \"+x\""));
  const Mat3 rotation = anchor.parts[0].rotation;
  EXPECT_TRUE((rotation * Vec3(0, -1, 0)).isApprox(Vec3::UnitX()));
  EXPECT_TRUE((rotation * Vec3(1, 0, 0)).isApprox(Vec3::UnitZ()));
  EXPECT_DOUBLE_EQ(rotation.determinant(), 1.0);
}

TEST(AnchorFile, EveryChoiceOfAxesIsARightHandedRotation) {
  for (const std::string forward : kAxes) {
    for (const std::string up : kAxes) {
      if (forward[1] == up[1]) continue;
      const AnchorSpec anchor =
          read(withInPart("forward = \"" + forward + "\"\nup = \"" + up + "\""));
      EXPECT_DOUBLE_EQ(anchor.parts[0].rotation.determinant(), 1.0) << forward << " " << up;
    }
  }
}

TEST(AnchorFile, TurnsOfAPartFollowTheSignsOfTheAttitude) {
  // Pitch takes the forward axis down, yaw takes it to port, roll takes starboard (-y) down.
  EXPECT_LT((read(withInPart("pitch = \"30 deg\"")).parts[0].rotation * Vec3::UnitX()).z(), -0.49);
  EXPECT_GT((read(withInPart("yaw = \"30 deg\"")).parts[0].rotation * Vec3::UnitX()).y(), 0.49);
  EXPECT_LT((read(withInPart("roll = \"30 deg\"")).parts[0].rotation * -Vec3::UnitY()).z(), -0.49);
}

TEST(AnchorFile, SurfaceOfTheFileHoldsForPartsThatSayNothing) {
  const AnchorSpec anchor =
      read(std::string("surface.friction = 0.25\nsurface.rolling_friction = 0.1\n") +
           withInPart("friction = 0.6"));
  EXPECT_EQ(anchor.parts[0].surface.friction.value(), 0.6);
  EXPECT_EQ(anchor.parts[0].surface.rollingFriction.value(), 0.1);
}

TEST(AnchorFile, BenchAndPoseReachTheirFields) {
  const AnchorSpec anchor = read(std::string(kPatternAnchorText) + R"(
[bench]
mass = "44 lb"
toe_reading = "12 kg"
[setting_pose]
pitch = "10 deg"
list = "-90 deg"
heading = "0.5 rad"
)");
  EXPECT_DOUBLE_EQ(*anchor.bench.mass, 44 * 0.45359237);
  EXPECT_EQ(anchor.bench.toeReading, 12.0);
  EXPECT_DOUBLE_EQ(anchor.settingPose.pitch, kPi / 18);
  EXPECT_DOUBLE_EQ(anchor.settingPose.list, -kPi / 2);
  EXPECT_EQ(anchor.settingPose.heading, 0.5);
}

// Names head columns of tables, so that two parts of one name or a comma would garble them.
TEST(AnchorFile, PartsHaveNamesOfTheirOwnThatFitATable) {
  const std::string twin =
      "[[part]]\nname = \"plate\"\nrole = \"other\"\nmesh = \"plate.stl\"\nunit = \"mm\"\n";
  EXPECT_NE(faultOf(kPartAnchorText + twin).find("part[1].name: found twice"), std::string::npos);
  const std::string other = replaced(twin, "\"plate\"", "\"bar\"");
  EXPECT_EQ(faultOf(kPartAnchorText + other).find("found twice"), std::string::npos);
  EXPECT_NE(faultOf(replaced(kPartAnchorText, "\"plate\"", "\"pl, ate\"")).find("a comma or quote"),
            std::string::npos);
}

TEST(AnchorFile, FaultsNamePlaceAndKey) {
  EXPECT_EQ(faultOf("name = \"x\"\n"),
            "anchor.toml:1:1: missing shape, needed is [[part]] or [pattern]");
  EXPECT_EQ(faultOf(std::string(kPartAnchorText) + "[pattern]\n"),
            "anchor.toml:11:1: pattern: found beside [[part]], allowed is one or the other");
  EXPECT_EQ(faultOf(replaced(kPartAnchorText, "toe = [\"0.4 m\", \"0 m\", \"0 m\"]\n", "")),
            "anchor.toml:7:1: points.toe: missing key, needed is a point [x, y, z], each a length "
            "with a unit");
  EXPECT_EQ(faultOf(replaced(kPartAnchorText, "name = \"plate\"\n", "")),
            "anchor.toml:2:1: part[1].name: missing key, needed is a text in quotes");
  EXPECT_EQ(faultOf(withInPart("up = \"-x\"")),
            "anchor.toml:7:1: part[1].up: found the axis of forward, allowed is one across it");
  EXPECT_EQ(
      faultOf(replaced(kPartAnchorText, "\"fluke\"", "\"flukes\"")),
      "anchor.toml:4:8: part[1].role: found \"flukes\", allowed is one of fluke, shank, stock, "
      "roll-bar, crown, ballast, other; did you mean fluke?");
  EXPECT_EQ(
      faultOf(replaced(kPartAnchorText, "[\"0.4 m\", \"0 m\", \"0 m\"]", "[\"0.4 m\", \"0 m\"]")),
      "anchor.toml:9:7: points.toe: found a list of 2, allowed is a list of three, [x, y, z], "
      "each a length with a unit (m, mm, cm, km, um, in, ft, yd, fathom, nmi)");
  EXPECT_EQ(faultOf(replaced(kPartAnchorText, "plate.stl", "plait.stl")).substr(0, 65),
            "anchor.toml:5:1: part[1].mesh: found \"plait.stl\", no such file (/");
  EXPECT_EQ(faultOf(std::string(kPatternAnchorText) + "[bench]\ntoe_reading = \"5 kg\"\n"),
            "anchor.toml:5:1: bench.mass: missing key, needed is the mass toe_reading is part of");
}

}  // namespace
}  // namespace holdground
