#include "scenarios/card/soil_formulas.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/core/types.hpp"

namespace holdground {
namespace {

constexpr double kDegree = kPi / 180.0;

// Hand numbers: 10.5 x 5 kPa x 40 mm x 250 mm = 525 N; (7/6) pi D^3 su of a vane of H = 2 D,
// D = 65 mm, su = 10 kPa is 10.0655 N m.
TEST(SoilFormulas, ToolsGiveBackTheStrengthThatMadeTheirForce) {
  EXPECT_NEAR(tBarStrength(525.0, 0.04, 0.25), 5000.0, 1e-9);
  EXPECT_NEAR(vaneStrength(10.0655, 0.065, 0.13), 10000.0, 0.05);  // last digit of the torque
  EXPECT_NEAR(coneResistance(1000.0, 0.0357), 999.0e3, 0.1e3);     // the 10 cm2 cone
}

TEST(SoilFormulas, BearingFactorsAreThoseOfTheTables) {
  struct Row {
    double phi, nc, nq, smooth, rough;
  };
  for (const Row& row : {Row{20, 14.83, 6.40, 1.579, 2.839}, Row{25, 20.72, 10.66, 3.461, 6.491},
                         Row{30, 30.14, 18.40, 7.653, 14.75}, Row{40, 75.31, 64.20, 43.19, 85.57},
                         Row{45, 133.87, 134.87, 117.6, 234.2}}) {
    EXPECT_NEAR(bearingNc(row.phi * kDegree), row.nc, 0.006);  // two decimals
    EXPECT_NEAR(bearingNq(row.phi * kDegree), row.nq, 0.006);
    EXPECT_NEAR(bearingNGamma(row.phi * kDegree).low, row.smooth, 1e-9 * row.smooth);
    EXPECT_NEAR(bearingNGamma(row.phi * kDegree).high, row.rough, 1e-9 * row.rough);
  }
  EXPECT_NEAR(bearingNc(0.0), 2.0 + kPi, 1e-4);
  EXPECT_NEAR(bearingNc(1e-5), 2.0 + kPi, 1e-3);
  EXPECT_EQ(bearingNGamma(0.0).high, 0.0);
  // Between tabled angles: geometric mean half way.
  EXPECT_NEAR(bearingNGamma(27.5 * kDegree).high, std::sqrt(6.491 * 14.75), 1e-9);
  EXPECT_DOUBLE_EQ(bearingNGamma(50.0 * kDegree).high, 234.2);  // held beyond
}

TEST(SoilFormulas, EarthPressuresAreThoseOfTheTables) {
  EXPECT_NEAR(rankinePassive(25 * kDegree), 2.4639, 5e-5);
  EXPECT_NEAR(rankinePassive(35 * kDegree), 3.6902, 5e-5);
  EXPECT_NEAR(rankineActive(35 * kDegree), 0.2710, 5e-5);
  EXPECT_NEAR(coulombPassive(30 * kDegree, 0.0), 3.0, 1e-9);
  EXPECT_NEAR(coulombPassive(30 * kDegree, 10 * kDegree), 4.1433, 5e-5);
  EXPECT_NEAR(coulombPassive(35 * kDegree, 17.5 * kDegree), 7.3567, 5e-5);
  EXPECT_NEAR(coulombPassive(40 * kDegree, 80.0 / 3.0 * kDegree), 18.7173, 5e-5);
}

TEST(SoilFormulas, VentedStripsAndUpliftAreThoseOfTheTables) {
  EXPECT_NEAR(upliftStripFactor(1.0), 1.774, 5e-4);
  EXPECT_NEAR(upliftStripFactor(2.0), 3.549, 5e-4);
  EXPECT_NEAR(upliftStripFactor(5.0), 5.895, 5e-4);
  EXPECT_NEAR(sidewaysStripFactor(1.0), 2.595, 5e-4);
  EXPECT_NEAR(sidewaysStripFactor(3.0), 5.298, 5e-4);
  // 30 degrees, two breadths deep: 1 + 0.5 x 2 x 0.57735, 1 + 2 x 0.57735.
  EXPECT_NEAR(upliftInSand(30 * kDegree, 2.0).low, 1.5774, 5e-5);
  EXPECT_NEAR(upliftInSand(30 * kDegree, 2.0).high, 2.1547, 5e-5);
  EXPECT_NEAR(coneRatioInSand(30 * kDegree), 18.09, 0.01);
}

// k = 1 nm/s, M = 500 kPa: c_v = 1e-9 x 5e5 / 10000 = 5e-8 m2/s; 0.4 x 0.3 / 5e-8 = 2.4e6.
TEST(SoilFormulas, DrainageIsToldFromSpeedWidthAndPermeability) {
  const Drainage mud = drainageOf(1e-9, 5e5, 1e4, 0.4, 0.3);
  EXPECT_NEAR(mud.consolidation, 5e-8, 1e-20);
  EXPECT_NEAR(mud.number, 2.4e6, 1e-3);
  EXPECT_EQ(mud.says, "undrained");
  EXPECT_EQ(drainageOf(1e-3, 5e5, 1e4, 0.4, 0.3).says, "between");  // V = 2.4
  EXPECT_EQ(drainageOf(1e-3, 2e7, 1e4, 0.4, 0.3).says, "drained");  // V = 0.06
}

}  // namespace
}  // namespace holdground
