#include "solver/material/modulus_rule.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/material/effective_moduli.hpp"

namespace holdground {

// Straight from Hertz: the force of a contact in a bed under 30 kPa, its overlap, its stiffness.
// Force per contact from the mean stress of a packing, Rumpf 1970: F = pi sigma d^2/(phi Z).
TEST(ModulusRule, HertzStiffnessAtTheStressIsTheNumberAsked) {
  const double stress = 30e3, poisson = 0.25;
  for (const double number : {100.0, 300.0, 1000.0})
    for (const double diameter : {0.005, 0.04, 0.2}) {
      const double young = softenedYoungModulus(stress, poisson, number);
      const double effective = effectiveModuli(young, poisson, young, poisson).young;
      const double force = M_PI * stress * diameter * diameter / (0.57 * 5.0);
      const double overlap =
          std::pow(force / (4.0 / 3.0 * effective * std::sqrt(0.25 * diameter)), 2.0 / 3.0);
      const double stiffness = 2.0 * effective * std::sqrt(0.25 * diameter * overlap);
      EXPECT_NEAR(stiffness / (stress * diameter) / number, 1.0, 1e-12);
      EXPECT_NEAR(stiffnessNumber(young, poisson, stress) / number, 1.0, 1e-12);
    }
}

TEST(ModulusRule, DefaultNumberAt30KilopascalNeedsAbout80Megapascal) {
  EXPECT_NEAR(softenedYoungModulus(30e3, 0.25), 8.036e7, 0.0005e7);
}

}  // namespace holdground
