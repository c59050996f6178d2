#include "tests/support/scenario_texts.hpp"

#include <stdexcept>

namespace holdground {

ScenarioFolder::ScenarioFolder() {
  writeBed(kBedText);
  writeAnchor(kPatternAnchorText);
  writeTrial(kTrialText);
  writeProbe(kProbeText);
  writeText(folder_ / "plate.stl", "solid plate\nendsolid plate\n");
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  if (at == std::string::npos || text.find(from, at + 1) != std::string::npos) {
    throw std::logic_error("not exactly once in the text: " + from);
  }
  return text.replace(at, from.size(), to);
}

std::string withoutFolder(const std::string& fault) {
  const auto end = fault.find(".toml");
  const auto slash = fault.rfind('/', end);
  return slash == std::string::npos ? fault : fault.substr(slash + 1);
}

}  // namespace holdground
