#pragma once
// Small pulls through the real programs, for end-to-end tests. Beds go to one cache inside the
// build folder, so that each is settled once for all tests.

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/support/process.hpp"

namespace holdground {

/// Where the shipped scenario files are.
std::filesystem::path scenariosFolder();

/// Writes a trial like the smoke trial (its bed, the shipped anchor) with a pull of another
/// distance ("0.3 m") into a folder; returns its path.
std::filesystem::path writeShortTrial(const std::filesystem::path& folder,
                                      const std::string& distance);

/// Runs `holdground` with these arguments, one thread unless they say more.
ProcessResult runHoldground(std::vector<std::string> arguments);

/// As runHoldground, but leaves it running.
class RunningHoldground : public Process {
 public:
  explicit RunningHoldground(std::vector<std::string> arguments);
};

/// The measures in summary.json of a run's folder: each has "value", "unit", "meaning". Throws when
/// there is no such file or it cannot be parsed.
nlohmann::json readSummary(const std::filesystem::path& run);

}  // namespace holdground
