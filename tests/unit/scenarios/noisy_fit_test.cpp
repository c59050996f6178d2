#include "scenarios/calibrate/noisy_fit.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <set>

namespace holdground {
namespace {

/// An angle [deg] as sheared spheres have it, roughly: rises with friction and levels off, rises
/// with rolling friction.
double angleOf(std::span<const double> x) {
  return 9.0 + 14.0 * std::tanh(4.0 * x[0]) + 16.0 * std::tanh(4.0 * x[1]) * std::tanh(3.0 * x[0]);
}

/// Scatter of one standard deviation of `noise`, the same for the same parameters.
double scatter(std::span<const double> x, double noise) {
  std::mt19937 random(static_cast<unsigned>(1e4 * x[0] + 1e7 * (x.size() > 1 ? x[1] : 0.0)));
  return std::normal_distribution<double>(0.0, noise)(random);
}

const std::vector<FitParameter> kFrictions{{0.5, 0.0, 1.0, 0.15, 0.005},
                                           {0.1, 0.0, 0.5, 0.06, 0.002}};

TEST(NoisyFit, MeetsATargetWithinTheScatterInAFewTrials) {
  constexpr double kNoise = 0.4;  // [deg], that of a shear cell
  for (double wanted = 12.0; wanted <= 36.0; wanted += 2.0) {
    const std::vector<FitTarget> targets{{wanted, 0.5}};
    std::set<std::vector<double>> seen;
    const Measure measure = [&](std::span<const double> x) {
      EXPECT_TRUE(seen.insert({x.begin(), x.end()}).second) << "measured twice";
      EXPECT_TRUE(x[0] >= 0.0 && x[0] <= 1.0 && x[1] >= 0.0 && x[1] <= 0.5);
      return std::vector<Estimate>{{angleOf(x) + scatter(x, kNoise), kNoise}};
    };
    const Fit fit = fitNoisy(kFrictions, targets, measure, 24);
    EXPECT_EQ(fit.end, FitEnd::kMet) << wanted;
    EXPECT_NEAR(angleOf(fit.parameters), wanted, 0.5 + 4.0 * kNoise);
    EXPECT_EQ(fit.trials, static_cast<int>(seen.size()));
    EXPECT_LE(fit.trials, 16) << wanted;
  }
}

TEST(NoisyFit, OfAllThatMeetTheTargetChangesLittle) {
  const std::vector<FitTarget> targets{{26.0, 0.05}};
  const Fit fit = fitNoisy(
      kFrictions, targets,
      [](std::span<const double> x) {
        return std::vector<Estimate>{{angleOf(x), 0.0}};
      },
      40);
  ASSERT_EQ(fit.end, FitEnd::kMet);
  // A step of rolling friction moves the angle some ten times as far as one of friction.
  EXPECT_LT(std::abs(fit.parameters[0] - 0.5) / 0.15, std::abs(fit.parameters[1] - 0.1) / 0.06);
}

TEST(NoisyFit, MeetsTwoTargetsAtOnce) {
  // Strength from pull-off stress and friction, angle from friction alone.
  const std::vector<FitParameter> parameters{{0.2, 0.0, 1.0, 0.1, 0.005},
                                             {20e3, 0.0, 200e3, 6e3, 100.0}};
  const std::vector<FitTarget> targets{{19.0, 0.5}, {3000.0, 60.0}};
  const Fit fit = fitNoisy(
      parameters, targets,
      [](std::span<const double> x) {
        return std::vector<Estimate>{{9.0 + 14.0 * std::tanh(4.0 * x[0]), 0.2},
                                     {0.08 * x[1] + 1500.0 * x[0], 50.0}};
      },
      24);
  EXPECT_EQ(fit.end, FitEnd::kMet);
  EXPECT_NEAR(9.0 + 14.0 * std::tanh(4.0 * fit.parameters[0]), 19.0, 0.5);
  EXPECT_NEAR(0.08 * fit.parameters[1] + 1500.0 * fit.parameters[0], 3000.0, 60.0);
  EXPECT_LE(fit.trials, 12);
}

TEST(NoisyFit, EndsAtTheNearestWhenNothingMeetsTheTarget) {
  const std::vector<FitTarget> targets{{60.0, 0.5}};
  const Measure measure = [](std::span<const double> x) {
    return std::vector<Estimate>{{angleOf(x), 0.3}};
  };
  const Fit fit = fitNoisy(kFrictions, targets, measure, 40);
  EXPECT_NE(fit.end, FitEnd::kMet);
  EXPECT_GT(fit.measured[0].mean, angleOf(std::vector<double>{1.0, 0.5}) - 1.0);
  EXPECT_LE(fitNoisy(kFrictions, targets, measure, 5).trials, 5);
  EXPECT_EQ(fitNoisy(kFrictions, targets, measure, 3).end, FitEnd::kOutOfTrials);
}

TEST(NoisyFit, IsOverAtOnceWhereTheStartMeetsTheTarget) {
  const std::vector<FitTarget> targets{{angleOf(std::vector<double>{0.5, 0.1}) + 0.9, 0.5}};
  const auto measure = [](double error) {
    return [error](std::span<const double> x) {
      return std::vector<Estimate>{{angleOf(x), error}};
    };
  };
  EXPECT_EQ(fitNoisy(kFrictions, targets, measure(1.0), 24).trials, 1);  // within its error
  EXPECT_GT(fitNoisy(kFrictions, targets, measure(0.1), 24).trials, 1);
}

TEST(NoisyFit, NeedsFewTrialsWhereMuchIsKnown) {
  const std::vector<FitTarget> targets{{29.3, 0.15}};
  int trials = 0;
  const Measure measure = [&](std::span<const double> x) {
    ++trials;
    return std::vector<Estimate>{{angleOf(x), 0.0}};
  };
  std::vector<KnownTrial> known;
  for (const double friction : {0.4, 0.6})
    for (const double rolling : {0.08, 0.14})
      known.push_back({{friction, rolling}, {{angleOf(std::vector{friction, rolling}), 0.0}}});
  const Fit fit = fitNoisy(kFrictions, targets, measure, 24, known);
  EXPECT_EQ(fit.end, FitEnd::kMet);
  EXPECT_LE(trials, 2) << "no differences: the known trials give the slopes";
  EXPECT_EQ(fit.trials, trials);
  known.push_back({fit.parameters, fit.measured});
  EXPECT_EQ(fitNoisy(kFrictions, targets, measure, 24, known).trials, 0);
}

TEST(NoisyFit, AMeasurementWithALargeErrorMeetsNothingFarOff) {
  const FitTarget target{30.0, 0.5};
  EXPECT_TRUE(target.isMetBy({30.9, 1.0}));
  EXPECT_TRUE(target.isMetBy({30.9, 5.0}));
  EXPECT_FALSE(target.isMetBy({31.1, 5.0}));
  EXPECT_FALSE(target.isMetBy({30.9, 0.1}));
  EXPECT_DOUBLE_EQ(target.distance({29.0, 0.1}), 2.0);
}

TEST(NoisyFit, ParametersStayOnTheirGridAndInTheirRange) {
  EXPECT_DOUBLE_EQ(onGrid(kFrictions[1], 0.1311), 0.132);
  // What is written into a bed file reads as the same number, so that its tile is the same one.
  EXPECT_EQ(onGrid({0.1, 0.0, 0.5, 0.1, 0.001}, 0.2379), 0.238);
  EXPECT_EQ(onGrid(kFrictions[1], 0.7), 0.5);
  EXPECT_EQ(onGrid(kFrictions[1], -0.7), 0.0);
}

}  // namespace
}  // namespace holdground
