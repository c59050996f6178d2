#pragma once
// The verbs of holdground: reads the command line and the scenario files, then calls the engine.
// Checked by tests/unit/scenarios/command_line_test.cpp.

#include <functional>
#include <iosfwd>
#include <string>
#include <vector>

#include "scenarios/run/run.hpp"

namespace holdground {

/// What the verbs hand over to.
struct Engine {
  std::function<int(const AnchorSpec&, const SurveyOptions&)> survey;
  std::function<int(const BedRecipe&, const BedOptions&)> bed;
  std::function<int(const TrialSpec&, const PullOptions&)> pull;
  std::function<int(const ProbeSpec&, const ProbeOptions&)> probe;
  std::function<void(const std::vector<std::string>&)> view;
};

/// Runs the verb in `arguments` (without the program's name). Help, version and keys go to `out`.
/// Wrong usage and wrong files leave as InputError. Returns the exit status.
int runCommandLine(const std::vector<std::string>& arguments, const Engine& engine,
                   std::ostream& out);

/// runCommandLine with every exception turned into one line on `err` and an exit status.
int runGuarded(const std::vector<std::string>& arguments, const Engine& engine, std::ostream& out,
               std::ostream& err);

}  // namespace holdground
