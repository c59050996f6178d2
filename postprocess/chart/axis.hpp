#pragma once
// One axis of a chart: a range of readings, the round numbers on it, and where they fall in pixels.
// Checked by: tests/unit/chart/axis_test.cpp

#include <string>
#include <vector>

namespace holdground {

struct Range {
  double low = 0.0;
  double high = 1.0;

  double span() const { return high - low; }
};

/// The smallest range that holds every finite value; 0 .. 0 when there is none.
Range rangeOf(const std::vector<double>& values);

/// The smallest range that holds both.
Range joined(const Range& a, const Range& b);

/// Steps of 1, 2, 2.5 or 5 times a power of ten.
/// @param aim  about how many steps a range should have, at least 1
double roundStep(double span, int aim);

class Axis {
 public:
  /// Widens the range to whole steps; an empty range becomes one step wide.
  /// @param lowPixel, highPixel  where the low and the high end fall [px]
  Axis(const Range& range, int aim, double lowPixel, double highPixel);

  double pixel(double reading) const;
  const Range& range() const { return range_; }
  /// Round numbers from the low end to the high end.
  std::vector<double> ticks() const;
  /// A tick with just the decimals its step needs.
  std::string text(double tick) const;

 private:
  Range range_;
  double step_;
  double lowPixel_;
  double highPixel_;
};

}  // namespace holdground
