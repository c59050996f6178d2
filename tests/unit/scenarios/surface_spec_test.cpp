#include "scenarios/schema/surface_spec.hpp"

#include <gtest/gtest.h>

#include "scenarios/schema/anchor_file.hpp"
#include "scenarios/schema/bed_file.hpp"
#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

Surface surfaceIn(const std::string& lines, const Ground& ground) {
  const ScenarioFolder folder;
  folder.writeAnchor(replaced(kPartAnchorText, "unit = \"mm\"", "unit = \"mm\"\n" + lines));
  return readAnchorFile(folder.anchor()).parts[0].surface.on(ground);
}

// NAVFAC DM-7.02 1986 Table 1: steel sheet pile against clean gravel .40, clean sand .30, silty
// sand .25, silt .20; single-size hard rock fill .30.
TEST(SurfaceSpec, SmoothSteelHasThePublishedFrictionOfEachGround) {
  for (const auto& [kind, friction] : {std::pair{"gravel", 0.40},
                                       {"sand", 0.30},
                                       {"dense sand", 0.30},
                                       {"cobble", 0.30},
                                       {"sandy mud", 0.25},
                                       {"soft mud", 0.20},
                                       {"mud", 0.20}}) {
    EXPECT_EQ(surfaceIn("finish = \"smooth galvanized\"", {kind}).friction, friction) << kind;
    EXPECT_EQ(surfaceIn("", {kind}).friction, friction) << kind;
  }
}

// Potyondy 1961, delta/phi: .54 smooth, .76 rusted; McCarthy 1977, tan delta: .2 smooth, .4 rusted.
TEST(SurfaceSpec, RoughSteelIsAsMuchRougherAsPublished) {
  const double phi = 30.0 * kPi / 180.0;
  const double ratio = std::tan(0.76 * phi) / std::tan(0.54 * phi);
  EXPECT_NEAR(surfaceIn("finish = \"rough\"", {"sand"}).friction, 0.3 * ratio, 0.003);
  EXPECT_NEAR(surfaceIn("finish = \"rough\"", {"sand"}).friction, 0.4, 0.04);
  EXPECT_NEAR(surfaceIn("finish = \"coated\"", {"sand"}).friction, 0.2, 1e-12);
}

TEST(SurfaceSpec, AdhesionIsACappedShareOfAStrengthThatIsKnown) {
  for (const auto& [finish, share] :
       {std::pair{"smooth galvanized", 0.5}, {"coated", 0.5}, {"rough", 0.8}}) {
    const std::string line = std::string("finish = \"") + finish + "\"";
    EXPECT_EQ(surfaceIn(line, {"mud", 3000.0}).adhesion, share * 3000.0) << finish;
    EXPECT_EQ(surfaceIn(line, {"mud"}).adhesion, 0.0) << finish;
  }
  EXPECT_EQ(surfaceIn("", {"mud", 3000.0}).tension, 0.0);
  EXPECT_EQ(surfaceIn("", {"mud"}).rollingFriction, 0.2);
  EXPECT_EQ(surfaceIn("", {"sand"}).rollingFriction, 0.0);
}

TEST(SurfaceSpec, NumbersOfTheFileWin) {
  const Surface surface = surfaceIn(
      "finish = \"rough\"\nfriction = 0.1\nrolling_friction = 0.02\nadhesion = \"1.2 kPa\"\n"
      "tension = \"200 Pa\"",
      {"mud", 3000.0});
  EXPECT_EQ(surface.friction, 0.1);
  EXPECT_EQ(surface.rollingFriction, 0.02);
  EXPECT_EQ(surface.adhesion, 1200.0);
  EXPECT_EQ(surface.tension, 200.0);
}

TEST(SurfaceSpec, APartWithAFinishOfItsOwnTakesNoNumberFromTheFile) {
  SurfaceSpec all, part;
  all.friction = 0.1;
  all.adhesion = 500.0;
  EXPECT_EQ(part.over(all).on({}).friction, 0.1);
  part.adhesion = 50.0;
  EXPECT_EQ(part.over(all).on({}).adhesion, 50.0);
  part.finish = SteelFinish::kRough;
  EXPECT_GT(part.over(all).on({}).friction, 0.4);
}

TEST(SurfaceSpec, NegativeStrengthsAndUnknownFinishesAreRefused) {
  const ScenarioFolder folder;
  const auto fault = [&](const std::string& lines) {
    return inputFault([&] { surfaceIn(lines, {}); });
  };
  EXPECT_NE(fault("adhesion = \"-1 Pa\"").find("adhesion"), std::string::npos);
  EXPECT_NE(fault("tension = \"-1 Pa\"").find("tension"), std::string::npos);
  EXPECT_NE(fault("finish = \"shiny\"").find("smooth galvanized"), std::string::npos);
}

TEST(SurfaceSpec, GroundComesFromTheBedFile) {
  const ScenarioFolder folder;
  folder.writeBed(std::string("kind = \"mud\"\nstrength = \"2.5 kPa\"\n") + kBedText);
  const Ground ground = readBedFile(folder.bed()).ground();
  EXPECT_EQ(ground.kind, "mud");
  EXPECT_EQ(ground.strength, 2500.0);
}

}  // namespace
}  // namespace holdground
