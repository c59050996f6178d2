// A bed that is settled may be kept in a file of one's own.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "solver/bed/tile.hpp"
#include "tests/support/trial_run.hpp"

namespace holdground {
namespace {

ProcessResult settle(const std::string& output) {
  return runHoldground({"bed", (scenariosFolder() / "beds" / "smoke.toml").string(), "-o", output});
}

}  // namespace

TEST(Bed, IsKeptInTheVeryFileAskedFor) {
  const TemporaryFolder folder;
  const auto file = folder / "sand.bin";
  for (int time = 0; time < 2; ++time) {  // the second time over the first
    const ProcessResult result = settle(file.string());
    ASSERT_EQ(result.exitStatus, 0) << result.describe();
    ASSERT_TRUE(std::filesystem::is_regular_file(file));
  }
  const auto tile = readTile(file);
  ASSERT_TRUE(tile.has_value());
  EXPECT_GT(tile->grains.size(), 1000u);
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder.path()), {}), 1)
      << "nothing is left beside it";
}

TEST(Bed, ThatCannotBeKeptIsNoSuccess) {
  const TemporaryFolder folder;
  ProcessOptions options;
  options.environment["HOLDGROUND_CACHE"] =
      (writeText(folder / "file", "in the way") / "cache").string();
  const ProcessResult result =
      runProcess({builtProgram("holdground"), "bed",
                  (scenariosFolder() / "beds" / "smoke.toml").string(), "--threads", "1"},
                 options);
  EXPECT_EQ(result.exitStatus, 3) << result.describe();
  EXPECT_THAT(result.messages, testing::HasSubstr("Not a directory"));
  EXPECT_THAT(result.output, testing::HasSubstr("not kept"));
}

TEST(Bed, RefusesAFolderOrOneThatIsMissingInOneLine) {
  const TemporaryFolder folder;
  for (const std::string& output :
       {folder.path().string(), (folder / "").string(), (folder / "none" / "sand.bin").string(),
        (folder / "none" / "").string()}) {
    const ProcessResult result = settle(output);
    EXPECT_EQ(result.exitStatus, 2) << result.describe();
    EXPECT_THAT(result.messages, testing::StartsWith("holdground: --output: found " + output));
    EXPECT_EQ(std::count(result.messages.begin(), result.messages.end(), '\n'), 1);
    EXPECT_EQ(result.output, "");
  }
  EXPECT_TRUE(std::filesystem::is_empty(folder.path()));
}

TEST(Bed, NeverWritesOverTheFileItReadsNorOverAnythingButASettledBed) {
  const TemporaryFolder folder;
  const std::string text = readText(scenariosFolder() / "beds" / "smoke.toml") +
                           "\n[target]\nunit_weight = \"9 kN/m3\"\n";
  const auto bed = writeText(folder / "bed.toml", text);
  std::filesystem::create_hard_link(bed, folder / "same.toml");
  writeText(folder / "note.txt", "mine");
  const auto refuses = [&](const std::string& name, const std::vector<std::string>& more) {
    std::vector<std::string> command{builtProgram("holdground"), "bed", bed.string(), "-o",
                                     (folder / name).string()};
    command.insert(command.end(), more.begin(), more.end());
    const ProcessResult result = runProcess(command);
    EXPECT_EQ(result.exitStatus, 2) << result.describe();
    EXPECT_THAT(result.messages, testing::HasSubstr("--output: found "));
  };
  for (const char* name : {"bed.toml", "same.toml"}) {
    refuses(name, {});
    refuses(name, {"--calibrate"});
  }
  refuses("note.txt", {});
  EXPECT_EQ(readText(folder / "note.txt"), "mine");
  EXPECT_EQ(readText(bed), text);
}

TEST(Bed, CalibratesItsWeightIntoANewFileAndRemembers) {
  const TemporaryFolder folder;
  const auto bed =
      writeText(folder / "bed.toml",
                "name = \"ours\"   # a comment\n[grains]\n"
                "smallest_diameter = \"66 mm\"\nlargest_diameter = \"74 mm\"\nmodulus = \"2 MPa\"\n"
                "[tile]\nlength = \"0.5 m\"\nwidth = \"0.5 m\"\ndepth = \"0.4 m\"\n"
                "[settling]\nrest_speed = \"2 cm/s\"\n[target]\nunit_weight = \"9.5 kN/m3\"\n");
  ProcessOptions options;
  options.environment["HOLDGROUND_CACHE"] = (folder / "cache").string();
  const auto calibrate = [&](const std::string& output) {
    return runProcess({builtProgram("holdground"), "bed", bed.string(), "--calibrate", "--json",
                       "-o", (folder / output).string()},
                      options);
  };
  const ProcessResult first = calibrate("new.toml");
  ASSERT_EQ(first.exitStatus, 0) << first.describe();
  const auto json = nlohmann::json::parse(first.output);
  EXPECT_NEAR(json["targets"][0]["measured"].get<double>(), 9500.0, 95.0);  // twice its tolerance
  EXPECT_EQ(json["trials_remembered"], 0);
  const auto text = readText(folder / "new.toml");
  EXPECT_THAT(text, testing::StartsWith("# Calibrated: to unit_weight 9.5 kN/m3 (measured "));
  EXPECT_THAT(text, testing::HasSubstr("name = \"ours\"   # a comment\n[grains]\ndensity = \""));

  // The bed that the new file lays weighs that, not the small tiles alone.
  const ProcessResult laid = runProcess(
      {builtProgram("holdground"), "bed", (folder / "new.toml").string(), "--json"}, options);
  EXPECT_NEAR(nlohmann::json::parse(laid.output)["submerged_unit_weight_N_per_m3"].get<double>(),
              9500.0, 95.0);

  const ProcessResult second = calibrate("again.toml");
  const auto remembered = nlohmann::json::parse(second.output);
  EXPECT_EQ(remembered["trials_measured"], 0);
  EXPECT_EQ(remembered["grains"], json["grains"]);
  EXPECT_EQ(readText(folder / "again.toml"), text);
}

namespace {

/// Lumps on sand on a pan, few and coarse.
constexpr const char* kStack = R"(name = "ours"
[[layer]]
kind = "soft mud"
thickness = "0.2 m"
smallest_diameter = "66 mm"
largest_diameter = "74 mm"
density = "1900 kg/m3"
friction = 0
rolling_friction = 0
pull_off_stress = "5 kPa"
settling_friction = 0.1
[[layer]]
name = "sand"
thickness = "0.2 m"
diameter = "70 mm"
[[layer]]
hard_pan = true
thickness = "0.1 m"
diameter = "70 mm"
[tile]
length = "0.5 m"
width = "0.5 m"
[settling]
rest_speed = "5 mm/s"
)";

}  // namespace

TEST(Bed, OfSeveralLayersSaysWhereEachCameToLie) {
  const TemporaryFolder folder;
  const auto bed = writeText(folder / "bed.toml", kStack);
  ProcessOptions options;
  options.environment["HOLDGROUND_CACHE"] = (folder / "cache").string();
  const ProcessResult result =
      runProcess({builtProgram("holdground"), "bed", bed.string(), "--json"}, options);
  ASSERT_EQ(result.exitStatus, 0) << result.describe();
  const auto json = nlohmann::json::parse(result.output);
  ASSERT_EQ(json["layers"].size(), 3u);
  EXPECT_EQ(json["layers"][0]["name"], "soft mud");
  EXPECT_EQ(json["layers"][2]["name"], "hard pan");
  EXPECT_EQ(json["layers"][2]["hard_pan"], true);
  EXPECT_EQ(json["layers"][0]["top_m"], 0.0);
  for (const auto& layer : json["layers"])
    EXPECT_NEAR(layer["thickness_m"].get<double>(), layer["thickness_asked_m"].get<double>(), 0.05);
  const ProcessResult text = runProcess({builtProgram("holdground"), "bed", bed.string()}, options);
  EXPECT_THAT(text.output, testing::HasSubstr("hard pan"));
  EXPECT_THAT(text.output, testing::HasSubstr(", held\n"));
  EXPECT_THAT(text.output, testing::HasSubstr("asked) from 0.000 m down"));
}

TEST(Bed, OfSeveralLayersRefusesWhatIsForOneSoil) {
  const TemporaryFolder folder;
  const auto bed = writeText(folder / "bed.toml", kStack);
  ProcessOptions options;
  options.environment["HOLDGROUND_CACHE"] = (folder / "cache").string();
  const auto refused = [&](std::vector<std::string> more, const char* words) {
    std::vector<std::string> command{builtProgram("holdground"), "bed", bed.string()};
    command.insert(command.end(), more.begin(), more.end());
    const ProcessResult result = runProcess(command, options);
    EXPECT_EQ(result.exitStatus, 2) << result.describe();
    EXPECT_THAT(result.messages, testing::HasSubstr(words));
    EXPECT_EQ(std::count(result.messages.begin(), result.messages.end(), '\n'), 1);
  };
  refused({"--calibrate"}, "found a stack of layers, allowed is a bed of one soil");
  refused({"--card", "full"}, "found a stack of layers, allowed is a bed of one soil");
  writeText(folder / "bed.toml", std::string(kStack) + "depth = \"1 m\"\n");
  refused({}, "bed.toml:25:1: settling.depth: unknown key");
  EXPECT_FALSE(std::filesystem::exists(folder / "cache")) << "something was kept";
}

TEST(Bed, WithoutATargetOrOutOfReachIsNotCalibrated) {
  const TemporaryFolder folder;
  const auto calibrate = [&](const std::string& file) {
    return runHoldground({"bed", file, "--calibrate", "-o", (folder / "new.toml").string()});
  };
  const auto smoke = scenariosFolder() / "beds" / "smoke.toml";
  const ProcessResult none = calibrate(smoke.string());
  EXPECT_EQ(none.exitStatus, 2) << none.describe();
  EXPECT_THAT(none.messages, testing::HasSubstr("found no target"));
  const auto heavy =
      writeText(folder / "heavy.toml", readText(smoke) + "[target]\nunit_weight = \"30 kN/m3\"\n");
  const ProcessResult far = calibrate(heavy.string());
  EXPECT_EQ(far.exitStatus, 2) << far.describe();
  EXPECT_THAT(far.messages, testing::HasSubstr("found 30 kN/m3, allowed is "));
  EXPECT_FALSE(std::filesystem::exists(folder / "new.toml"));
}

}  // namespace holdground
