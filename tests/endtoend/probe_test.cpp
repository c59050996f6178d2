// The probe verb on the smoke bed: what it writes, and that it is the same again.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/support/trial_run.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

std::filesystem::path writeProbe(const std::filesystem::path& folder, const std::string& place) {
  const std::string bed = (scenariosFolder() / "beds" / "smoke.toml").string();
  return writeText(folder / "probe.toml", "name = \"smoke probe\"\nbed = \"" + bed + R"("
[[body]]
name = "plate"
shape = "plate"
length = "0.3 m"
width = "0.3 m"
thickness = "30 mm"
position = )" + place + R"(
[[body]]
name = "tube"
shape = "tube"
diameter = "0.25 m"
height = "0.3 m"
thickness = "20 mm"
position = ["0.5 m", "0.4 m", "0 m"]
[[phase]]
name = "rest"
duration = "50 ms"
[[phase]]
name = "pull"
duration = "0.1 s"
[[phase.move]]
body = "plate"
velocity_z = "0.2 m/s"
[[phase.move]]
body = "tube"
remove = true
)");
}

std::string contentOf(const std::filesystem::path& path) {
  std::ostringstream text;
  text << std::ifstream(path).rdbuf();
  return text.str();
}

}  // namespace

TEST(Probe, WritesItsResultsAndGivesTheSameBitsOnMoreThreads) {
  const TemporaryFolder folder;
  const auto file = writeProbe(folder.path(), R"(["0 m", "0 m", "-0.2 m"])").string();
  std::vector<nlohmann::json> summaries;
  for (const std::string threads : {"1", "2"}) {
    const auto out = folder / ("out" + threads);
    const ProcessResult result =
        runHoldground({"probe", file, "-o", out.string(), "--json", "--threads", threads});
    ASSERT_EQ(result.exitStatus, 0) << result.describe();
    EXPECT_EQ(contentOf(out / "summary.json"), result.output);
    EXPECT_THAT(result.messages, HasSubstr("grain-steps/s"));
    summaries.push_back(nlohmann::json::parse(result.output));
  }
  const auto& summary = summaries[0];
  EXPECT_EQ(summary["measures"]["state_hash"], summaries[1]["measures"]["state_hash"]);
  EXPECT_EQ(contentOf(folder / "out1" / "probe.csv"), contentOf(folder / "out2" / "probe.csv"));
  EXPECT_EQ(summary["end"], "done");
  const auto& phases = summary["phases"];
  ASSERT_EQ(phases.size(), 2u);
  EXPECT_TRUE(phases[0]["bodies"].contains("tube"));
  EXPECT_FALSE(phases[1]["bodies"].contains("tube"));
  EXPECT_LT(phases[1]["bodies"]["plate"]["force_z"]["mean"].get<double>(), -20.0);
  EXPECT_GT(summary["bed"]["taken_out"]["plate"].get<int>(), 3);
  EXPECT_LT(std::abs(summary["measures"]["energy_residual_share"]["value"].get<double>()), 0.01);
  EXPECT_THAT(contentOf(folder / "out1" / "results.txt"), HasSubstr("pull, plate"));

  const ProcessResult again = runHoldground({"probe", file, "-o", (folder / "out1").string()});
  EXPECT_EQ(again.exitStatus, 2);
  EXPECT_THAT(again.messages, HasSubstr("holds probe.csv already"));
}

TEST(Probe, RefusesABodyInTheHeldBottomAndLeavesNothing) {
  const TemporaryFolder folder;
  const auto file = writeProbe(folder.path(), R"(["0 m", "0 m", "-0.5 m"])").string();
  const ProcessResult result = runHoldground({"probe", file, "-o", (folder / "out").string()});
  EXPECT_EQ(result.exitStatus, 2) << result.describe();
  EXPECT_THAT(result.messages, HasSubstr("body[1].position: plate reaches into the bed's held"));
  EXPECT_THAT(result.messages, testing::ContainsRegex("\\.toml:[0-9]+:[0-9]+: body"));
  EXPECT_FALSE(std::filesystem::exists(folder / "out"));
}

}  // namespace holdground
