#include "solver/state/stable_time_step.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/core/errors.hpp"

namespace holdground {

double stableTimeStep(const GrainSet& grains, const GrainMaterial& material, double fraction) {
  if (grains.radius.empty()) throw InputError("no grains: a time step cannot be chosen");
  double smallest = std::numeric_limits<double>::infinity();
  for (std::size_t id = 0; id < grains.size(); ++id)
    if (!grains.frozen[id]) smallest = std::min(smallest, grains.radius[id]);
  if (!std::isfinite(smallest))
    smallest = *std::min_element(grains.radius.begin(), grains.radius.end());
  return fraction *
         rayleighTime(smallest, material.density, material.youngModulus, material.poissonRatio);
}

}  // namespace holdground
