#include "postprocess/chart/axis.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace holdground {
namespace {

// Whole steps are found to this fraction of a step, so that 0.3 / 0.1 counts as 3.
constexpr double kStepSlack = 1e-6;

}  // namespace

Range rangeOf(const std::vector<double>& values) {
  Range range{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  for (const double value : values) {
    if (!std::isfinite(value)) continue;
    range.low = std::min(range.low, value);
    range.high = std::max(range.high, value);
  }
  return range.low <= range.high ? range : Range{0.0, 0.0};
}

Range joined(const Range& a, const Range& b) {
  return {std::min(a.low, b.low), std::max(a.high, b.high)};
}

double roundStep(double span, int aim) {
  const double raw = span / std::max(aim, 1);
  if (!(raw > 0.0) || !std::isfinite(raw)) return 1.0;
  const double power = std::pow(10.0, std::floor(std::log10(raw)));
  for (const double step : {1.0, 2.0, 2.5, 5.0}) {
    if (step * power >= raw * (1.0 - kStepSlack)) return step * power;
  }
  return 10.0 * power;
}

Axis::Axis(const Range& range, int aim, double lowPixel, double highPixel)
    : step_(roundStep(range.span(), aim)), lowPixel_(lowPixel), highPixel_(highPixel) {
  range_.low = step_ * std::floor(range.low / step_ + kStepSlack);
  range_.high = step_ * std::ceil(range.high / step_ - kStepSlack);
  if (!(range_.high > range_.low)) range_.high = range_.low + step_;
}

double Axis::pixel(double reading) const {
  return lowPixel_ + (reading - range_.low) / range_.span() * (highPixel_ - lowPixel_);
}

std::vector<double> Axis::ticks() const {
  const int count = static_cast<int>(std::lround(range_.span() / step_));
  std::vector<double> ticks;
  for (int k = 0; k <= count; ++k) ticks.push_back(range_.low + k * step_);
  return ticks;
}

std::string Axis::text(double tick) const {
  int decimals = 0;
  double scaled = step_;
  while (decimals < 9 && std::abs(scaled - std::round(scaled)) > kStepSlack * scaled) {
    scaled *= 10.0;
    ++decimals;
  }
  const double value = std::abs(tick) < 0.5 * step_ ? 0.0 : tick;
  // A real minus sign, as wide as a plus.
  return fmt::format("{}{:.{}f}", value < 0.0 ? "−" : "", std::abs(value), decimals);
}

}  // namespace holdground
