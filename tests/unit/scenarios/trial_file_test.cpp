#include "scenarios/schema/trial_file.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

TrialSpec read(const std::string& text) {
  const ScenarioFolder folder;
  folder.writeTrial(text);
  return readTrialFile(folder.trial());
}

std::string faultOf(const std::string& text) {
  return withoutFolder(inputFault([&] { read(text); }));
}

/// The trial at a speed with more lines in its [pull].
std::string withInPull(const std::string& lines) { return kTrialText + lines + "\n"; }

TEST(TrialFile, ReadsTheBedAndTheAnchorItNames) {
  const TrialSpec trial = read(kTrialText);
  EXPECT_EQ(trial.name, "test pull");
  EXPECT_EQ(trial.bed.name, "test sand");
  EXPECT_EQ(trial.anchor.name, "test scoop");
  EXPECT_EQ(trial.reading.source().text, kTrialText);
  EXPECT_EQ(trial.bed.source.text, kBedText);
}

TEST(TrialFile, DefaultsAreTheStandardPull) {
  const TrialSpec trial = read(kTrialText);
  EXPECT_EQ(trial.pull.speed.speed, 0.4);
  EXPECT_EQ(trial.pull.speed.distance, 3.0);
  EXPECT_EQ(trial.pull.elevation, 0.0);
  EXPECT_EQ(trial.hold.duration, 30.0);
  EXPECT_EQ(trial.hold.driftInLengths, 0.1);
  EXPECT_EQ(trial.rayleighFraction, 0.2);
  EXPECT_EQ(trial.kernel, KernelKind::kFast);
  EXPECT_FALSE(trial.copiesX);
  EXPECT_EQ(trial.copiesY, 1);
}

TEST(TrialFile, SeedIsThatOfTheBedUnlessTheTrialHasItsOwn) {
  EXPECT_EQ(read(kTrialText).seed, 1u);
  const TrialSpec trial = read(std::string("seed = 7\n") + kTrialText);
  EXPECT_EQ(trial.seed, 7u);
  EXPECT_EQ(trial.bed.seed, 7u);
}

TEST(TrialFile, FramesKeepARegionOfSomeAnchorLengthsOrAll) {
  const std::string output = std::string(kTrialText) + "[output]\n";
  EXPECT_EQ(read(kTrialText).output.frames, FrameContent::kRegion);
  EXPECT_EQ(read(kTrialText).output.regionMargin, 2.0);
  EXPECT_EQ(read(output + "region = 3.5\n").output.regionMargin, 3.5);
  EXPECT_EQ(read(output + "frames = \"all\"\n").output.frames, FrameContent::kAll);
  EXPECT_EQ(faultOf(output + "frames = \"all\"\nregion = 3\n"),
            "trial.toml:9:1: output.region: found with frames = \"all\", where it has no effect");
}

TEST(TrialFile, StaircaseOfLoadsInMixedUnits) {
  const TrialSpec trial = read(kLoadTrialText);
  EXPECT_EQ(trial.pull.mode, PullMode::kLoad);
  ASSERT_EQ(trial.pull.load.steps.size(), 3u);
  EXPECT_EQ(trial.pull.load.steps[1], 1000.0);
  EXPECT_DOUBLE_EQ(trial.pull.load.steps[2], 300 * 4.4482216152605);
}

TEST(TrialFile, ScopeBecomesTheElevationOfATautRode) {
  // asin(1/7) = 8.21 deg.
  EXPECT_NEAR(read(withInPull("scope = \"7:1\"")).pull.elevation, 8.2132 * kPi / 180.0, 1e-6);
}

TEST(TrialFile, EveryKeyReachesItsField) {
  const TrialSpec trial = read(R"(
name = "all"
note = "n"
bed = "bed.toml"
anchor = "anchor.toml"
tiles = { along = 3, across = "auto" }
[pull]
mode = "load"
direction = "90 deg"
elevation = "0.1 rad"
settle_time = "1 s"
max_drift = "2 m"
schedule = "ramp"
rate = "50 lbf/s"
maximum = "2 kN"
runaway_drift = "1 m"
haul_speed = "3 m/s"
runaway_speed = "2 m/s"
runaway_time = "0.3 s"
[hold]
duration = "10 s"
drift = 0.2
[chain]
diameter = "8 mm"
suspended_length = "2 m"
[output]
series_interval = "10 ms"
frame_interval = "0.1 s"
checkpoint_interval = "2 s"
frames = "all"
film_speed = 0.5
[solver]
kernel = "reference"
time_step = 0.1
)");
  EXPECT_EQ(trial.copiesX, 3);
  EXPECT_FALSE(trial.copiesY);
  EXPECT_DOUBLE_EQ(trial.pull.direction, kPi / 2);
  EXPECT_EQ(trial.pull.elevation, 0.1);
  EXPECT_EQ(trial.pull.settleTime, 1.0);
  EXPECT_EQ(trial.pull.maximumDrift, 2.0);
  EXPECT_EQ(trial.pull.load.schedule, LoadSchedule::kRamp);
  EXPECT_DOUBLE_EQ(trial.pull.load.rate, 222.411080763025);
  EXPECT_EQ(trial.pull.load.maximum, 2000.0);
  EXPECT_EQ(trial.pull.load.runawayDrift, 1.0);
  EXPECT_EQ(trial.pull.load.haulSpeed, 3.0);
  EXPECT_EQ(trial.pull.load.runawaySpeed, 2.0);
  EXPECT_EQ(trial.pull.load.runawayTime, 0.3);
  EXPECT_EQ(trial.hold.duration, 10.0);
  EXPECT_EQ(trial.hold.driftInLengths, 0.2);
  EXPECT_EQ(trial.chain.suspendedLength, 2.0);
  EXPECT_EQ(trial.output.seriesInterval, 0.01);
  EXPECT_EQ(trial.output.frameInterval, 0.1);
  EXPECT_EQ(trial.output.checkpointInterval, 2.0);
  EXPECT_EQ(trial.output.frames, FrameContent::kAll);
  EXPECT_EQ(trial.output.filmSpeed, 0.5);
  EXPECT_EQ(trial.kernel, KernelKind::kReference);
  EXPECT_EQ(trial.rayleighFraction, 0.1);

  const TrialSpec speed = read(withInPull(
      "distance = \"10 ft\"\nstart_time = \"0 s\"\nline_length = \"5 m\"\nline_stiffness = \"10 "
      "kN/m\"\nline_damping = \"200 N s/m\""));
  EXPECT_DOUBLE_EQ(speed.pull.speed.distance, 3.048);
  EXPECT_EQ(speed.pull.speed.startTime, 0.0);
  EXPECT_EQ(speed.pull.speed.lineLength, 5.0);
  EXPECT_EQ(speed.pull.speed.lineStiffness, 10.0e3);
  EXPECT_EQ(speed.pull.speed.lineDamping, 200.0);
}

TEST(TrialFile, TheSeriesSeesThePathThatHoldingIsAveragedOverTwoHundredTimes) {
  const auto at = [](const std::string& speed, const std::string& more) {
    return replaced(kTrialText, "\"0.4 m/s\"", "\"" + speed + "\"") + more + "\n";
  };
  // The last metre of three at 0.4 m/s: 2.5 s.
  const std::string interval = "[output]\nseries_interval = ";
  EXPECT_DOUBLE_EQ(read(at("0.4 m/s", interval + "\"12.5 ms\"")).output.seriesInterval, 0.0125);
  EXPECT_EQ(faultOf(at("0.4 m/s", interval + "\"13 ms\"")),
            "trial.toml:8:1: output.series_interval: found 0.013 s, allowed is at most 0.0125 s, a "
            "two-hundredth of the time of the path that holding is averaged over");
  // A pull of 0.5 m, or one that ends after a drift of 0.5 m, at 1 m/s: 0.5 s.
  for (const std::string shorter : {"distance = \"0.5 m\"", "max_drift = \"0.5 m\""}) {
    EXPECT_DOUBLE_EQ(read(at("1 m/s", shorter)).output.seriesInterval, 0.0025) << shorter;
    EXPECT_NE(faultOf(at("1 m/s", shorter + "\n" + interval + "\"3 ms\"")), "") << shorter;
  }
  EXPECT_EQ(read(at("0.4 m/s", "")).output.seriesInterval, 0.005);
  EXPECT_EQ(read(kLoadTrialText).output.seriesInterval, 0.005);
}

TEST(TrialFile, AnAnchorRunsAwayBelowTheSpeedOfTheWinch) {
  EXPECT_EQ(read(kLoadTrialText).pull.load.runawaySpeed, 0.45);
  const auto with = [](const std::string& lines) {
    return replaced(kLoadTrialText, "mode = \"load\"", "mode = \"load\"\n" + lines);
  };
  EXPECT_DOUBLE_EQ(read(with("haul_speed = \"1 m/s\"")).pull.load.runawaySpeed, 0.9);
  EXPECT_EQ(read(with("runaway_speed = \"0.4 m/s\"")).pull.load.runawaySpeed, 0.4);
  EXPECT_NE(faultOf(with("runaway_speed = \"0.5 m/s\""))
                .find(": pull.runaway_speed: found 0.5 m/s, allowed is below haul_speed, 0.5 m/s"),
            std::string::npos);
}

// ISO 4565 / DIN 766 short-link chain, mass per metre [kg/m] by wire diameter [mm].
TEST(ChainMass, FollowsTheStandardsWithinFourPercent) {
  const std::pair<double, double> rows[] = {{6, .80},   {7, 1.15},  {8, 1.40},  {10, 2.25},
                                            {12, 3.25}, {13, 3.90}, {14, 4.25}, {16, 5.80}};
  for (const auto& [millimetres, mass] : rows) {
    EXPECT_NEAR(chainMassPerLength(millimetres / 1000.0), mass, 0.045 * mass) << millimetres;
  }
}

// 8 mm chain of 1.40 kg/m in sea water: 1.40 * 9.80665 * (1 - 1025/7850) = 11.937 N/m.
TEST(ChainSpec, WeighsLessInWater) {
  EXPECT_NEAR((ChainSpec{1.40, 1.0}.submergedWeightPerLength(1025.0)), 11.937, 0.001);
  EXPECT_DOUBLE_EQ((ChainSpec{1.0, 1.0}.submergedWeightPerLength(0.0)), 9.80665);
}

TEST(TrialFile, FaultsNamePlaceAndKey) {
  EXPECT_EQ(
      faultOf(replaced(kTrialText, "\"0.4 m/s\"", "\"0.4 m\"")),
      "trial.toml:6:9: pull.speed: found \"0.4 m\", allowed is a speed with a unit (m/s, cm/s, "
      "mm/s, km/h, kn, in/s, ft/s, ft/min, mph); m is a unit of length");
  EXPECT_EQ(faultOf(withInPull("maximum = \"1 kN\"")),
            "trial.toml:7:1: pull.maximum: found with mode = \"speed\", where it has no effect");
  EXPECT_EQ(faultOf(withInPull("scope = \"5:1\"\nelevation = \"3 deg\"")),
            "trial.toml:7:1: pull.scope: found beside elevation, allowed is one or the other");
  EXPECT_EQ(faultOf(replaced(kLoadTrialText, "\"1 kN\"", "\"400 N\"")),
            "trial.toml:7:1: pull.steps: found step 2 not above the one before, allowed are rising "
            "loads");
  EXPECT_EQ(faultOf(replaced(kLoadTrialText, "\"1 kN\"", "\"100 kg\"")),
            "trial.toml:7:19: pull.steps: found \"100 kg\", allowed is a force with a unit (N, kN, "
            "MN, daN, lbf, klbf, kgf, tf); kg is a mass, write kgf for the force");
  EXPECT_EQ(faultOf(replaced(kTrialText, "bed.toml", "bde.toml")).substr(0, 54),
            "trial.toml:2:1: bed: found \"bde.toml\", no such file (/");
  EXPECT_EQ(faultOf(std::string(kTrialText) + "[solver]\ntime_step = 0.31\n"),
            "trial.toml:8:13: solver.time_step: found 0.31, allowed is above 0, at most 0.3");
}

TEST(TrialFile, AFaultInTheBedNamesTheBedFile) {
  const ScenarioFolder folder;
  folder.writeBed("name = 3\n");
  EXPECT_EQ(withoutFolder(inputFault([&] { readTrialFile(folder.trial()); })),
            "bed.toml:1:8: name: found 3, allowed is a text in quotes");
}

}  // namespace
}  // namespace holdground
