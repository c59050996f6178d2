#include "scenarios/calibrate/noisy_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <unsupported/Eigen/NonLinearOptimization>

namespace holdground {
namespace {

// Tolerances that a step away from home costs: 1/400 of the error of a target one tolerance off.
constexpr double kPull = 0.05;
constexpr double kLeastStep = 0.02;  // of a parameter's step: below it nothing is seen
constexpr double kLeastGain = 1e-3;  // of the sum of squares
constexpr int kMostSteps = 50;       // trials end it before
constexpr int kAttempts = 2;
constexpr double kMostError = 2.0;    // tolerances: a measurement worse than that is no excuse
constexpr double kNear = 1.5;         // steps within which trials are taken to lie in a plane
constexpr double kLeastSpread = 0.3;  // of them in any direction, rms, steps

/// Residuals in parameters counted in steps from home.
class Residuals {
 public:
  Residuals(std::span<const FitParameter> parameters, std::span<const FitTarget> targets,
            const Measure& measure, int mostTrials)
      : parameters_(parameters), targets_(targets), measure_(measure), mostTrials_(mostTrials) {}

  int values() const { return static_cast<int>(targets_.size() + parameters_.size()); }

  /// Below 0 ends the search: met, or no trial is left.
  int operator()(const Eigen::VectorXd& u, Eigen::VectorXd& residuals) const {
    const auto* measured = measuredAt(valuesOf(u));
    if (measured == nullptr) return -1;
    const auto count = static_cast<Eigen::Index>(targets_.size());
    for (Eigen::Index k = 0; k < count; ++k) residuals[k] = offBy(*measured, k);
    residuals.tail(u.size()) = kPull * u;
    return best_.end == FitEnd::kMet ? -1 : 0;
  }

  int df(const Eigen::VectorXd& u, Eigen::MatrixXd& slopes) const {
    const std::vector<double> here = valuesOf(u);
    const auto* base = measuredAt(here);
    if (base == nullptr) return -1;
    const auto count = static_cast<Eigen::Index>(targets_.size());
    slopes.setZero();
    slopes.bottomRows(u.size()).diagonal().setConstant(kPull);
    if (const auto known = slopesAmongKnown(stepsOf(here))) {
      slopes.topRows(count) = *known;
      return 0;
    }
    for (std::size_t j = 0; j < parameters_.size(); ++j) {
      const FitParameter& p = parameters_[j];
      std::vector<double> there = here;
      const bool isUp = sense_ > 0.0 ? here[j] + p.step <= p.high : here[j] - p.step < p.low;
      there[j] = onGrid(p, here[j] + (isUp ? p.step : -p.step));
      const auto* moved = measuredAt(there);
      if (moved == nullptr || best_.end == FitEnd::kMet) return -1;
      const double way = (there[j] - here[j]) / p.step;
      for (Eigen::Index k = 0; k < count && way != 0.0; ++k)
        slopes(k, static_cast<Eigen::Index>(j)) = (offBy(*moved, k) - offBy(*base, k)) / way;
    }
    return 0;
  }

  std::vector<double> valuesOf(const Eigen::VectorXd& u) const {
    std::vector<double> values;
    for (std::size_t j = 0; j < parameters_.size(); ++j) {
      const FitParameter& p = parameters_[j];
      values.push_back(onGrid(p, p.home + p.step * u[static_cast<Eigen::Index>(j)]));
    }
    return values;
  }

  Eigen::VectorXd stepsOf(std::span<const double> values) const {
    Eigen::VectorXd u(static_cast<Eigen::Index>(values.size()));
    for (std::size_t j = 0; j < values.size(); ++j)
      u[static_cast<Eigen::Index>(j)] = (values[j] - parameters_[j].home) / parameters_[j].step;
    return u;
  }

  /// Differences to the other side: another view of slopes that scatter misled.
  void turnRound() { sense_ = -sense_; }

  Fit best() const {
    Fit result = best_;
    result.trials = trials_;
    return result;
  }

  const std::vector<Estimate>* learn(const std::vector<double>& values,
                                     const std::vector<Estimate>& figures) const {
    const std::vector<Estimate>& measured = known_.insert_or_assign(values, figures).first->second;
    double squares = 0.0;
    bool met = true;
    for (std::size_t k = 0; k < targets_.size(); ++k) {
      squares += std::pow(offBy(measured, static_cast<Eigen::Index>(k)), 2);
      met = met && targets_[k].isMetBy(measured[k]);
    }
    if (best_.end != FitEnd::kMet && (met || squares < squares_)) {
      best_.parameters = values;
      best_.measured = measured;
      squares_ = squares;
    }
    if (met) best_.end = FitEnd::kMet;
    return &measured;
  }

 private:
  double offBy(const std::vector<Estimate>& measured, Eigen::Index k) const {
    const auto index = static_cast<std::size_t>(k);
    return (measured[index].mean - targets_[index].wanted) / targets_[index].tolerance;
  }

  /// Slopes of a plane through the trials near `here`, when they lie around it in all directions:
  /// better than new differences, and for nothing.
  std::optional<Eigen::MatrixXd> slopesAmongKnown(const Eigen::VectorXd& here) const {
    std::vector<Eigen::VectorXd> places;
    std::vector<const std::vector<Estimate>*> figures;
    for (const auto& [values, measured] : known_) {
      places.push_back(stepsOf(values) - here);
      figures.push_back(&measured);
      if (places.back().cwiseAbs().maxCoeff() <= kNear) continue;
      places.pop_back();
      figures.pop_back();
    }
    const auto rows = static_cast<Eigen::Index>(places.size()), n = here.size();
    if (rows < n + 2) return {};
    Eigen::MatrixXd design(rows, n), off(rows, static_cast<Eigen::Index>(targets_.size()));
    for (Eigen::Index row = 0; row < rows; ++row) {
      design.row(row) = places[static_cast<std::size_t>(row)].transpose();
      for (Eigen::Index k = 0; k < off.cols(); ++k)
        off(row, k) = offBy(*figures[static_cast<std::size_t>(row)], k);
    }
    design.rowwise() -= design.colwise().mean().eval();
    off.rowwise() -= off.colwise().mean().eval();
    const Eigen::JacobiSVD<Eigen::MatrixXd> svd(design, Eigen::ComputeThinU | Eigen::ComputeThinV);
    if (svd.singularValues().minCoeff() < kLeastSpread * std::sqrt(static_cast<double>(rows)))
      return {};
    const Eigen::MatrixXd plane = svd.solve(off);
    return Eigen::MatrixXd(plane.transpose());
  }

  /// Null when that would be one trial too many.
  const std::vector<Estimate>* measuredAt(const std::vector<double>& values) const {
    if (const auto found = known_.find(values); found != known_.end()) return &found->second;
    if (trials_ >= mostTrials_) {
      best_.end = FitEnd::kOutOfTrials;
      return nullptr;
    }
    ++trials_;
    return learn(values, measure_(values));
  }

  std::span<const FitParameter> parameters_;
  std::span<const FitTarget> targets_;
  const Measure& measure_;
  int mostTrials_;
  double sense_ = 1.0;
  mutable std::map<std::vector<double>, std::vector<Estimate>> known_;
  mutable int trials_ = 0;
  mutable Fit best_;
  mutable double squares_ = std::numeric_limits<double>::infinity();
};

/// One search; what it finds is the best that the residuals have seen.
void searchFrom(Eigen::VectorXd u, Residuals& residuals) {
  using namespace Eigen::LevenbergMarquardtSpace;
  Eigen::LevenbergMarquardt<Residuals, double> search(residuals);
  search.parameters.xtol = kLeastStep;
  search.parameters.ftol = kLeastGain;
  search.parameters.gtol = 0.0;
  Status status = search.minimizeInit(u);
  for (int k = 0; k < kMostSteps && (status == NotStarted || status == Running); ++k) {
    const Eigen::VectorXd before = u;
    status = search.minimizeOneStep(u);
    u = residuals.stepsOf(residuals.valuesOf(u));  // back into the range
    if ((u - before).cwiseAbs().maxCoeff() < kLeastStep) break;
  }
}

}  // namespace

double FitTarget::distance(const Estimate& measured) const {
  const double error = std::min(measured.standardError, kMostError * tolerance);
  return std::abs(measured.mean - wanted) / std::max(tolerance, error);
}

double onGrid(const FitParameter& parameter, double value) {
  // 238/1000 is the number that "0.238" reads as; 238 times 0.001 is another.
  const double inverse = std::round(1.0 / parameter.grid);
  const double rounded = parameter.grid < 1.0 ? std::round(value * inverse) / inverse
                                              : parameter.grid * std::round(value / parameter.grid);
  return std::clamp(rounded, parameter.low, parameter.high);
}

Fit fitNoisy(std::span<const FitParameter> parameters, std::span<const FitTarget> targets,
             const Measure& measure, int mostTrials, std::span<const KnownTrial> known) {
  Residuals residuals(parameters, targets, measure, mostTrials);
  for (const KnownTrial& trial : known) residuals.learn(trial.parameters, trial.measured);
  for (int attempt = 0; attempt < kAttempts; ++attempt) {
    const Fit best = residuals.best();
    if (best.end == FitEnd::kMet || best.end == FitEnd::kOutOfTrials) break;
    std::vector<double> start = best.parameters;
    for (std::size_t j = start.size(); j < parameters.size(); ++j)
      start.push_back(onGrid(parameters[j], parameters[j].home));
    if (attempt > 0) residuals.turnRound();
    searchFrom(residuals.stepsOf(start), residuals);
  }
  return residuals.best();
}

}  // namespace holdground
