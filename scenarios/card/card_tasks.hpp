#pragma once
// Probes of a card run side by side, each on one thread, with one line on stderr for all.

#include <functional>
#include <string>
#include <vector>

#include "solver/probe/shear_cell.hpp"

namespace holdground {

/// One probe: how much simulated time it takes, about, weighted by its grains, and the run.
struct CardTask {
  double time;  ///< [s]
  std::function<void(const ProbeProgress&)> run;
};

/// Runs the tasks on as many threads as there are. The first fault is thrown once all have ended; a
/// bed that flies apart is an InputError.
/// @param what  names the line.
void runCardTasks(const std::vector<CardTask>& tasks, const std::string& what = "card");

}  // namespace holdground
