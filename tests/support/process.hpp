#pragma once
// Runs a program as a person would and keeps what it printed. Nothing is left running: the
// destructor and the time limit kill the program with everything it started.

#include <sys/types.h>

#include <chrono>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "tests/support/temporary_folder.hpp"

namespace holdground {

struct ProcessOptions {
  std::filesystem::path directory;                 ///< to run in; the caller's when empty
  std::map<std::string, std::string> environment;  ///< added to the caller's
  std::chrono::milliseconds limit = std::chrono::minutes(5);  ///< of wall time, then it is killed
};

struct ProcessResult {
  int exitStatus = -1;  ///< -1 when a signal ended it
  int signal = 0;       ///< that ended it; 0 when it exited
  bool timedOut = false;
  double wallSeconds = 0.0;
  std::string output;    ///< standard output
  std::string messages;  ///< standard error

  /// Everything about the run, for a failing test to print.
  std::string describe() const;
};

class Process {
 public:
  /// Starts `arguments[0]` (searched in PATH) with no standard input.
  explicit Process(std::vector<std::string> arguments, ProcessOptions options = {});
  ~Process();
  Process(const Process&) = delete;
  Process& operator=(const Process&) = delete;

  bool running();
  void sendSignal(int signal) const;
  /// Waits for the end (at most the limit counted from the start) and collects the result.
  ProcessResult wait();
  /// What it has printed on standard output and standard error so far.
  std::string outputSoFar() const { return readText(folder_ / "out"); }
  std::string messagesSoFar() const { return readText(folder_ / "err"); }

 private:
  using Clock = std::chrono::steady_clock;

  TemporaryFolder folder_;
  ProcessOptions options_;
  Clock::time_point start_;
  Clock::time_point end_;
  pid_t pid_ = -1;
  int waitStatus_ = 0;
  bool ended_ = false;
  bool timedOut_ = false;
};

ProcessResult runProcess(std::vector<std::string> arguments, ProcessOptions options = {});

/// A program of this build, by name: "holdground", "holdground-view".
std::string builtProgram(const std::string& name);

}  // namespace holdground
