// Bed files with a stack of soils: what they become, and how malformed ones are refused.
#include <gtest/gtest.h>

#include "scenarios/run/tile_source.hpp"
#include "scenarios/schema/bed_file.hpp"
#include "solver/material/modulus_rule.hpp"
#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

constexpr const char* kStackText = R"(name = "mud on sand on rock"
[[layer]]
kind = "soft mud"
strength = "2 kPa"
thickness = "0.3 m"
smallest_diameter = "30 mm"
largest_diameter = "36 mm"
density = "1900 kg/m3"
friction = 0
pull_off_stress = "20 kPa"
steel_setback = 0.3
expected_stress = "15 kPa"
settling_friction = 0.1
[[layer]]
name = "the sand"
kind = "loose sand"
thickness = "0.2 m"
smallest_diameter = "40 mm"
largest_diameter = "44 mm"
friction = 0.6
[[layer]]
hard_pan = true
thickness = "0.05 m"
diameter = "42 mm"
modulus = "1 GPa"
[tile]
length = "1.6 m"
width = "1.3 m"
)";

std::string faultOf(const std::string& text) {
  const ScenarioFolder folder;
  folder.writeBed(text);
  return withoutFolder(inputFault([&] { readBedFile(folder.bed()); }));
}

BedRecipe readStack() {
  const ScenarioFolder folder;
  folder.writeBed(kStackText);
  return readBedFile(folder.bed());
}

/// Text without a piece of it.
std::string without(const std::string& piece) { return replaced(kStackText, piece, ""); }

constexpr const char* kPan = "[[layer]]\nhard_pan = true\n";

}  // namespace

TEST(StackFile, LayersAreReadFromTheTopDown) {
  const BedRecipe bed = readStack();
  ASSERT_EQ(bed.layers.size(), 3u);
  EXPECT_EQ(bed.layers[0].name, "soft mud");
  EXPECT_EQ(bed.layers[0].strength, 2000.0);
  EXPECT_EQ(bed.layers[0].material.pullOffStress, 20.0e3);
  EXPECT_EQ(bed.layers[0].material.steelSetback, 0.3);
  EXPECT_EQ(bed.layers[0].settlingFriction, 0.1);
  EXPECT_EQ(bed.layers[1].name, "the sand");
  EXPECT_EQ(bed.layers[1].material.friction, 0.6);
  EXPECT_FALSE(bed.layers[1].settlingFriction);
  EXPECT_EQ(bed.layers[2].name, "hard pan");
  EXPECT_TRUE(bed.hasHardPan());
  EXPECT_EQ(bed.layers[2].smallestDiameter, 0.042);
  EXPECT_EQ(bed.smallestDiameter, 0.030);
  EXPECT_EQ(bed.largestDiameter, 0.044);
  EXPECT_DOUBLE_EQ(bed.depth, 0.55);
  EXPECT_EQ(bed.frozenLayer(), 0.0);
  EXPECT_EQ(bed.ground().kind, "soft mud");
  ASSERT_EQ(bed.lowerGrounds().size(), 2u);
  EXPECT_EQ(bed.lowerGrounds()[0].kind, "loose sand");
  EXPECT_EQ(bed.lowerGrounds()[0].strength, 0.0);
}

TEST(StackFile, EveryLayerHasItsOwnModulusByTheRule) {
  const BedRecipe bed = readStack();
  const TileRecipe recipe = tileRecipe(bed, 7);
  ASSERT_EQ(recipe.layers.size(), 3u);
  EXPECT_EQ(recipe.layers[0].material.youngModulus, softenedYoungModulus(35e3, 0.25));
  EXPECT_EQ(recipe.layers[1].material.youngModulus, softenedYoungModulus(30e3, 0.25));
  EXPECT_EQ(recipe.layers[2].material.youngModulus, 1e9);
  EXPECT_EQ(recipe.layers[0].settlingFriction, 0.1);
  EXPECT_EQ(recipe.layers[1].settlingFriction, 0.6);
  EXPECT_EQ(recipe.bottom, StackBottom::kHardPan);
  EXPECT_EQ(recipe.kernelSettings().soils().size(), 3u);
  EXPECT_EQ(recipe.material.youngModulus, recipe.layers[0].material.youngModulus);
}

TEST(StackFile, ALayerIsABedOfItsOwnForItsCard) {
  const BedRecipe own = readStack().bedOfLayer(1);
  EXPECT_FALSE(own.isStack());
  EXPECT_EQ(own.kind, "loose sand");
  EXPECT_FALSE(own.strength);
  EXPECT_EQ(own.depth, 0.2);
  EXPECT_EQ(own.smallestDiameter, 0.040);
  EXPECT_EQ(own.frozenLayer(), 0.044);
  const TileRecipe recipe = tileRecipe(own, 1);
  EXPECT_TRUE(recipe.layers.empty());
  EXPECT_EQ(recipe.material.friction, 0.6);
}

TEST(StackFile, MalformedStacksAreRefusedAtTheirKey) {
  EXPECT_EQ(faultOf("name = \"none\"\n[tile]\nlength = \"1 m\"\nwidth = \"1 m\"\n"),
            "bed.toml:1:1: grains.smallest_diameter: missing key, needed is a length with a unit, "
            "or grains.diameter for grains of one size, or [[layer]] for a stack of soils");
  EXPECT_EQ(faultOf("name = \"none\"\nlayer = []\n[tile]\nlength = \"1 m\"\nwidth = \"1 m\"\n"),
            "bed.toml:2:1: layer: found 0 layers, allowed is 2 to 8; one soil alone is [grains]");
  EXPECT_EQ(faultOf(replaced(kStackText, "thickness = \"0.2 m\"", "thickness = \"-0.2 m\"")),
            "bed.toml:17:13: layer[2].thickness: found \"-0.2 m\", allowed is above 0 m, at most "
            "100 m");
  EXPECT_EQ(faultOf(replaced(kStackText, "thickness = \"0.2 m\"", "thickness = \"200 m\"")),
            "bed.toml:17:13: layer[2].thickness: found \"200 m\", allowed is above 0 m, at most "
            "100 m");
  EXPECT_EQ(faultOf(replaced(kStackText, "thickness = \"0.2 m\"", "thickness = \"80 mm\"")),
            "bed.toml:17:1: layer[2].thickness: found less than two largest diameters, allowed is "
            "at least that");
  EXPECT_EQ(faultOf(replaced(kStackText, "thickness = \"0.05 m\"", "thickness = \"40 mm\"")),
            "bed.toml:23:1: layer[3].thickness: found less than one largest diameter, allowed is "
            "at least that");
  EXPECT_EQ(faultOf(replaced(kStackText, "name = \"the sand\"", "hard_pan = true")),
            "bed.toml:15:1: layer[2].hard_pan: found above another layer, allowed is in the lowest "
            "alone");
  EXPECT_EQ(faultOf(std::string(kStackText) + "[grains]\ndiameter = \"40 mm\"\n"),
            "bed.toml:29:1: grains: found beside [[layer]], allowed is one or the other");
  EXPECT_EQ(faultOf(replaced(kStackText, "friction = 0.6", "frictoin = 0.6")).substr(0, 54),
            "bed.toml:20:1: layer[2].frictoin: unknown key, allowed");
  EXPECT_EQ(faultOf(replaced(kStackText, "friction = 0.6", "shape = \"angular\"")),
            "bed.toml:20:1: layer[2].shape: found stones of several spheres, allowed in a stack is "
            "sphere");
  EXPECT_EQ(faultOf(replaced(kStackText, "friction = 0.6", "density = \"1000 kg/m3\"")),
            "bed.toml:20:1: layer[2].density: found grains that float, allowed is above "
            "water.density");
  EXPECT_EQ(faultOf(replaced(kStackText, "friction = 0.6", "plasticity = 0.5")),
            "bed.toml:20:1: layer[2].plasticity: found without cohesion = \"elasto-plastic\", "
            "allowed is only with it");
  EXPECT_EQ(faultOf(without("smallest_diameter = \"40 mm\"\n")),
            "bed.toml:14:1: layer[2].smallest_diameter: missing key, needed is a length with a "
            "unit, or layer[2].diameter for grains of one size");
}

TEST(StackFile, WhatALayerSaysIsNotSaidOfTheWhole) {
  const auto beside = [](const std::string& line) {
    return faultOf(replaced(kStackText, "[tile]", "[settling]\n" + line + "\n[tile]"));
  };
  EXPECT_EQ(beside("friction = 0.2"),
            "bed.toml:27:1: settling.friction: found beside [[layer]], allowed is "
            "settling_friction in each layer");
  EXPECT_EQ(faultOf(replaced(kStackText, "[tile]", "[tile]\ndepth = \"1 m\"")),
            "bed.toml:27:1: tile.depth: found beside [[layer]], allowed is a thickness in each "
            "layer");
  EXPECT_EQ(faultOf("kind = \"sand\"\n" + std::string(kStackText)),
            "bed.toml:1:1: kind: found beside [[layer]], allowed is a kind in each layer");
  EXPECT_EQ(faultOf(std::string(kStackText) + "[target]\nrepose = \"30 deg\"\n"),
            "bed.toml:29:1: target: found beside [[layer]], allowed is in a bed of one soil");
  EXPECT_EQ(faultOf(std::string(kStackText) + "frozen_thickness = \"50 mm\"\n"),
            "bed.toml:29:1: tile.frozen_thickness: found above a hard pan, allowed is one or the "
            "other");
}

}  // namespace holdground
