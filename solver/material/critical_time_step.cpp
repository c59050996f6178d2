#include "solver/material/critical_time_step.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/core/errors.hpp"
#include "solver/material/effective_moduli.hpp"

namespace holdground {

double rayleighTime(double radius, double density, double youngModulus, double poissonRatio) {
  const double shear = shearModulus(youngModulus, poissonRatio);
  return kPi * radius * std::sqrt(density / shear) / (0.1631 * poissonRatio + 0.8766);
}

double stableTimeStep(const GrainSet& grains, const GrainMaterial& material, double fraction) {
  if (grains.radius.empty()) throw InputError("no grains: a time step cannot be chosen");
  double smallestMoving = std::numeric_limits<double>::infinity();
  for (std::size_t id = 0; id < grains.size(); ++id)
    if (!grains.frozen[id]) smallestMoving = std::min(smallestMoving, grains.radius[id]);
  const double smallest = std::isfinite(smallestMoving)
                              ? smallestMoving
                              : *std::min_element(grains.radius.begin(), grains.radius.end());
  return fraction *
         rayleighTime(smallest, material.density, material.youngModulus, material.poissonRatio);
}

}  // namespace holdground
