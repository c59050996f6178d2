// Critical state of sheared spheres against published trends. Two and a half minutes on one core.
// What it printed is kept in DEVELOPERS.md, decision 18.
//   Angle against friction without rolling resistance: saturates at 20 to 23 degrees once friction
//   is about 0.4 (Thornton 2000, Geotechnique 50:43; Huang et al. 2014, Granular Matter 16:641;
//   both from memory); there is strength without friction (Goencue & Luding 2013, from memory).
//   mu(I) = mus + (mu2 - mus)/(I0/I + 1), I0 = 0.279, mu2 - mus = 0.26 for glass beads (Jop,
//   Forterre & Pouliquen 2006, Nature 441:727, from memory): mu rises by 0.06 from I = 0.01 to 0.1.
#include <gtest/gtest.h>

#include <cmath>
#include <iostream>
#include <map>

#include "solver/bed/tile.hpp"
#include "solver/material/modulus_rule.hpp"
#include "solver/probe/strength.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {
namespace {

ShearStrength sheared(double friction, double rollingFriction, double inertialNumber,
                      std::uint64_t seed = 1) {
  TileRecipe recipe;
  recipe.smallestDiameter = 0.040;
  recipe.largestDiameter = 0.048;
  recipe.length = 0.53;
  recipe.width = 0.44;
  recipe.depth = 0.62;
  recipe.frozenThickness = 0.048;
  recipe.seed = seed;
  recipe.material.friction = friction;
  recipe.material.rollingFriction = rollingFriction;
  recipe.settlingFriction = std::max(0.1, friction);  // without any it would slosh for long
  recipe.material.youngModulus = softenedYoungModulus(30e3, recipe.material.poissonRatio);
  const Tile tile = settleTile(recipe);
  ShearCellSettings cell;
  cell.material = recipe.material;
  cell.timeStep = stableTimeStep(tile.grains, recipe.material);
  cell.normalStress = 3200.0;
  cell.inertialNumber = inertialNumber;
  const ShearStrength s = shearStrength(shearTile(tile.grains, cell));
  std::cout << "friction " << friction << " rolling " << rollingFriction << " I " << inertialNumber
            << ": angle " << std::asin(s.sine.mean) * 180.0 / kPi << " +-"
            << s.sine.standardError / std::sqrt(1.0 - s.sine.mean * s.sine.mean) * 180.0 / kPi
            << " deg, tau/sigma " << s.shearRatio.mean << " +-" << s.shearRatio.standardError
            << ", solid fraction " << s.solidFraction.mean << ", coordination "
            << s.coordination.mean << std::endl;
  return s;
}

double angle(const ShearStrength& s) { return std::asin(s.sine.mean) * 180.0 / kPi; }

TEST(CriticalState, AngleSaturatesWithFrictionWhereGrainsRollFreely) {
  const double none = angle(sheared(0.0, 0.0, 0.01));
  const double some = angle(sheared(0.2, 0.0, 0.01));
  const double half = angle(sheared(0.5, 0.0, 0.01));
  const double much = angle(sheared(0.8, 0.0, 0.01));
  // 5.8 degrees are reported in the slow limit (Peyneau & Roux 2008, Phys. Rev. E 78:011307, from
  // memory); it rises steeply with I, so no bar from above but the next.
  EXPECT_GT(none, 5.0);
  EXPECT_GT(some, none + 4.0);
  EXPECT_GT(half, some);
  // 20 to 23 degrees, with 2 for the difference between axial and simple shear.
  EXPECT_GT(half, 18.0);
  EXPECT_LT(half, 25.0);
  EXPECT_LT(std::abs(much - half), 2.0);
}

TEST(CriticalState, RollingResistanceLiftsTheAngleBeyondThat) {
  EXPECT_GT(angle(sheared(0.5, 0.3, 0.01)), angle(sheared(0.5, 0.0, 0.01)) + 5.0);
}

TEST(CriticalState, ForgetsHowItWasPacked) {
  const ShearStrength a = sheared(0.5, 0.1, 0.01, 1), b = sheared(0.5, 0.1, 0.01, 2);
  const double error = std::hypot(a.sine.standardError, b.sine.standardError);
  EXPECT_LT(std::abs(a.sine.mean - b.sine.mean), 3.0 * error + 0.005);
  // Frictional and isostatic at the least, frictionless at the most.
  EXPECT_GT(a.coordination.mean, 3.0);  // counts rattlers, so may be below 4
  EXPECT_LT(a.coordination.mean, 6.0);
}

TEST(CriticalState, ShearRatioRisesWithTheInertialNumber) {
  const ShearStrength slow = sheared(0.5, 0.0, 0.01), fast = sheared(0.5, 0.0, 0.1);
  const double rise = fast.shearRatio.mean - slow.shearRatio.mean;
  const double error = std::hypot(slow.shearRatio.standardError, fast.shearRatio.standardError);
  // 0.060 by the law: 0.2616 (0.1/0.379 - 0.01/0.289); glass beads, so the sign and half to twice.
  EXPECT_GT(rise, 0.03 - 2.0 * error);
  EXPECT_LT(rise, 0.12 + 2.0 * error);
}

}  // namespace
}  // namespace holdground
