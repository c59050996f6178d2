#pragma once
// The one definition of a percentile.
//
// Source: Hyndman & Fan 1996, definition 7: linear between order statistics, so that the least
// value is the 0th and the greatest the 100th percentile.
// Checked by: tests/unit/measure/percentile_test.cpp

#include <vector>

namespace holdground {

/// Percentile of `values` at `share` in [0, 1]; in the unit of the values. Not a number when empty.
double percentile(std::vector<double> values, double share);

/// Not a number when empty.
double mean(const std::vector<double>& values);

}  // namespace holdground
