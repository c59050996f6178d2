#include "tests/support/trial_run.hpp"

#include <fmt/format.h>

#include <utility>

namespace holdground {
namespace {

ProcessOptions testOptions() {
  ProcessOptions options;
  options.limit = std::chrono::minutes(10);
  options.environment = {
      {"HOLDGROUND_CACHE", (std::filesystem::path(HOLDGROUND_BINARY_DIR) / "test-cache").string()},
      // Threads that wait by spinning would starve what else the machine does.
      {"OMP_WAIT_POLICY", "passive"}};
  return options;
}

std::vector<std::string> commandLine(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), builtProgram("holdground"));
  return arguments;
}

}  // namespace

std::filesystem::path scenariosFolder() {
  return std::filesystem::path(HOLDGROUND_SOURCE_DIR) / "scenarios";
}

std::filesystem::path writeShortTrial(const std::filesystem::path& folder,
                                      const std::string& distance) {
  const std::string text = fmt::format(
      "name = \"Short pull for a test\"\n"
      "bed = \"{0}/beds/smoke.toml\"\n"
      "anchor = \"{0}/anchors/scoop-20kg.toml\"\n"
      "[tiles]\nalong = 1\nacross = 1\n"
      "[pull]\nmode = \"speed\"\nspeed = \"1 m/s\"\ndistance = \"{1}\"\nsettle_time = \"0.05 s\"\n"
      "start_time = \"0.02 s\"\n"
      "[output]\nframe_interval = \"20 ms\"\n"
      "checkpoint_interval = \"50 ms\"\n",
      scenariosFolder().string(), distance);
  return writeText(folder / "short.toml", text);
}

ProcessResult runHoldground(std::vector<std::string> arguments) {
  return runProcess(commandLine(std::move(arguments)), testOptions());
}

RunningHoldground::RunningHoldground(std::vector<std::string> arguments)
    : Process(commandLine(std::move(arguments)), testOptions()) {}

nlohmann::json readSummary(const std::filesystem::path& run) {
  return nlohmann::json::parse(readText(run / "summary.json")).at("measures");
}

}  // namespace holdground
