#include "scenarios/cli/progress.hpp"

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "solver/core/units.hpp"

namespace holdground {
namespace {

constexpr double kRedrawInterval = 0.25;  // [s]
constexpr double kPlainInterval = 10.0;   // [s]
constexpr std::size_t kLineWidth = 79;    // a longer one would wrap and no longer redraw in place

double wallTime() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

}  // namespace

ProgressStyle progressStyleOfStandardError() {
  return isatty(STDERR_FILENO) ? ProgressStyle::kTerminal : ProgressStyle::kPlain;
}

std::string durationText(double seconds) {
  const auto whole = static_cast<long long>(std::ceil(std::clamp(seconds, 0.0, 1.0e12)));
  const auto pair = [](long long big, const char* bigUnit, long long small, const char* smallUnit) {
    std::string text = std::to_string(big) + " " + bigUnit;
    return small == 0 ? text : text + " " + std::to_string(small) + " " + smallUnit;
  };
  if (whole < 60) return std::to_string(whole) + " s";
  if (whole < 3600) return pair(whole / 60, "min", whole % 60, "s");
  return pair(whole / 3600, "h", whole % 3600 / 60, "min");
}

Progress::Progress(std::ostream& stream, ProgressStyle style, std::string what, double from,
                   double until, ProgressEnd end)
    : stream_(stream),
      style_(style),
      what_(std::move(what)),
      from_(from),
      until_(until),
      end_(end),
      simulated_(from) {
  useClock(wallTime);
}

Progress::~Progress() {
  if (lineOpen_) stream_ << std::endl;
}

void Progress::useClock(std::function<double()> clock) {
  clock_ = std::move(clock);
  started_ = lastDrawn_ = clock_();
}

void Progress::update(double simulatedTime, std::uint64_t grainSteps) {
  simulated_ = simulatedTime;
  grainSteps_ = grainSteps;
  const double interval = style_ == ProgressStyle::kTerminal ? kRedrawInterval : kPlainInterval;
  const double now = clock_();
  if (now - lastDrawn_ < interval) return;
  lastDrawn_ = now;
  draw();
}

void Progress::finish() {
  draw();
  if (lineOpen_) stream_ << std::endl;
  lineOpen_ = false;
}

void Progress::draw() {
  if (style_ == ProgressStyle::kTerminal) {
    stream_ << '\r' << line().substr(0, kLineWidth) << "\x1b[K" << std::flush;
    lineOpen_ = true;
  } else {
    stream_ << line() << std::endl;
  }
}

std::string Progress::line() const {
  const double elapsed = clock_() - started_;
  const double done = simulated_ - from_;
  std::string text = what_;
  const bool isKnown = end_ == ProgressEnd::kKnown;
  if (isKnown) {
    const double share = std::clamp(simulated_ / until_, 0.0, 1.0);
    text.append(" ").append(std::to_string(static_cast<int>(100.0 * share))).append(" %: ");
    text += formatNumber(simulated_, 3) + " of " + formatNumber(until_, 3) + " s";
  } else {
    text += ": " + formatNumber(simulated_, 3) + " of at most " + formatNumber(until_, 3) + " s";
  }
  if (elapsed > 0.0 && grainSteps_ > 0) {
    text += ", " + formatNumber(static_cast<double>(grainSteps_) / elapsed / 1e6, 3) +
            " million grain-steps/s";
  }
  if (isKnown && done > 0.0) {
    text += ", " + durationText(elapsed / done * (until_ - simulated_)) + " left";
  }
  return text;
}

}  // namespace holdground
