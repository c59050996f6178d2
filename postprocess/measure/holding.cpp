#include "postprocess/measure/holding.hpp"

#include <algorithm>
#include <cmath>
#include <deque>

#include "postprocess/measure/percentile.hpp"

namespace holdground {
namespace {

/// Least value of a column over a window of samples that only moves forward.
class SlidingMinimum {
 public:
  void push(std::size_t index, double value) {
    while (!candidates_.empty() && candidates_.back().value >= value) candidates_.pop_back();
    candidates_.push_back({index, value});
  }
  void dropBefore(std::size_t index) {
    while (!candidates_.empty() && candidates_.front().index < index) candidates_.pop_front();
  }
  double value() const { return candidates_.front().value; }

 private:
  struct Candidate {
    std::size_t index;
    double value;
  };
  std::deque<Candidate> candidates_;
};

}  // namespace

std::optional<SpeedHolding> holdingAtSpeed(const std::vector<SeriesRow>& series) {
  if (series.empty() || series.back().time < 0.0) return std::nullopt;
  const double begin = series.back().drift - kAveragedDrift;
  std::size_t first = series.size() - 1;
  while (first > 0 && series[first - 1].drift >= begin && series[first - 1].time >= 0.0) --first;

  SpeedHolding holding;
  holding.firstSample = first;
  holding.averagedDrift = std::max(0.0, series.back().drift - series[first].drift);
  std::vector<double> loads;
  for (std::size_t k = first; k < series.size(); ++k) loads.push_back(series[k].horizontalLoad);
  holding.mean = mean(loads);
  const double halfway = series[first].drift + 0.5 * holding.averagedDrift;
  std::vector<double> earlier, later;
  for (std::size_t k = first; k < series.size(); ++k)
    (series[k].drift < halfway ? earlier : later).push_back(series[k].horizontalLoad);
  holding.laterMean = mean(later);
  holding.earlierMean = earlier.empty() ? holding.laterMean : mean(earlier);
  holding.percentile90 = percentile(loads, 0.9);
  const auto peak = std::max_element(
      series.begin(), series.end(),
      [](const SeriesRow& a, const SeriesRow& b) { return a.horizontalLoad < b.horizontalLoad; });
  holding.peak = peak->horizontalLoad;
  holding.peakDrift = peak->drift;
  return holding;
}

std::optional<double> heldLoad(const std::vector<SeriesRow>& series, double duration,
                               double drift) {
  if (series.size() < 2) return std::nullopt;
  // A load kept for exactly `duration` meets this many samples for certain, wherever they fall.
  // Sums of time steps may fall short of a round duration by their rounding.
  // The first row and the last may lie nearer to their neighbours than the others.
  double interval = series[1].trialTime - series[0].trialTime;
  if (series.size() > 2) interval = std::max(interval, series[2].trialTime - series[1].trialTime);
  const double samples = std::max(2.0, std::floor(duration / interval * (1.0 + 1e-9)));
  const double needed = (samples - 1.0) * interval * (1.0 - 1e-9);
  SlidingMinimum load, driftMinimum, minusDriftMinimum;
  std::optional<double> best;
  std::size_t next = 0;
  for (std::size_t first = 0; first < series.size(); ++first) {
    while (next < series.size() &&
           (next <= first || series[next - 1].trialTime - series[first].trialTime < needed)) {
      load.push(next, series[next].horizontalLoad);
      driftMinimum.push(next, series[next].drift);
      minusDriftMinimum.push(next, -series[next].drift);
      ++next;
    }
    if (series[next - 1].trialTime - series[first].trialTime < needed) break;
    for (auto* window : {&load, &driftMinimum, &minusDriftMinimum}) window->dropBefore(first);
    const double change = -minusDriftMinimum.value() - driftMinimum.value();
    if (change < drift && load.value() > best.value_or(0.0)) best = load.value();
  }
  return best;
}

}  // namespace holdground
