#pragma once
// Small valid scenario files (invented data) for tests to write, change and break.

#include <filesystem>
#include <string>

#include "solver/core/errors.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {

inline constexpr const char* kBedText = R"(name = "test sand"
note = "invented"
[grains]
smallest_diameter = "36 mm"
largest_diameter = "44 mm"
friction = 0.5
[tile]
length = "1.6 m"
width = "1.3 m"
depth = "0.8 m"
)";

inline constexpr const char* kPatternAnchorText = R"(name = "test scoop"
type = "scoop"
[pattern]
fluke_length = "420 mm"
)";

inline constexpr const char* kPartAnchorText = R"(name = "test plate"
[[part]]
name = "plate"
role = "fluke"
mesh = "plate.stl"
unit = "mm"
[points]
shackle = ["0.5 m", "0 m", "0.2 m"]
toe = ["0.4 m", "0 m", "0 m"]
heel = ["0 m", "0 m", "0 m"]
)";

inline constexpr const char* kTrialText = R"(name = "test pull"
bed = "bed.toml"
anchor = "anchor.toml"
[pull]
mode = "speed"
speed = "0.4 m/s"
)";

inline constexpr const char* kLoadTrialText = R"(name = "test load"
bed = "bed.toml"
anchor = "anchor.toml"
[pull]
mode = "load"
schedule = "staircase"
steps = ["500 N", "1 kN", "300 lbf"]
)";

inline constexpr const char* kProbeText = R"(name = "test probe"
bed = "bed.toml"
[[body]]
name = "lid"
shape = "plate"
length = "0.3 m"
width = "0.2 m"
thickness = "20 mm"
mass = "20 kg"
damping = "100 N s/m"
position = ["0 m", "0 m", "0.1 m"]
[[body]]
name = "pipe"
shape = "tube"
diameter = "0.25 m"
height = "0.4 m"
thickness = "30 mm"
position = ["0.4 m", "0 m", "0 m"]
[[phase]]
name = "press"
duration = "0.5 s"
[[phase.move]]
body = "lid"
force_z = "-500 N"
[[phase]]
name = "turn"
duration = "1 s"
[[phase.move]]
body = "lid"
spin_z = "180 deg/s"
[[phase.move]]
body = "pipe"
remove = true
)";

/// A folder with bed.toml, anchor.toml, trial.toml, probe.toml and plate.stl.
class ScenarioFolder {
 public:
  ScenarioFolder();

  std::filesystem::path bed() const { return folder_ / "bed.toml"; }
  std::filesystem::path anchor() const { return folder_ / "anchor.toml"; }
  std::filesystem::path trial() const { return folder_ / "trial.toml"; }
  std::filesystem::path probe() const { return folder_ / "probe.toml"; }

  void writeBed(const std::string& text) const { writeText(bed(), text); }
  void writeAnchor(const std::string& text) const { writeText(anchor(), text); }
  void writeTrial(const std::string& text) const { writeText(trial(), text); }
  void writeProbe(const std::string& text) const { writeText(probe(), text); }

 private:
  TemporaryFolder folder_;
};

/// `text` with the only occurrence of `from` replaced; an error when there is none or several.
std::string replaced(std::string text, const std::string& from, const std::string& to);

/// What an InputError says; empty when there is none.
template <class Call>
std::string inputFault(Call call) {
  try {
    call();
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

/// `fault` without the folder in front of the file's name.
std::string withoutFolder(const std::string& fault);

}  // namespace holdground
