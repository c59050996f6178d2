#include "scenarios/card/card_tasks.hpp"

#include <exception>
#include <iostream>
#include <mutex>
#include <string>

#include "scenarios/cli/progress.hpp"
#include "solver/core/errors.hpp"

namespace holdground {

void runCardTasks(const std::vector<CardTask>& tasks, const std::string& what) {
  double whole = 0.0;
  for (const CardTask& task : tasks) whole += task.time;
  Progress line(std::cerr, progressStyleOfStandardError(), what, 0.0, whole);
  std::mutex guard;
  std::vector<double> done(tasks.size(), 0.0);
  std::vector<std::uint64_t> steps(tasks.size(), 0);
  std::exception_ptr fault;
#pragma omp parallel for schedule(dynamic, 1)
  for (std::size_t k = 0; k < tasks.size(); ++k) {
    try {
      tasks[k].run([&](double share, std::uint64_t grainSteps) {
        const std::lock_guard lock(guard);
        done[k] = share * tasks[k].time;
        steps[k] = grainSteps;
        double time = 0.0;
        std::uint64_t all = 0;
        for (std::size_t m = 0; m < tasks.size(); ++m) {
          time += done[m];
          all += steps[m];
        }
        line.update(time, all);
      });
    } catch (...) {
      const std::lock_guard lock(guard);
      if (!fault) fault = std::current_exception();
    }
  }
  line.finish();
  if (!fault) return;
  try {
    std::rethrow_exception(fault);
  } catch (const SimulationError& error) {
    throw SimulationError(std::string("bed: flew apart in a probe: ") + error.what());
  }
}

}  // namespace holdground
