#pragma once
// From the figures a bed is to measure to the grains that measure them.
//
// The friction angle and the slope of a cut free friction and rolling friction; strength frees the
// pull-off stress; unit weight sets the density from the solid fraction. What the ends of the
// ranges measure says whether a target can be reached at all. The search runs on quick
// measurements; what it finds is measured as the card does, and a difference between the two
// shifts the search, at most kRounds - 1 times. Stiffness, grain size and damping are the model's
// and not the ground's: what is found is measured once more with each of them changed.
// Departs: how a figure is measured is the caller's, so that tests can stand in for it.
// Checked by: tests/unit/scenarios/calibrate_bed_test.cpp

#include <functional>
#include <span>
#include <string>
#include <vector>

#include "scenarios/calibrate/contact_parameters.hpp"
#include "solver/probe/strength.hpp"

namespace holdground {

inline constexpr int kRounds = 3;
inline constexpr int kMostTrials = 24;  ///< of one search

struct Measurement {
  std::vector<Estimate> figures;  ///< in the order asked for, SI
  bool isRemembered = false;      ///< from an earlier run
};
using MeasureBed =
    std::function<Measurement(const ContactParameters& parameters, std::span<const Figure>)>;

/// A trial of an earlier calibration that measured all figures with a target but unit weight.
struct EarlierTrial {
  ContactParameters parameters;
  std::vector<Estimate> figures;
};

/// The full measurement of a bed with one thing of the model changed.
struct Variant {
  std::string change;  ///< "twice the stiffness", ...
  MeasureBed measure;
};

struct Bench {
  MeasureBed quick;  ///< for the search
  MeasureBed full;   ///< as the bed card measures
  std::vector<Variant> variants;
  double solidFraction = 0.0;  ///< of the bed as its file has it
  std::vector<EarlierTrial> earlier;
};

struct TargetResult {
  Figure figure;
  double wanted = 0.0;  ///< SI
  Estimate measured;    ///< by the full measurement
  double residual() const { return measured.mean - wanted; }
  bool isMet() const;  ///< within toleranceOf, whatever its error
};

/// What a variant of the bed that was found measures.
struct VariantResult {
  std::string change;
  std::vector<Estimate> figures;  ///< in the order of the targets; none if it could not be measured
};

struct Calibration {
  ContactParameters found;
  std::vector<TargetResult> targets;
  std::vector<VariantResult> variants;
  int measured = 0;    ///< trials run now, quick and full
  int remembered = 0;  ///< trials that were known
};

/// How near a figure has to come, SI: 0.5 deg, 2.5 % of a strength, 0.5 % of a weight, 1 deg of
/// repose; the standard error where that is larger.
double toleranceOf(Figure figure, double wanted);

/// Whether a variant measures the same within the tolerance or twice the standard error of the
/// difference.
bool isSteady(const TargetResult& target, const Estimate& variant);

/// @param say  gets a line for each trial. InputError when there is no target, one is out of reach
///   (with the range that was measured), or they cannot be met together.
/// What is found may miss by up to twice the tolerance or standard error: see TargetResult::isMet.
Calibration calibrate(const BedRecipe& bed, const Bench& bench,
                      const std::function<void(const std::string&)>& say);

}  // namespace holdground
