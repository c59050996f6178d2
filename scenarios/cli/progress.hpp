#pragma once
// The line that says how far a run is: "pull 14 %: 1.2 of 8.5 s, 31.2 million grain-steps/s, 2 min
// 20 s left", "settle: 1.2 of at most 60 s, ...". Redrawn in place on a terminal, a plain line
// every ten seconds elsewhere. Checked by tests/unit/scenarios/progress_test.cpp.

#include <cstdint>
#include <functional>
#include <ostream>
#include <string>

namespace holdground {

enum class ProgressStyle { kTerminal, kPlain };

/// What is known of the end of a run: when it is, or only the latest it can be.
enum class ProgressEnd { kKnown, kLatest };

/// Terminal when standard error is one.
ProgressStyle progressStyleOfStandardError();

/// "9 s", "2 min 20 s", "3 h 5 min".
std::string durationText(double seconds);

class Progress {
 public:
  /// @param what "pull", "settle". @param from simulated time at which this session starts [s].
  /// @param until simulated time at which the run is over [s], or over at the latest.
  Progress(std::ostream& stream, ProgressStyle style, std::string what, double from, double until,
           ProgressEnd end = ProgressEnd::kKnown);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  /// Call as often as you like: draws when it is time to.
  /// @param simulatedTime reached [s]. @param grainSteps done in this session.
  void update(double simulatedTime, std::uint64_t grainSteps);

  /// Draws the last state and ends the line, so that what is printed next has its own.
  void finish();

  /// Replaces the clock [s], for tests.
  void useClock(std::function<double()> clock);

 private:
  void draw();
  std::string line() const;

  std::ostream& stream_;
  ProgressStyle style_;
  std::string what_;
  double from_, until_;
  ProgressEnd end_;
  std::function<double()> clock_;
  double started_ = 0.0;    // [s]
  double lastDrawn_ = 0.0;  // [s]
  double simulated_;        // [s]
  std::uint64_t grainSteps_ = 0;
  bool lineOpen_ = false;
};

}  // namespace holdground
