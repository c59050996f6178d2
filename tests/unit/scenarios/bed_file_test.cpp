#include "scenarios/schema/bed_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

std::string faultOf(const std::string& text) {
  const ScenarioFolder folder;
  folder.writeBed(text);
  return withoutFolder(inputFault([&] { readBedFile(folder.bed()); }));
}

TEST(BedFile, ConvertsToSiAndKeepsItsText) {
  const ScenarioFolder folder;
  const BedRecipe bed = readBedFile(folder.bed());
  EXPECT_EQ(bed.name, "test sand");
  EXPECT_EQ(bed.smallestDiameter, 0.036);
  EXPECT_EQ(bed.largestDiameter, 0.044);
  EXPECT_EQ(bed.tileLength, 1.6);
  EXPECT_EQ(bed.source.text, kBedText);
  EXPECT_EQ(bed.source.path, folder.bed().string());
}

TEST(BedFile, AbsentKeysKeepTheDefaults) {
  const ScenarioFolder folder;
  const BedRecipe bed = readBedFile(folder.bed());
  EXPECT_FALSE(bed.youngModulus);
  EXPECT_EQ(bed.expectedStress, 30.0e3);
  EXPECT_EQ(bed.frozenLayer(), bed.largestDiameter);
  EXPECT_EQ(bed.water.density, 1025.0);
  EXPECT_EQ(bed.seed, 1u);
  EXPECT_FALSE(bed.settlingFriction);
}

TEST(BedFile, TargetsAreReadInSiAndChangeNothingElse) {
  const ScenarioFolder folder;
  EXPECT_FALSE(readBedFile(folder.bed()).target.any());
  folder.writeBed(std::string(kBedText) + R"([target]
friction_angle = "30 deg"
strength = "3 kPa"
strength_depth = "1 ft"
unit_weight = "9 kN/m3"
repose = "32 deg"
)");
  const BedTarget target = readBedFile(folder.bed()).target;
  EXPECT_DOUBLE_EQ(*target.frictionAngle, kPi / 6.0);
  EXPECT_EQ(target.strength, 3000.0);
  EXPECT_EQ(target.strengthDepth, 0.3048);
  EXPECT_EQ(target.unitWeight, 9000.0);
  EXPECT_DOUBLE_EQ(*target.repose, 32.0 * kPi / 180.0);
}

TEST(BedFile, EveryKeyReachesItsField) {
  const ScenarioFolder folder;
  folder.writeBed(R"(
name = "all"
note = "n"
kind = "cobble"
permeability = "1e-9 m/s"
oedometer_modulus = "500 kPa"
seed = 9223372036854775807
[grains]
diameter = "3 in"
grading = "by number"
density = "2.5 g/cm3"
friction = "1/2"
rolling_friction = 0.2
restitution = 0.3
poisson_ratio = 0.2
modulus = "50 MPa"
expected_stress = "20 kPa"
[water]
density = "0 kg/m3"
drag_coefficient = 1
[tile]
length = "10 ft"
width = "1 m"
depth = "80 cm"
frozen_thickness = "0.1 m"
[settling]
friction = 0
rest_speed = "2 mm/s"
longest_time = "1 min"
)");
  const BedRecipe bed = readBedFile(folder.bed());
  EXPECT_EQ(bed.kind, "cobble");
  EXPECT_EQ(bed.permeability, 1e-9);
  EXPECT_EQ(bed.oedometerModulus, 5e5);
  EXPECT_EQ(bed.seed, 9223372036854775807u);
  EXPECT_EQ(bed.smallestDiameter, 0.0762);
  EXPECT_EQ(bed.largestDiameter, 0.0762);
  EXPECT_EQ(bed.gradingBasis, GradingBasis::kNumber);
  EXPECT_EQ(bed.material.density, 2500.0);
  EXPECT_EQ(bed.material.friction, 0.5);
  EXPECT_EQ(bed.material.rollingFriction, 0.2);
  EXPECT_EQ(bed.material.restitutionCoefficient, 0.3);
  EXPECT_EQ(bed.material.poissonRatio, 0.2);
  EXPECT_EQ(bed.youngModulus, 50.0e6);
  EXPECT_EQ(bed.expectedStress, 20.0e3);
  EXPECT_EQ(bed.water.density, 0.0);
  EXPECT_EQ(bed.water.dragCoefficient, 1.0);
  EXPECT_DOUBLE_EQ(bed.tileLength, 3.048);
  EXPECT_EQ(bed.tileWidth, 1.0);
  EXPECT_EQ(bed.depth, 0.8);
  EXPECT_EQ(bed.frozenThickness, 0.1);
  EXPECT_EQ(bed.settlingFriction, 0.0);
  EXPECT_EQ(bed.restSpeed, 0.002);
  EXPECT_EQ(bed.longestSettlingTime, 60.0);
}

TEST(BedFile, FaultsAreOneLineWithPlaceKeyFoundAndAllowed) {
  EXPECT_EQ(faultOf(replaced(kBedText, "friction = 0.5", "frictoin = 0.5")),
            "bed.toml:6:1: grains.frictoin: unknown key, allowed is diameter, smallest_diameter, "
            "largest_diameter, grading, shape, density, friction, rolling_friction, restitution, "
            "steel_setback, "
            "cohesion, pull_off_stress, pull_off_range, plasticity, adhesive_share, "
            "poisson_ratio, modulus, expected_stress; did you mean friction?");
  EXPECT_EQ(faultOf(replaced(kBedText, "friction = 0.5", "friction = 3")),
            "bed.toml:6:12: grains.friction: found 3, allowed is from 0 to 2");
  EXPECT_EQ(faultOf(replaced(kBedText, "\"0.8 m\"", "0.8")),
            "bed.toml:10:9: tile.depth: found 0.8 without a unit, allowed is a length with a unit "
            "(m, mm, cm, km, um, in, ft, yd, fathom, nmi) in quotes");
  EXPECT_EQ(faultOf(replaced(kBedText, "depth = \"0.8 m\"\n", "")),
            "bed.toml:7:1: tile.depth: missing key, needed is a length with a unit "
            "(m, mm, cm, km, um, in, ft, yd, fathom, nmi)");
  EXPECT_EQ(faultOf(replaced(kBedText, "friction = 0.5", "seed = 2")),
            "bed.toml:6:1: grains.seed: unknown key, allowed is diameter, smallest_diameter, "
            "largest_diameter, grading, shape, density, friction, rolling_friction, restitution, "
            "steel_setback, "
            "cohesion, pull_off_stress, pull_off_range, plasticity, adhesive_share, "
            "poisson_ratio, modulus, expected_stress; it belongs in the top of the file");
  EXPECT_EQ(faultOf(replaced(kBedText, "friction = 0.5", "friction = 0.5\nfriction = 0.6")),
            "bed.toml:7:12: key or table given twice: cannot redefine existing floating-point "
            "'friction'");
  EXPECT_EQ(faultOf(replaced(kBedText, "friction = 0.5", "friction = \n")),
            "bed.toml:6:12: not valid TOML, in key-value pair: expected value, saw '\\n'");
}

TEST(BedFile, CohesionByDentsTakesBothOfItsKeys) {
  const ScenarioFolder folder;
  EXPECT_EQ(readBedFile(folder.bed()).material.plasticity, 0.0);
  const std::string both = "cohesion = \"elasto-plastic\"\nplasticity = 0.7\nadhesive_share = 2";
  folder.writeBed(replaced(kBedText, "friction = 0.5", both));
  const BedRecipe bed = readBedFile(folder.bed());
  EXPECT_EQ(bed.material.plasticity, 0.7);
  EXPECT_EQ(bed.material.adhesiveShare, 2.0);
}

TEST(BedFile, ContradictionsAreFoundAtTheirKey) {
  EXPECT_EQ(faultOf(replaced(kBedText, "\"44 mm\"", "\"30 mm\"")),
            "bed.toml:5:1: grains.largest_diameter: found less than smallest_diameter, allowed is "
            "at least that");
  EXPECT_EQ(faultOf(replaced(kBedText, "friction = 0.5", "diameter = \"40 mm\"")),
            "bed.toml:4:1: grains.smallest_diameter: found beside grains.diameter, allowed is one "
            "or the other");
  EXPECT_EQ(
      faultOf(replaced(kBedText, "friction = 0.5", "density = \"1000 kg/m3\"")),
      "bed.toml:6:1: grains.density: found grains that float, allowed is above water.density");
  EXPECT_EQ(faultOf(replaced(kBedText, "\"1.3 m\"", "\"0.2 m\"")),
            "bed.toml:9:1: tile.width: found less than 5 largest diameters, allowed is at least "
            "that");
  EXPECT_EQ(faultOf(replaced(kBedText, "depth =", "frozen_thickness = \"1 m\"\ndepth =")),
            "bed.toml:10:1: tile.frozen_thickness: found a bed that is frozen through, allowed is "
            "below tile.depth");
  EXPECT_EQ(
      faultOf(replaced(replaced(kBedText, "\"1.3 m\"", "\"100 m\""), "\"1.6 m\"", "\"90 m\"")),
      "bed.toml:7:1: tile: found about 129 million grains in the tile, allowed is at most 50 "
      "million");
  const std::string target = "\n[target]\nstrength = \"3 kPa\"\nstrength_depth = \"90 m\"\n";
  EXPECT_THAT(
      faultOf(kBedText + target),
      testing::HasSubstr("target.strength_depth: found 90 m, allowed is at most tile.depth, "));
}

}  // namespace
}  // namespace holdground
