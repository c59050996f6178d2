#include "solver/state/stable_time_step.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "solver/core/errors.hpp"

namespace holdground {

namespace {

/// Radius of a grain as light as a stone is where it yields most, at the end of its longest arm:
/// 1/m' = 1/m + arm^2/I. Contacts of the small spheres there are softer than those of such a grain.
double yieldingRadius(const Stone& stone, double density) {
  double arm = 0.0;
  for (const Vec3& place : stone.places) arm = std::max(arm, place.norm());
  const double inverse = 1.0 / stone.mass + arm * arm / stone.inertia.minCoeff();
  return std::cbrt(3.0 / (4.0 * kPi * density * inverse));
}

}  // namespace

double stableTimeStep(const GrainSet& grains, const GrainMaterial& material, double fraction) {
  if (grains.radius.empty()) throw InputError("no grains: a time step cannot be chosen");
  double smallest = std::numeric_limits<double>::infinity();
  std::vector<bool> ofStone(grains.radius.size(), false);
  for (const Stone& stone : grains.stones) {
    std::fill_n(ofStone.begin() + stone.firstSphere, stone.sphereCount(), true);
    smallest = std::min(smallest, yieldingRadius(stone, material.density));
  }
  for (std::size_t id = 0; id < grains.radius.size(); ++id)
    if (!grains.frozen[id] && !ofStone[id]) smallest = std::min(smallest, grains.radius[id]);
  if (!std::isfinite(smallest))
    smallest = *std::min_element(grains.radius.begin(), grains.radius.end());
  // Where contacts keep a dent they unload along k2, stiffer than Hertz by 1/(1 - plasticity).
  return fraction * std::sqrt(1.0 - material.plasticity) *
         rayleighTime(smallest, material.density, material.youngModulus, material.poissonRatio);
}

}  // namespace holdground
