#include "solver/rode/rode.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

RodeSettings speedSettings() {
  RodeSettings settings;
  settings.speed = {0.4, 0.5, 10.0, 20e3, 400.0};
  return settings;
}

RodeSettings loadSettings(double load) {
  RodeSettings settings;
  settings.mode = RodeMode::kPrescribedLoad;
  settings.load.plan = LoadPlan({{load, 0.0, 10.0}});
  return settings;
}

const Vec3 kShackle(0.3, -0.1, 0.2);

}  // namespace

TEST(Rode, TautElevationIsTheArcSineOfOneOverScope) {
  // Geometry; 7:1 is 8.21 degrees, 3:1 is 19.47.
  EXPECT_NEAR(elevationFromScope(7.0) * 180.0 / kPi, 8.213, 1e-3);
  EXPECT_NEAR(elevationFromScope(3.0) * 180.0 / kPi, 19.471, 1e-3);
  EXPECT_THROW(elevationFromScope(0.9), InputError);
}

TEST(Rode, StartsSlackAndPullsByItsStretch) {
  RodeSettings settings = speedSettings();
  settings.speed.lineDamping = 0.0;
  const Rode rode(settings, kShackle);
  EXPECT_EQ(rode.at(0.0, kShackle, Vec3::Zero()).tension, 0.0);
  const double time = 2.0;
  const double travel = 0.4 * (time - 0.25);
  EXPECT_DOUBLE_EQ(rode.boatTravel(time), travel);
  const RodePull pull = rode.at(time, kShackle, Vec3::Zero());
  EXPECT_NEAR(pull.tension, 20e3 * travel, 1e-8);
  EXPECT_NEAR(pull.horizontalLoad, pull.tension, 1e-8);
  EXPECT_NEAR(pull.storedEnergy, 0.5 * 20e3 * travel * travel, 1e-8);
  EXPECT_NEAR(pull.boatEnd.x(), kShackle.x() + 10.0 + travel, 1e-12);
}

TEST(Rode, BoatSpeedRisesWithoutAJump) {
  const Rode rode(speedSettings(), kShackle);
  const double step = 1e-4;
  double last = 0.0;
  for (double time = 0.0; time < 1.0; time += step) {
    const double speed = (rode.boatTravel(time + step) - rode.boatTravel(time)) / step;
    EXPECT_LE(std::abs(speed - last), 0.4 * 1.5 / 0.5 * step * 1.01);
    last = speed;
  }
  EXPECT_NEAR(last, 0.4, 1e-9);
}

TEST(Rode, NeverPushes) {
  const Rode rode(speedSettings(), kShackle);
  const RodePull behind = rode.at(1.0, kShackle + Vec3(1.0, 0.0, 0.0), Vec3::Zero());
  EXPECT_EQ(behind.tension, 0.0);
  EXPECT_EQ(behind.pull, Vec3::Zero());
  // Damping alone must not turn a small stretch into a push.
  const RodePull running =
      rode.at(1.0, kShackle + Vec3(rode.boatTravel(1.0) - 1e-3, 0.0, 0.0), Vec3(5.0, 0.0, 0.0));
  EXPECT_EQ(running.tension, 0.0);
}

TEST(Rode, DampingFollowsTheRateOfStretch) {
  const Rode rode(speedSettings(), kShackle);
  const double still = rode.at(2.0, kShackle, Vec3(0.4, 0.0, 0.0)).tension;
  const double stretching = rode.at(2.0, kShackle, Vec3::Zero()).tension;
  EXPECT_NEAR(stretching - still, 400.0 * 0.4, 1e-8);
}

TEST(Rode, PrescribedLoadActsAlongAzimuthAndElevation) {
  RodeSettings settings = loadSettings(1000.0);
  settings.azimuth = 0.3;
  settings.elevation = 0.2;
  settings.chainWeight = 11.9;
  settings.suspendedLength = 3.0;
  const RodePull pull = Rode(settings, kShackle).at(1.0, kShackle, Vec3::Zero());
  EXPECT_NEAR(pull.pull.x(), 1000.0 * std::cos(0.2) * std::cos(0.3), 1e-9);
  EXPECT_NEAR(pull.pull.y(), 1000.0 * std::cos(0.2) * std::sin(0.3), 1e-9);
  EXPECT_NEAR(pull.pull.z(), 1000.0 * std::sin(0.2), 1e-9);
  EXPECT_NEAR(pull.horizontalLoad, 1000.0 * std::cos(0.2), 1e-9);
  EXPECT_NEAR(pull.force().z(), pull.pull.z() - 35.7, 1e-9);
}

TEST(Rode, PrescribedLoadFallsOffWhereTheWinchCannotFollow) {
  RodeSettings settings = loadSettings(1000.0);
  settings.load.haulSpeed = 0.5;
  const Rode rode(settings, kShackle);
  for (const auto& [speed, load] :
       {std::pair{-9.0, 1000.0}, std::pair{0.0, 1000.0}, std::pair{0.25, 1000.0},
        std::pair{0.375, 500.0}, std::pair{0.5, 0.0}, std::pair{9.0, 0.0}}) {
    EXPECT_NEAR(rode.at(1.0, kShackle, Vec3(speed, 3.0, 3.0)).tension, load, 1e-9);
  }
}

TEST(Rode, RunawayIsDriftAlongThePullOrAWhileAtSpeedInLoadModeOnly) {
  RodeSettings settings = loadSettings(1000.0);
  settings.load.runawayDrift = 2.0;
  settings.load.runawaySpeed = 0.4;
  settings.load.runawayTime = 0.5;
  const Rode rode(settings, kShackle);
  EXPECT_FALSE(rode.isRunaway(1.0, kShackle + Vec3(1.9, 5.0, -5.0), std::nullopt));
  EXPECT_TRUE(rode.isRunaway(1.0, kShackle + Vec3(2.1, 0.0, 0.0), std::nullopt));
  EXPECT_FALSE(rode.isRunning(Vec3(0.3, 0.2, 5.0)));
  EXPECT_TRUE(rode.isRunning(Vec3(0.41, 0.0, 0.0)));
  EXPECT_FALSE(rode.isRunaway(3.0, kShackle, 2.6));
  EXPECT_TRUE(rode.isRunaway(3.0, kShackle, 2.5));
  // The plan is over at 10 s: nothing is held by an anchor that runs.
  EXPECT_FALSE(rode.isRunaway(9.9, kShackle, 9.8));
  EXPECT_TRUE(rode.isRunaway(10.0, kShackle, 9.9));
  EXPECT_FALSE(rode.isRunaway(10.0, kShackle, std::nullopt));
  const Rode atSpeed(speedSettings(), kShackle);
  EXPECT_FALSE(atSpeed.isRunning(Vec3(99.0, 0.0, 0.0)));
  EXPECT_FALSE(atSpeed.isRunaway(99.0, Vec3(99.0, 0.0, 0.0), 0.0));
  EXPECT_FALSE(rode.isFinished(9.0));
  EXPECT_TRUE(rode.isFinished(10.5));
}

TEST(Rode, DriftIsMeasuredAlongTheAzimuth) {
  RodeSettings settings = speedSettings();
  settings.azimuth = 0.5 * kPi;
  const Rode rode(settings, kShackle);
  EXPECT_NEAR(rode.drift(kShackle + Vec3(3.0, 2.0, -1.0)), 2.0, 1e-12);
}

TEST(Rode, RefusesNonsense) {
  RodeSettings settings = speedSettings();
  settings.speed.lineStiffness = 0.0;
  EXPECT_THROW(Rode(settings, kShackle), InputError);
  settings = speedSettings();
  settings.elevation = 2.0;
  EXPECT_THROW(Rode(settings, kShackle), InputError);
  settings = loadSettings(1.0);
  settings.load.plan = LoadPlan();
  EXPECT_THROW(Rode(settings, kShackle), InputError);
}

}  // namespace holdground
