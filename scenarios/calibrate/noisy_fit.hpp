#pragma once
// Least squares for something that is slow to measure and scatters: stops within the noise.
//
// Levenberg-Marquardt (Eigen's, after More 1978) on (measured - wanted)/tolerance. Departs: slopes
// are those of a plane through the trials near by, or differences over a whole `step`, many times
// the scatter; parameters are kept in their range and on their grid, so that what is found can be
// written down as measured; a weak pull toward `home` picks, of all that meet the targets, what
// changes least. Nothing is measured twice. Promises: the same result for the same measurements.
// Checked by: tests/unit/scenarios/noisy_fit_test.cpp

#include <functional>
#include <span>
#include <vector>

#include "solver/probe/strength.hpp"

namespace holdground {

struct FitParameter {
  double home;       ///< what it is pulled to, weakly
  double low, high;  ///< its range
  double step;       ///< of differences: large enough to be seen above the scatter
  double grid;       ///< it is a whole multiple of this, or an end of its range
};

struct FitTarget {
  double wanted;
  double tolerance;  ///< close enough; or the standard error if larger, up to two tolerances

  /// Over what is close enough: 1 and less is met.
  double distance(const Estimate& measured) const;
  bool isMetBy(const Estimate& measured) const { return distance(measured) <= 1.0; }
};

/// One measurement for each target.
using Measure = std::function<std::vector<Estimate>(std::span<const double> parameters)>;

/// What was measured before the search.
struct KnownTrial {
  std::vector<double> parameters;
  std::vector<Estimate> measured;
};

enum class FitEnd { kMet, kStalled, kOutOfTrials };

/// The best that was measured: least sum of squares over tolerances.
struct Fit {
  std::vector<double> parameters;
  std::vector<Estimate> measured;
  int trials = 0;  ///< measured by the search
  FitEnd end = FitEnd::kStalled;
};

/// Begins at the best of the known trials, or at home when there is none.
Fit fitNoisy(std::span<const FitParameter> parameters, std::span<const FitTarget> targets,
             const Measure& measure, int mostTrials, std::span<const KnownTrial> known = {});

/// The value on the grid and in the range that is nearest.
double onGrid(const FitParameter& parameter, double value);

}  // namespace holdground
