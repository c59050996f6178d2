#include "scenarios/calibrate/calibrate_bed.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <set>
#include <tuple>

#include "scenarios/calibrate/noisy_fit.hpp"
#include "scenarios/schema/bed_file.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/types.hpp"
#include "solver/probe/cut_slope.hpp"

namespace holdground {
namespace {

constexpr double kDensityGrid = 1.0;      // [kg/m3]
constexpr double kLightest = 1.05;        // solid grains, over the water's density
constexpr double kHeaviest = 3500.0;      // [kg/m3]
constexpr double kMostFriction = 1.0;     // [-]
constexpr double kMostRolling = 0.5;      // [-]
constexpr double kMostPullOff = 200.0e3;  // [Pa]
constexpr double kSurelyInReach = 2.0;    // times the strength as it is, either way
constexpr double kAim = 0.5;  // of the tolerance: the search leaves room for the last measurement
constexpr double kAcceptedMiss = 2.0;    // of tolerance or standard error, after the last round
constexpr double kSlopeOfPullOff = 2.0;  // its step, over the strength wanted
constexpr double kShareOfPullOff = 0.3;  // its step, over its value at home

using Member = double ContactParameters::*;

/// A parameter that is free.
struct Free {
  Member member;
  FitParameter fit;
};

class Calibrator {
 public:
  Calibrator(const BedRecipe& bed, const Bench& bench,
             const std::function<void(const std::string&)>& say)
      : bed_(bed), bench_(bench), say_(say), home_(parametersOf(bed)) {
    for (const Figure figure : kFigures) {
      const auto wanted = wantedOf(bed.target, figure);
      if (!wanted) continue;
      all_.push_back(figure);
      if (figure == Figure::kUnitWeight) continue;
      sheared_.push_back(figure);
      targets_.push_back({*wanted, toleranceOf(figure, *wanted)});
    }
    if (bed.target.unitWeight) setDensity(home_, bench.solidFraction);
    freeParameters();
  }

  Calibration run() {
    seek();
    for (const Variant& variant : bench_.variants) {
      say_(fmt::format("with {}:", variant.change));
      result_.variants.push_back({variant.change, {}});
      try {
        result_.variants.back().figures = figures(variant.measure, result_.found, all_);
      } catch (const std::exception& error) {  // what was found stands all the same
        say_(fmt::format("not measured: {}", error.what()));
      }
    }
    return result_;
  }

 private:
  void seek() {
    for (std::size_t k = 0; k < sheared_.size(); ++k) checkReach(k);
    ContactParameters now = home_;
    std::vector<FitTarget> shifted = targets_;
    if (!sheared_.empty()) {  // of weight alone the first density is a guess
      say_("as the card measures it:");
      const std::vector<Estimate> measured = figures(bench_.full, home_, all_);
      if (report(home_, measured) <= 1.0) return;
      shiftTargets(home_, measured, shifted);
    }
    for (int round = 0;; ++round) {
      if (!sheared_.empty()) {
        const std::optional<ContactParameters> found = search(now, shifted);
        if (!found && least_ <= kAcceptedMiss) return;
        if (!found) throwMissed();
        now = *found;
      }
      if (round == 0 && bed_.target.unitWeight)
        correctDensity(now, figures(bench_.quick, now, std::array{Figure::kUnitWeight}));
      say_("as the card measures it:");
      const std::vector<Estimate> measured = figures(bench_.full, now, all_);
      const double miss = report(now, measured);
      if (miss <= 1.0 || round + 1 == kRounds) {
        if (result_.targets.empty() || miss > kAcceptedMiss) throwMissed();
        return;
      }
      shiftTargets(now, measured, shifted);
      if (bed_.target.unitWeight) correctDensity(now, {measured[weightIndex()]});
    }
  }

  InputError fault(const std::string& key, const std::string& text) const {
    return faultIn(bed_, "target." + key, text);
  }

  /// The density that gives the unit weight at this solid fraction.
  void setDensity(ContactParameters& parameters, double solidFraction) const {
    const double wanted = *bed_.target.unitWeight, water = bed_.water.density;
    const double lightest = kLightest * std::max(water, 100.0);
    const auto weightOf = [&](double density) {
      return solidFraction * (density - water) * kStandardGravity;
    };
    const double density = water + wanted / (solidFraction * kStandardGravity);
    if (density < lightest || density > kHeaviest)
      throw fault("unit_weight",
                  fmt::format("found {}, allowed is {} to {}: measured at a solid fraction of "
                              "{:.3f}, with grains of {:.0f} to {:.0f} kg/m3",
                              figureText(Figure::kUnitWeight, wanted),
                              figureText(Figure::kUnitWeight, weightOf(lightest), 3),
                              figureText(Figure::kUnitWeight, weightOf(kHeaviest), 3),
                              solidFraction, lightest, kHeaviest));
    parameters.density = kDensityGrid * std::round(density / kDensityGrid);
  }

  void correctDensity(ContactParameters& parameters, const std::vector<Estimate>& weight) {
    const FitTarget target{*bed_.target.unitWeight,
                           toleranceOf(Figure::kUnitWeight, *bed_.target.unitWeight)};
    if (target.isMetBy(weight[0])) return;
    setDensity(parameters,
               weight[0].mean / ((parameters.density - bed_.water.density) * kStandardGravity));
    home_.density = parameters.density;
  }

  void freeParameters() {
    const auto add = [&](Member member, double most, double step, double grid) {
      const double home = home_.*member;
      free_.push_back({member, {home, 0.0, std::max(most, home), step, grid}});
    };
    if (bed_.target.frictionAngle || bed_.target.repose) {
      add(&ContactParameters::friction, kMostFriction, 0.15, 0.005);
      add(&ContactParameters::rollingFriction, kMostRolling, 0.06, 0.002);
    }
    if (bed_.target.strength) {
      const double step =
          std::max(kShareOfPullOff * home_.pullOffStress, kSlopeOfPullOff * *bed_.target.strength);
      add(&ContactParameters::pullOffStress, kMostPullOff, step,
          std::pow(10.0, std::floor(std::log10(step)) - 1.0));
    }
  }

  std::vector<Estimate> figures(const MeasureBed& measure, const ContactParameters& parameters,
                                std::span<const Figure> wanted) {
    const Measurement measurement = measure(parameters, wanted);
    // What this very calibration measured before is neither told nor counted again.
    if (!seen_.insert({&measure, parameters, wanted.size()}).second) return measurement.figures;
    ++(measurement.isRemembered ? result_.remembered : result_.measured);
    std::string line = measurement.isRemembered ? "kept" : fmt::format("{:>4}", result_.measured);
    line += fmt::format("  {}:", parametersText(parameters));
    for (std::size_t k = 0; k < wanted.size(); ++k) {
      const Estimate& e = measurement.figures[k];
      line +=
          fmt::format("{} {} {} +-{}", k == 0 ? "" : ",", keyOf(wanted[k]),
                      figureText(wanted[k], e.mean, 4), figureText(wanted[k], e.standardError, 2));
    }
    say_(line);
    if (&measure == &bench_.quick && std::ranges::equal(wanted, sheared_))
      tried_.push_back({parameters, measurement.figures});
    return measurement.figures;
  }

  /// Refuses a target that neither the bed nor the end of its parameters' ranges comes up to.
  void checkReach(std::size_t index) {
    const Figure figure = sheared_[index];
    const FitTarget& target = targets_[index];
    const Estimate atHome = figures(bench_.quick, home_, sheared_)[index];
    if (target.isMetBy(atHome)) return;
    // Strength grows about in proportion to the pull-off stress, whose end is far and slow to
    // shear.
    if (figure == Figure::kStrength && target.wanted < kSurelyInReach * atHome.mean &&
        target.wanted * kSurelyInReach > atHome.mean && home_.pullOffStress > 0.0)
      return;
    const auto cornerOf = [&](bool isHigh) {
      ContactParameters corner = home_;
      for (const Free& p : free_)
        if ((p.member == &ContactParameters::pullOffStress) == (figure == Figure::kStrength))
          corner.*(p.member) = isHigh ? p.fit.high : p.fit.low;
      return corner;
    };
    const bool isUp = target.wanted > atHome.mean;
    const Estimate end = figures(bench_.quick, cornerOf(isUp), sheared_)[index];
    const double slack = std::max(target.tolerance, 2.0 * end.standardError);
    if (isUp ? end.mean + slack >= target.wanted : end.mean - slack <= target.wanted) return;
    const Estimate other = figures(bench_.quick, cornerOf(!isUp), sheared_)[index];
    const double least = std::min(end.mean, other.mean);
    if (figure == Figure::kRepose && CutSlope{least, least}.stands())
      throw fault(keyOf(figure), fmt::format("found {}, allowed is none: a cut in this ground "
                                             "stands by itself",
                                             figureText(figure, target.wanted)));
    // A middle may lie beyond both ends.
    const double low = std::min({end.mean, other.mean, atHome.mean}),
                 high = std::max({end.mean, other.mean, atHome.mean});
    throw fault(keyOf(figure),
                fmt::format("found {}, allowed is {} to {}: measured with {} and with {}",
                            figureText(figure, target.wanted), figureText(figure, low, 3),
                            figureText(figure, high, 3), parametersText(cornerOf(false)),
                            parametersText(cornerOf(true))));
  }

  /// Quick trials, earlier and now, with the fixed parameters as they are.
  std::vector<KnownTrial> knownAround(const ContactParameters& now) const {
    std::vector<KnownTrial> known;
    const auto add = [&](ContactParameters parameters, const std::vector<Estimate>& figures) {
      KnownTrial trial{{}, figures};
      bool isInside = true;
      for (const Free& p : free_) {
        trial.parameters.push_back(parameters.*(p.member));
        isInside = isInside && parameters.*(p.member) <= p.fit.high;
        parameters.*(p.member) = now.*(p.member);
      }
      if (isInside && parameters == now) known.push_back(trial);
    };
    for (const EarlierTrial& trial : bench_.earlier) add(trial.parameters, trial.figures);
    for (const EarlierTrial& trial : tried_) add(trial.parameters, trial.figures);
    return known;
  }

  /// None when the nearest of all trials misses by far: no later round would mend that.
  std::optional<ContactParameters> search(const ContactParameters& start,
                                          const std::vector<FitTarget>& targets) {
    std::vector<FitParameter> parameters;
    for (const Free& p : free_) parameters.push_back(p.fit);
    const auto of = [&](std::span<const double> values) {
      ContactParameters result = start;
      for (std::size_t k = 0; k < free_.size(); ++k) result.*(free_[k].member) = values[k];
      return result;
    };
    std::vector<FitTarget> aims = targets;
    for (FitTarget& aim : aims) aim.tolerance *= kAim;
    const Fit fit = fitNoisy(
        parameters, aims,
        [&](std::span<const double> values) { return figures(bench_.quick, of(values), sheared_); },
        kMostTrials, knownAround(start));
    double worst = 0.0;
    for (std::size_t k = 0; k < targets.size(); ++k)
      worst = std::max(worst, targets[k].distance(fit.measured[k]));
    if (worst <= kAcceptedMiss) return of(fit.parameters);
    if (result_.targets.empty()) {
      result_.found = of(fit.parameters);
      for (std::size_t k = 0; k < sheared_.size(); ++k)
        result_.targets.push_back({sheared_[k], targets_[k].wanted, fit.measured[k]});
    }
    return {};
  }

  std::size_t weightIndex() const {
    return static_cast<std::size_t>(std::find(all_.begin(), all_.end(), Figure::kUnitWeight) -
                                    all_.begin());
  }

  /// Takes them as the result when they are the nearest so far. Returns how far off the worst is,
  /// over its tolerance or standard error.
  double report(const ContactParameters& parameters, const std::vector<Estimate>& measured) {
    double worst = 0.0;
    std::vector<TargetResult> targets;
    for (std::size_t k = 0; k < all_.size(); ++k) {
      const double wanted = *wantedOf(bed_.target, all_[k]);
      worst =
          std::max(worst, FitTarget{wanted, toleranceOf(all_[k], wanted)}.distance(measured[k]));
      targets.push_back({all_[k], wanted, measured[k]});
    }
    if (worst < least_) {
      least_ = worst;
      result_.found = parameters;
      result_.targets = targets;
    }
    return least_;
  }

  /// What the quick measurement reads where the full one reads what is wanted.
  void shiftTargets(const ContactParameters& parameters, const std::vector<Estimate>& measured,
                    std::vector<FitTarget>& shifted) {
    if (sheared_.empty()) return;
    const std::vector<Estimate> quick = figures(bench_.quick, parameters, sheared_);
    for (std::size_t k = 0; k < sheared_.size(); ++k) {
      const auto at =
          static_cast<std::size_t>(std::find(all_.begin(), all_.end(), sheared_[k]) - all_.begin());
      shifted[k].wanted = targets_[k].wanted + quick[k].mean - measured[at].mean;
    }
  }

  [[noreturn]] void throwMissed() const {
    std::string text = "not met by any grains that were tried; the nearest measured ";
    for (const TargetResult& t : result_.targets)
      text += fmt::format("{} {} +-{} where {} was asked for, ", keyOf(t.figure),
                          figureText(t.figure, t.measured.mean),
                          figureText(t.figure, t.measured.standardError, 2),
                          figureText(t.figure, t.wanted));
    throw faultIn(bed_, "target", text + "with " + parametersText(result_.found));
  }

  const BedRecipe& bed_;
  const Bench& bench_;
  const std::function<void(const std::string&)>& say_;
  ContactParameters home_;
  std::vector<Figure> all_, sheared_;
  std::vector<FitTarget> targets_;  ///< of those sheared
  std::vector<Free> free_;
  std::set<std::tuple<const MeasureBed*, ContactParameters, std::size_t>> seen_;
  std::vector<EarlierTrial> tried_;
  Calibration result_;
  double least_ = std::numeric_limits<double>::infinity();
};

}  // namespace

double toleranceOf(Figure figure, double wanted) {
  switch (figure) {
    case Figure::kFrictionAngle:
      return 0.5 * kPi / 180.0;
    case Figure::kStrength:
      return 0.025 * wanted;
    case Figure::kUnitWeight:
      return 0.005 * wanted;
    case Figure::kRepose:
      return kPi / 180.0;
  }
  return 0.0;
}

bool isSteady(const TargetResult& target, const Estimate& variant) {
  const double error = std::hypot(target.measured.standardError, variant.standardError);
  return std::abs(variant.mean - target.measured.mean) <=
         std::max(toleranceOf(target.figure, target.wanted), 2.0 * error);
}

bool TargetResult::isMet() const { return std::abs(residual()) <= toleranceOf(figure, wanted); }

Calibration calibrate(const BedRecipe& bed, const Bench& bench,
                      const std::function<void(const std::string&)>& say) {
  return Calibrator(bed, bench, say).run();
}

}  // namespace holdground
