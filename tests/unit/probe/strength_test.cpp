#include "solver/probe/strength.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace holdground {
namespace {

/// A record with a stress of a given shear (over a normal stress of 1000 Pa) at each strain.
ShearRecord recordOf(const std::function<double(double)>& shear,
                     const std::function<double(double)>& fraction) {
  ShearRecord record;
  record.settings.normalStress = 1000.0;
  record.settings.strain = 2.0;
  record.meanDiameter = 0.04;
  record.rate = 0.1;
  record.pressed.height = 0.5;
  record.pressed.slice.solidFraction = fraction(0.0);
  for (int k = 1; k <= 800; ++k) {
    ShearReading r;
    r.strain = 0.0025 * k;
    r.height = 0.5;
    r.slice.contactStress = 1000.0 * Mat3::Identity();
    r.slice.contactStress(0, 2) = r.slice.contactStress(2, 0) = -1000.0 * shear(r.strain);
    r.slice.solidFraction = fraction(r.strain);
    r.slice.shearRate.x() = 0.08;
    r.lidForce = Vec3(-1010.0 * shear(r.strain), 0.0, 990.0);
    record.readings.push_back(r);
  }
  return record;
}

TEST(ShearStrength, OfASteadyPlaneShear) {
  const ShearStrength s =
      shearStrength(recordOf([](double) { return 0.4; }, [](double) { return 0.57; }));
  // sigma I with a shear of 0.4: s1, s3 = 1000 (1 +- 0.4).
  EXPECT_NEAR(s.sine.mean, 0.4, 1e-12);
  EXPECT_NEAR(s.sine.standardError, 0.0, 1e-12);
  EXPECT_NEAR(s.mean.mean, 1000.0, 1e-9);
  EXPECT_NEAR(s.shear.mean, 400.0, 1e-9);
  EXPECT_NEAR(s.shearRatio.mean, 0.4, 1e-12);
  EXPECT_NEAR(s.solidFraction.mean, 0.57, 1e-12);
  EXPECT_NEAR(s.shearShare, 0.8, 1e-12);
  EXPECT_NEAR(s.inertialNumber, 0.08 * 0.04 * std::sqrt(2650.0 / 1000.0), 1e-12);
  EXPECT_NEAR(s.lidNormalShare, 0.99, 1e-12);
  EXPECT_NEAR(s.lidShearShare, 1.01, 1e-12);
  EXPECT_NEAR(s.dilatancy, 0.0, 1e-12);
}

TEST(ShearStrength, TellsPeakFromCriticalState) {
  const ShearStrength s =
      shearStrength(recordOf([](double g) { return g < 0.2 ? 0.6 : 0.4; },
                             [](double g) { return 0.64 * std::exp(-0.3 * std::min(g, 0.5)); }));
  EXPECT_NEAR(s.sine.mean, 0.4, 1e-12);
  EXPECT_NEAR(s.peakSine, 0.6, 1e-12);
  EXPECT_LT(s.peakStrain, 0.2);
  EXPECT_NEAR(s.dilatancy, 0.3, 1e-9);
}

TEST(ShearStrength, ErrorIsThatOfTheMeanOfItsBlocks) {
  // Blocks of alternating 0.3 and 0.5 over the second half: s = 0.4, sd of 8 blocks 0.1069.
  const ShearStrength s = shearStrength(recordOf(
      [](double g) { return static_cast<int>((g - 1.0 - 1e-9) / 0.125) % 2 == 0 ? 0.3 : 0.5; },
      [](double) { return 0.57; }));
  EXPECT_NEAR(s.sine.mean, 0.4, 1e-3);
  EXPECT_NEAR(s.sine.standardError, 0.1 / std::sqrt(7.0), 1e-3);
}

ShearStrength circle(double mean, double sine, double cohesion, double error) {
  ShearStrength s;
  s.mean = {mean, error};
  s.shear = {mean * sine + cohesion * std::sqrt(1.0 - sine * sine), error};
  s.sine = {s.shear.mean / mean, error / mean};
  return s;
}

TEST(StrengthLine, GivesBackFrictionAndCohesion) {
  const std::vector<ShearStrength> cells{circle(1000.0, 0.3, 2000.0, 20.0),
                                         circle(3200.0, 0.3, 2000.0, 30.0),
                                         circle(10000.0, 0.3, 2000.0, 90.0)};
  const StrengthLine line = strengthLine(cells);
  EXPECT_NEAR(line.sine.mean, 0.3, 1e-9);
  EXPECT_NEAR(line.cohesion.mean, 2000.0, 1e-6);
  EXPECT_GT(line.cohesion.standardError, 10.0);
}

TEST(StrengthByStress, GivesBackSurfaceStrengthAndSlope) {
  std::vector<ShearStrength> cells(3);
  for (std::size_t k = 0; k < 3; ++k) {
    cells[k].normalStress = std::vector{1000.0, 3200.0, 10000.0}[k];
    cells[k].mean.mean = 7.0 * cells[k].normalStress;  // not what it is set against
    cells[k].shear = {1700.0 + 0.21 * cells[k].normalStress, 30.0};
  }
  const StrengthByStress line = strengthByStress(cells);
  EXPECT_NEAR(line.atNone.mean, 1700.0, 1e-6);
  EXPECT_NEAR(line.slope.mean, 0.21, 1e-9);
  EXPECT_GT(line.atNone.standardError, 10.0);
}

TEST(OedometerModulus, IsStressOverStrainOfThePressedTile) {
  std::vector<ShearStrength> cells(2);
  cells[0].normalStress = 1000.0;
  cells[1].normalStress = 10000.0;
  cells[0].pressedHeight = 0.500;
  cells[1].pressedHeight = 0.495;  // 1 % for 9 kPa
  EXPECT_NEAR(oedometerModulus(cells), 900.0e3, 1e-3);
  EXPECT_EQ(shearStrength(recordOf([](double) { return 0.4; }, [](double) { return 0.57; }))
                .pressedHeight,
            0.5);
}

TEST(FrictionAngle, WeighsByErrorsAndIsThatOfOneCell) {
  const std::vector<ShearStrength> cells{circle(1000.0, 0.5, 0.0, 10.0),
                                         circle(3000.0, 0.4, 0.0, 3000.0)};
  EXPECT_NEAR(frictionAngle(std::span(cells).first(1)).mean, std::asin(0.5), 1e-12);
  EXPECT_NEAR(frictionAngle(cells).mean, std::asin(0.5), 1e-4);
}

TEST(FrictionAngle, ErrorWidensWithScatterBeyondThatOfTheCells) {
  // Two cells of equal weight 20 errors apart: the error of their mean is half their distance.
  const std::vector<ShearStrength> cells{circle(1000.0, 0.5, 0.0, 2.0),
                                         circle(1000.0, 0.46, 0.0, 2.0)};
  const double apart = std::asin(0.5) - std::asin(0.46);
  EXPECT_NEAR(frictionAngle(cells).standardError, 0.5 * apart, 0.02 * apart);
}

}  // namespace
}  // namespace holdground
