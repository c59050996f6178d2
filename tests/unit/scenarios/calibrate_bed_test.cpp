#include "scenarios/calibrate/calibrate_bed.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "tests/support/scenario_texts.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

constexpr double kDegree = kPi / 180.0;
constexpr double kSolid = 0.57;

/// A stand-in for the probes: angle from friction and rolling friction, strength from the pull-off
/// stress, weight from the density; the slope is three degrees below the angle.
double standIn(const ContactParameters& p, Figure figure, double waterDensity) {
  const double angle = 9.0 + 14.0 * std::tanh(4.0 * p.friction) +
                       16.0 * std::tanh(4.0 * p.rollingFriction) * std::tanh(3.0 * p.friction);
  switch (figure) {
    case Figure::kFrictionAngle:
      return angle * kDegree;
    case Figure::kRepose:
      return (angle - 3.0) * kDegree;
    case Figure::kStrength:
      return 200.0 + 0.1 * p.pullOffStress;
    case Figure::kUnitWeight:
      return kSolid * (p.density - waterDensity) * kStandardGravity;
  }
  return 0.0;
}

class CalibrateBed : public testing::Test {
 protected:
  CalibrateBed() {
    bed_.source = {"bed.toml", std::string(kBedText) + "[target]\nstrength = \"3 kPa\"\n"};
    bed_.material.friction = 0.5;
    bed_.material.rollingFriction = 0.1;
    bench_.solidFraction = kSolid;
    bench_.quick = measureWith(quickShift_, quickTrials_);
    bench_.full = measureWith(fullShift_, fullTrials_);
  }

  MeasureBed measureWith(double& angleShift, std::vector<ContactParameters>& trials) {
    return [&](const ContactParameters& p, std::span<const Figure> wanted) {
      Measurement result;
      trials.push_back(p);
      for (const Figure figure : wanted) {
        const double value = standIn(p, figure, bed_.water.density);
        const bool isAngle = figure == Figure::kFrictionAngle || figure == Figure::kRepose;
        result.figures.push_back({value + (isAngle ? angleShift : 0.0), 0.005 * value});
      }
      return result;
    };
  }

  Calibration run() {
    lines_.clear();
    return calibrate(bed_, bench_, [this](const std::string& line) { lines_ += line + '\n'; });
  }
  std::string fault() {
    return inputFault([this] { run(); });
  }
  /// Where a line stands that begins with this: "FILE:LINE:1: ".
  std::string place(const std::string& line) const {
    const std::string& text = bed_.source.text;
    const auto before = text.begin() + static_cast<std::ptrdiff_t>(text.find('\n' + line)) + 1;
    return "bed.toml:" + std::to_string(1 + std::count(text.begin(), before, '\n')) + ":1: ";
  }

  BedRecipe bed_;
  Bench bench_;
  double quickShift_ = 0.0, fullShift_ = 0.0;  ///< of angles [rad]
  std::vector<ContactParameters> quickTrials_, fullTrials_;
  std::string lines_;
};

TEST_F(CalibrateBed, FindsFrictionsForAnAngle) {
  bed_.target.frictionAngle = 30.0 * kDegree;
  const Calibration found = run();
  ASSERT_EQ(found.targets.size(), 1u);
  EXPECT_NEAR(found.targets[0].measured.mean, 30.0 * kDegree, 0.5 * kDegree);
  EXPECT_NEAR(found.targets[0].residual(), found.targets[0].measured.mean - 30.0 * kDegree, 1e-15);
  EXPECT_EQ(found.found.density, bed_.material.density);
  EXPECT_EQ(found.found.pullOffStress, 0.0);
  EXPECT_GT(found.found.rollingFriction, 0.1);
  EXPECT_EQ(fullTrials_.size(), 2u);  // the bed as it is, and what was found
  EXPECT_THAT(lines_, HasSubstr("rolling friction"));
}

TEST_F(CalibrateBed, TakesOutWhatTheQuickMeasurementReadsTooHigh) {
  bed_.target.frictionAngle = 31.0 * kDegree;
  quickShift_ = 1.5 * kDegree;
  const Calibration found = run();
  EXPECT_NEAR(standIn(found.found, Figure::kFrictionAngle, 0.0), 31.0 * kDegree, 0.5 * kDegree);
  EXPECT_EQ(fullTrials_.size(), 2u);
}

TEST_F(CalibrateBed, LeavesABedAloneThatMeetsItsTarget) {
  bed_.target.frictionAngle = standIn(parametersOf(bed_), Figure::kFrictionAngle, 0.0);
  quickShift_ = 1.5 * kDegree;  // what counts is what the card measures
  EXPECT_EQ(run().found, parametersOf(bed_));
  EXPECT_LE(quickTrials_.size(), 2u);
}

TEST_F(CalibrateBed, RefusesATargetOutOfReachWithTheRangeItMeasured) {
  bed_.target.frictionAngle = 60.0 * kDegree;
  EXPECT_EQ(fault(),
            place("[target]") +
                "target.friction_angle: found 60 deg, allowed is 9 deg to 38.3 deg: measured with "
                "friction 0, rolling friction 0, density 2650 kg/m3 and with friction 1, rolling "
                "friction 0.5, density 2650 kg/m3");
  EXPECT_TRUE(fullTrials_.empty());
  EXPECT_LE(quickTrials_.size(), 3u);
  bed_.target.frictionAngle = 5.0 * kDegree;
  EXPECT_THAT(fault(), HasSubstr("found 5 deg, allowed is 9 deg to 38.3 deg"));
  bed_.target.frictionAngle = {};
  bed_.target.strength = 50e3;
  bed_.target.strengthDepth = 0.3;
  EXPECT_THAT(fault(), HasSubstr(place("strength = \"3") +
                                 "target.strength: found 50 kPa, allowed is 0.2 kPa to 20.2 kPa"));
}

TEST_F(CalibrateBed, RefusesTargetsThatCannotBeMetTogether) {
  bed_.target.frictionAngle = 30.0 * kDegree;
  bed_.target.repose = 33.0 * kDegree;  // each is in reach
  const std::string text = fault();
  EXPECT_THAT(text, HasSubstr(place("[target]") + "target: not met by any grains that were tried"));
  EXPECT_THAT(text, HasSubstr("where 33 deg was asked for"));
  // What the search misses by far is not measured at length, nor sought again.
  EXPECT_EQ(fullTrials_, std::vector{parametersOf(bed_)});
}

TEST_F(CalibrateBed, RefusesWhatLiesBelowAnEndThatTheBedIsAtAlready) {
  bed_.target.strength = 150.0;  // the stand-in has 200 without any pull-off
  bed_.target.strengthDepth = 0.3;
  EXPECT_THAT(fault(),
              HasSubstr("target.strength: found 0.15 kPa, allowed is 0.2 kPa to 20.2 kPa"));
}

TEST_F(CalibrateBed, RefusesASlopeOfGroundThatStandsByItself) {
  bed_.target.repose = 30.0 * kDegree;
  quickShift_ = 60.0 * kDegree;
  EXPECT_THAT(fault(), HasSubstr("target.repose: found 30 deg, allowed is none: a cut in this "
                                 "ground stands by itself"));
}

TEST_F(CalibrateBed, FindsAPullOffStressForAStrength) {
  bed_.material.pullOffStress = 20e3;
  bed_.target.strength = 3000.0;
  bed_.target.strengthDepth = 0.3;
  const Calibration found = run();
  EXPECT_NEAR(found.found.pullOffStress, 28e3, 800.0);
  EXPECT_EQ(found.found.friction, 0.5);
}

TEST_F(CalibrateBed, SetsTheDensityForAUnitWeightAndKnowsItsRange) {
  bed_.target.unitWeight = 9000.0;
  const Calibration found = run();
  EXPECT_NEAR(found.found.density, bed_.water.density + 9000.0 / (kSolid * kStandardGravity),
              0.5 + 1e-9);
  EXPECT_EQ(found.found.friction, 0.5);
  bed_.target.unitWeight = 20e3;
  EXPECT_THAT(fault(), HasSubstr("target.unit_weight: found 20 kN/m3, allowed is "));
}

TEST_F(CalibrateBed, MeetsAnAngleAndAUnitWeight) {
  bed_.target.unitWeight = 9000.0;
  bed_.target.frictionAngle = 25.0 * kDegree;
  bench_.solidFraction = 0.55;  // other grains pack otherwise: the first density is off
  const Calibration found = run();
  ASSERT_EQ(found.targets.size(), 2u);
  EXPECT_NEAR(found.targets[0].measured.mean, 25.0 * kDegree, 0.5 * kDegree);
  EXPECT_NEAR(found.targets[1].measured.mean, 9000.0, 45.0);
}

TEST_F(CalibrateBed, MeasuresWhatItFoundOnceMoreWithTheModelChanged) {
  bed_.target.frictionAngle = 25.0 * kDegree;
  bed_.target.unitWeight = 9000.0;
  double shift = 3.0 * kDegree;
  std::vector<ContactParameters> trials;
  bench_.variants = {{"twice the stiffness", measureWith(shift, trials)},
                     {"finer grains", [](const auto&, auto) -> Measurement {
                        throw std::runtime_error("flew apart");
                      }}};
  const Calibration found = run();
  EXPECT_EQ(trials, std::vector{found.found});
  ASSERT_EQ(found.variants.size(), 2u);
  EXPECT_EQ(found.variants[0].change, "twice the stiffness");
  ASSERT_EQ(found.variants[0].figures.size(), 2u);
  EXPECT_NEAR(found.variants[0].figures[0].mean - found.targets[0].measured.mean, shift, 1e-12);
  EXPECT_FALSE(isSteady(found.targets[0], found.variants[0].figures[0]));
  EXPECT_TRUE(isSteady(found.targets[1], found.variants[0].figures[1]));
  EXPECT_TRUE(found.variants[1].figures.empty());
  EXPECT_THAT(lines_, HasSubstr("not measured: flew apart"));
}

TEST(SteadyFigure, LiesWithinToleranceOrTwoErrorsOfTheDifference) {
  const TargetResult target{Figure::kStrength, 1000.0, {1010.0, 30.0}};  // 25 Pa are allowed
  EXPECT_TRUE(isSteady(target, {1109.0, 40.0}));                         // 2 hypot(30, 40) = 100
  EXPECT_FALSE(isSteady(target, {1111.0, 40.0}));
  EXPECT_FALSE(isSteady({Figure::kStrength, 1000.0, {1010.0, 0.0}}, {984.0, 0.0}));
  EXPECT_TRUE(isSteady({Figure::kStrength, 1000.0, {1010.0, 0.0}}, {986.0, 0.0}));
}

TEST_F(CalibrateBed, BeginsWithWhatEarlierTrialsMeasured) {
  bed_.target.frictionAngle = 30.0 * kDegree;
  ContactParameters known = parametersOf(bed_);
  known.rollingFriction = 0.142;  // where the stand-in measures 29.9 deg
  bench_.earlier = {{known, {{30.0 * kDegree, 0.0}}}};
  EXPECT_EQ(run().found, known);
  EXPECT_EQ(quickTrials_.size(), 3u) << "the bed as it is, twice, and the end of the range";
  known.density += 100.0;  // of another density: not the same bed
  bench_.earlier = {{known, {{30.0 * kDegree, 0.0}}}};
  EXPECT_NE(run().found, known);
}

}  // namespace
}  // namespace holdground
