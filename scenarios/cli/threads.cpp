#include "scenarios/cli/threads.hpp"

#include <fmt/format.h>
#include <omp.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <system_error>
#include <thread>
#include <vector>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

/// Starts them all at once, to see whether the machine lets us, and lets them go again.
void checkThatStart(int threads) {
  std::atomic<bool> seen = false;
  std::vector<std::thread> tried;
  std::string reason;
  try {
    while (static_cast<int>(tried.size()) < threads - 1)
      tried.emplace_back([&seen] { seen.wait(false); });
  } catch (const std::system_error& error) {
    reason = error.code().message();
  }
  seen = true;
  seen.notify_all();
  for (std::thread& thread : tried) thread.join();
  if (reason.empty()) return;
  throw SystemError(
      fmt::format("only {} of {} threads can be started: {}; use fewer with --threads",
                  tried.size() + 1, threads, reason));
}

}  // namespace

int availableCores() {
  int cores = omp_get_num_procs();                // by affinity
  std::ifstream share("/sys/fs/cgroup/cpu.max");  // "QUOTA PERIOD" [us], or "max PERIOD"
  double quota = 0.0, period = 0.0;
  if (share >> quota >> period && quota > 0.0 && period > 0.0)
    cores = std::min(cores, static_cast<int>(std::ceil(quota / period)));
  return std::max(1, cores);
}

std::string useThreads(int wished) {
  const int cores = availableCores();
  if (wished > 0)
    omp_set_num_threads(wished);
  else if (std::getenv("OMP_NUM_THREADS") == nullptr)
    omp_set_num_threads(cores);
  const int threads = omp_get_max_threads();
  checkThatStart(threads);
  if (threads <= cores) return "";
  return fmt::format("{} threads on {} available core{}: slower than {}", threads, cores,
                     cores == 1 ? "" : "s", cores);
}

void restartWithPatientThreads(char** arguments) {
  for (const char* known : {"OMP_WAIT_POLICY", "GOMP_SPINCOUNT"})
    if (std::getenv(known) != nullptr) return;
  // By its real path: the last name of what is started is what people see in a list of processes.
  std::error_code failed;
  const auto program = std::filesystem::read_symlink("/proc/self/exe", failed);
  if (failed || setenv("GOMP_SPINCOUNT", "1000", 1) != 0) return;
  execv(program.c_str(), arguments);
}

}  // namespace holdground
