#include "scenarios/run/build_simulation.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

/// An anchor 0.7 m long with a fluke 0.3 m wide: its failure zone reaches 0.6 m.
Anchor anchor() {
  Anchor made;
  made.length = 0.7;
  made.flukeWidth = 0.3;
  return made;
}

/// A tile of 1 m by 1 m.
TileRecipe tile() {
  TileRecipe made;
  made.length = made.width = 1.0;
  return made;
}

TrialSpec loadTrial() {
  TrialSpec trial;
  trial.pull.mode = PullMode::kLoad;
  trial.pull.load.schedule = LoadSchedule::kStaircase;
  trial.pull.load.steps = {500.0, 1000.0};
  trial.pull.load.rate = 100.0;
  trial.pull.load.holdTime = 30.0;
  return trial;
}

}  // namespace

TEST(Copies, AreEnoughForTheDragAndTheGroundAboutTheAnchor) {
  TrialSpec trial;
  trial.pull.speed.distance = 3.0;
  trial.copiesY.reset();
  // Along 3 + 0.7 + 2 x 0.6 = 4.9 m; across 0.3 + 2 x 0.6 = 1.5 m.
  EXPECT_EQ(copiesFor(trial, tile(), anchor()).x, 5);
  EXPECT_EQ(copiesFor(trial, tile(), anchor()).y, 2);
  trial.pull.speed.distance = 3.2;  // 5.1 m
  EXPECT_EQ(copiesFor(trial, tile(), anchor()).x, 6);
}

TEST(Copies, FollowTheDirectionOfThePull) {
  TrialSpec trial;
  trial.pull.speed.distance = 3.0;
  trial.pull.direction = -0.5 * std::numbers::pi;
  trial.copiesY.reset();
  // Along the anchor's width, 0.3 + 1.2 m; across 3 + 0.7 + 1.2 m.
  EXPECT_EQ(copiesFor(trial, tile(), anchor()).x, 2);
  EXPECT_EQ(copiesFor(trial, tile(), anchor()).y, 5);
  trial.pull.speed.distance = 3.2;
  EXPECT_EQ(copiesFor(trial, tile(), anchor()).y, 6);
}

TEST(Copies, AreThoseOfTheTrialWhenItSays) {
  TrialSpec trial;
  trial.copiesX = 2;
  trial.copiesY = 3;
  EXPECT_EQ(copiesFor(trial, tile(), anchor()).x, 2);
  EXPECT_EQ(copiesFor(trial, tile(), anchor()).y, 3);
}

TEST(Copies, AreRefusedWhenTheAnchorWouldMeetItsImage) {
  TrialSpec trial;
  trial.copiesX = 2;
  trial.copiesY = 1;  // 1 m, and one and a half anchor lengths are 1.05 m
  EXPECT_THROW(copiesFor(trial, tile(), anchor()), InputError);
  Anchor shorter = anchor();
  shorter.length = 0.66;
  EXPECT_NO_THROW(copiesFor(trial, tile(), shorter));
}

TEST(Line, IsRefusedWhenItsDampingOutrunsTheStep) {
  TrialSpec trial;
  Anchor heavy = anchor();
  heavy.mass = 20.0;
  heavy.inertia = Mat3::Identity();
  // At the centre of mass a push of 1 N s gives 1/20 m/s: at most 20 kg / 1 ms.
  trial.pull.speed.lineDamping = 19.9e3;
  EXPECT_NO_THROW(checkLine(trial, heavy, 1e-3));
  trial.pull.speed.lineDamping = 20.1e3;
  trial.reading = Reading({"pull.toml", ""});
  trial.reading.mark("pull.line_damping", {7, 3});
  try {
    checkLine(trial, heavy, 1e-3);
    ADD_FAILURE() << "accepted";
  } catch (const InputError& error) {
    EXPECT_EQ(
        std::string(error.what()).rfind("pull.toml:7:3: pull.line_damping: found 2.01e+04", 0), 0u)
        << error.what();
  }
  heavy.shackle = Vec3(0.5, 0.0, 0.0);
  trial.pull.speed.lineDamping = 5e3;
  EXPECT_THROW(checkLine(trial, heavy, 1e-3), InputError);
}

TEST(LongestDrag, EndsAtTheDriftThatEndsThePull) {
  TrialSpec trial;
  trial.pull.speed.distance = 3.0;
  EXPECT_EQ(longestDrag(trial), 3.0);
  trial.pull.maximumDrift = 1.2;
  EXPECT_EQ(longestDrag(trial), 1.2);
  TrialSpec load = loadTrial();
  load.pull.load.runawayDrift = 2.5;
  EXPECT_EQ(longestDrag(load), 2.5);
}

TEST(LongestPull, IsWhenTheBoatHasRunItsWay) {
  TrialSpec trial;
  trial.pull.speed.speed = 0.7;
  trial.pull.speed.startTime = 0.4;
  trial.pull.speed.distance = 2.0;
  const Rode rode(rodeSettings(trial), Vec3::Zero());
  EXPECT_NEAR(rode.boatTravel(longestPull(trial)), 2.0, 1e-12);
}

TEST(LongestPull, IsWhenTheLoadPlanIsOver) {
  const TrialSpec trial = loadTrial();
  const Rode rode(rodeSettings(trial), Vec3::Zero());
  const double end = longestPull(trial);
  EXPECT_DOUBLE_EQ(end, 5.0 + 30.0 + 5.0 + 30.0);
  EXPECT_FALSE(rode.isFinished(end - 1e-6));
  EXPECT_TRUE(rode.isFinished(end + 1e-6));
  EXPECT_NEAR(rode.at(end - 1.0, Vec3::Zero(), Vec3::Zero()).horizontalLoad, 1000.0, 1e-9);
}

TEST(RodeSettings, AreThoseOfTheTrial) {
  TrialSpec trial = loadTrial();
  trial.pull.direction = 0.3;
  trial.pull.elevation = 0.1;
  trial.pull.load.runawayDrift = 2.0;
  trial.pull.load.runawaySpeed = 0.8;
  trial.pull.load.runawayTime = 0.6;
  trial.chain.massPerLength = 1.5;
  trial.chain.suspendedLength = 2.0;
  trial.bed.water.density = 785.0;  // a tenth of steel
  const RodeSettings rode = rodeSettings(trial);
  EXPECT_EQ(rode.mode, RodeMode::kPrescribedLoad);
  EXPECT_EQ(rode.azimuth, 0.3);
  EXPECT_EQ(rode.elevation, 0.1);
  EXPECT_EQ(rode.load.runawayDrift, 2.0);
  EXPECT_EQ(rode.load.runawaySpeed, 0.8);
  EXPECT_EQ(rode.load.runawayTime, 0.6);
  EXPECT_NEAR(rode.chainWeight, 0.9 * 1.5 * 9.80665, 1e-12);
  EXPECT_EQ(rode.suspendedLength, 2.0);

  TrialSpec speed;
  speed.pull.speed = {0.9, 0.3, 2.0, 12.0, 15e3, 250.0};
  const RodeSettings line = rodeSettings(speed);
  EXPECT_EQ(line.mode, RodeMode::kPrescribedSpeed);
  EXPECT_EQ(line.speed.speed, 0.9);
  EXPECT_EQ(line.speed.startTime, 0.3);
  EXPECT_EQ(line.speed.lineLength, 12.0);
  EXPECT_EQ(line.speed.lineStiffness, 15e3);
  EXPECT_EQ(line.speed.lineDamping, 250.0);
}

TEST(SimulationSettings, TakeBedAndStepFromRecipeAndTrial) {
  TrialSpec trial;
  trial.kernel = KernelKind::kReference;
  trial.pull.settleTime = 0.7;
  trial.rayleighFraction = 0.1;
  TileRecipe recipe;
  recipe.material.friction = 0.4;
  recipe.water.density = 1000.0;
  GrainSet bed;
  bed.radius = {0.02, 0.03};
  bed.frozen = {0, 0};
  const SimulationSettings settings = simulationSettings(trial, recipe, bed);
  EXPECT_EQ(settings.kernel, KernelKind::kReference);
  EXPECT_EQ(settings.settleTime, 0.7);
  EXPECT_EQ(settings.bed.material.friction, 0.4);
  EXPECT_EQ(settings.bed.water.density, 1000.0);
  trial.rayleighFraction = 0.2;
  EXPECT_DOUBLE_EQ(simulationSettings(trial, recipe, bed).bed.timeStep,
                   2.0 * settings.bed.timeStep);
}

}  // namespace holdground
