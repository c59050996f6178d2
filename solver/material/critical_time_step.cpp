#include "solver/material/critical_time_step.hpp"

#include <cmath>

#include "solver/core/types.hpp"
#include "solver/material/effective_moduli.hpp"

namespace holdground {

double rayleighTime(double radius, double density, double youngModulus, double poissonRatio) {
  const double shear = shearModulus(youngModulus, poissonRatio);
  return kPi * radius * std::sqrt(density / shear) / (0.1631 * poissonRatio + 0.8766);
}

}  // namespace holdground
