#include "solver/material/modulus_rule.hpp"

#include <cmath>

#include "solver/core/types.hpp"

namespace holdground {
namespace {

constexpr double kSolidFraction = 0.57;
constexpr double kCoordination = 5.0;
/// f in F = f sigma d^2.
constexpr double kForceFactor = kPi / (kSolidFraction * kCoordination);

}  // namespace

double softenedYoungModulus(double stress, double poissonRatio, double stiffnessNumber) {
  const double effective =
      stress * std::pow(0.5 * stiffnessNumber, 1.5) / std::sqrt(3.0 * kForceFactor / 16.0);
  return 2.0 * (1.0 - poissonRatio * poissonRatio) * effective;
}

double stiffnessNumber(double youngModulus, double poissonRatio, double stress) {
  const double effective = youngModulus / (2.0 * (1.0 - poissonRatio * poissonRatio));
  return 2.0 * std::cbrt(effective / stress) * std::cbrt(effective / stress) *
         std::cbrt(3.0 * kForceFactor / 16.0);
}

}  // namespace holdground
