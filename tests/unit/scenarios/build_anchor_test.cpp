#include "scenarios/run/build_anchor.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "scenarios/schema/anchor_file.hpp"
#include "solver/core/errors.hpp"
#include "tests/support/mesh_texts.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

namespace {

const std::string kPoints =
    "name = \"block\"\n[points]\nshackle = [\"0.4 m\", \"0 m\", \"0 m\"]\n"
    "toe = [\"0.4 m\", \"0 m\", \"0 m\"]\nheel = [\"0 m\", \"0 m\", \"0 m\"]\n";

std::string part(const std::string& mesh, const std::string& more) {
  return "[[part]]\nname = \"block\"\nrole = \"fluke\"\nmesh = \"" + mesh + "\"\n" + more;
}

Anchor build(const TemporaryFolder& folder, const std::string& toml) {
  return buildAnchor(readAnchorFile(writeText(folder / "anchor.toml", toml)));
}

std::string faultOf(const TemporaryFolder& folder, const std::string& toml) {
  try {
    build(folder, toml);
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

/// 400 x 200 x 10, from the origin.
void writeBlock(const TemporaryFolder& folder) {
  writeText(folder / "block.stl", test::binaryStl(test::boxMesh({0, 0, 0}, {400, 200, 10})));
}

}  // namespace

TEST(BuildAnchor, UnitScalesTheMesh) {
  const TemporaryFolder folder;
  writeBlock(folder);
  const Anchor anchor = build(folder, kPoints + part("block.stl", "unit = \"mm\"\n"));
  EXPECT_NEAR(anchor.mass, 7850.0 * 0.4 * 0.2 * 0.01, 1e-9);
  EXPECT_LT((anchor.centreOfMass - Vec3(0.2, 0.1, 0.005)).norm(), 1e-12);
}

TEST(BuildAnchor, AxesAndOffsetPlaceTheMesh) {
  const TemporaryFolder folder;
  writeBlock(folder);
  // The file's y points to the toe and its x up; its origin lies 0.1 m to port.
  const std::string points =
      "name = \"block\"\n[points]\nshackle = [\"0.2 m\", \"0.1 m\", \"0.4 m\"]\n"
      "toe = [\"0.2 m\", \"0.1 m\", \"0 m\"]\nheel = [\"0 m\", \"0.1 m\", \"0 m\"]\n";
  const Anchor anchor = build(folder, points + part("block.stl",
                                                    "unit = \"mm\"\nforward = \"+y\"\nup = \"+x\"\n"
                                                    "offset = [\"0 m\", \"0.1 m\", \"0 m\"]\n"));
  // forward = y, up = x, so port = up x forward = x cross y = z.
  EXPECT_LT((anchor.centreOfMass - Vec3(0.1, 0.105, 0.2)).norm(), 1e-12);
}

TEST(BuildAnchor, PartMassOverridesDensity) {
  const TemporaryFolder folder;
  writeBlock(folder);
  const Anchor anchor =
      build(folder, kPoints + part("block.stl", "unit = \"mm\"\nmass = \"7 kg\"\n"));
  EXPECT_NEAR(anchor.mass, 7.0, 1e-12);
}

TEST(BuildAnchor, WrongUnitNamesTheMeshAndTheUnit) {
  const TemporaryFolder folder;
  writeBlock(folder);
  EXPECT_THAT(faultOf(folder, kPoints + part("block.stl", "unit = \"in\"\n")),
              AllOf(HasSubstr("anchor.toml:9:1: part[1].mesh: "), HasSubstr("block.stl: "),
                    HasSubstr("taken as in"), HasSubstr("0.4 m in mm"), Not(HasSubstr("\n"))));
}

TEST(BuildAnchor, PointFarFromTheSteelIsRefused) {
  const TemporaryFolder folder;
  writeBlock(folder);
  std::string toml = kPoints + part("block.stl", "unit = \"mm\"\n");
  toml.replace(toml.find("0.4 m"), 5, "4.0 m");
  EXPECT_THAT(faultOf(folder, toml),
              AllOf(HasSubstr("anchor.toml:3:1: points.shackle:"), Not(HasSubstr("\n"))));
}

TEST(BuildAnchor, ImpossiblePatternNamesFileAndKey) {
  const TemporaryFolder folder;
  EXPECT_THAT(faultOf(folder, "name = \"x\"\n[pattern]\ndish = \"150 mm\"\n"),
              AllOf(HasSubstr("anchor.toml:"), HasSubstr("pattern.dish:")));
}

TEST(BuildAnchor, ScalesThatCannotBeRightNameTheirKey) {
  const TemporaryFolder folder;
  writeBlock(folder);
  EXPECT_THAT(
      faultOf(folder, kPoints + part("block.stl", "unit = \"mm\"\n[bench]\nmass = \"200 kg\"\n")),
      AllOf(HasSubstr("anchor.toml:12:1: bench.mass: found 200 kg"), Not(HasSubstr("\n"))));
}

TEST(BuildAnchor, PartsThatShareALittleAreNamedAndThoseThatShareMuchRefused) {
  const TemporaryFolder folder;
  writeBlock(folder);
  const auto twoBlocks = [&folder](const std::string& apart) {
    return build(folder, kPoints + part("block.stl", "unit = \"mm\"\n") +
                             "[[part]]\nname = \"end\"\n" +
                             "role = \"shank\"\nmesh = \"block.stl\"\nunit = \"mm\"\noffset = [\"" +
                             apart + "\", \"0 m\", \"0 m\"]\n");
  };
  EXPECT_TRUE(overlapsOf(twoBlocks("0.4 m")).empty());
  // 8 mm of 400 mm each: 1 % of the mass of both.
  EXPECT_EQ(overlapsOf(twoBlocks("0.392 m")),
            std::vector<std::string>{"parts block and end overlap: 1 % of the mass counts twice"});
  EXPECT_THROW(twoBlocks("0.3 m"), InputError);
}

}  // namespace holdground
