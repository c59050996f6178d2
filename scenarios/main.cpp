// holdground: the main program. Everything it does is in scenarios/cli and scenarios/run.

#include <cstdlib>
#include <iostream>
#include <string>
#include <vector>

#include "scenarios/cli/command_line.hpp"
#include "scenarios/cli/last_resort.hpp"
#include "scenarios/cli/threads.hpp"
#include "scenarios/cli/view_program.hpp"
#include "scenarios/run/run.hpp"

int main(int argc, char** argv) {
  using namespace holdground;
  restartWithPatientThreads(argv);
  endAtOnceWhenNothingElseHelps();
  Engine engine;
  engine.survey = runSurvey;
  engine.bed = runBed;
  engine.pull = runPull;
  engine.probe = runProbe;
  engine.view = becomeViewProgram;
  const int status =
      runGuarded(std::vector<std::string>(argv + 1, argv + argc), engine, std::cout, std::cerr);
  // After a failure of the machine libraries may hang while they close what is open.
  if (status == kSystemFault) std::_Exit(status);
  return status;
}
