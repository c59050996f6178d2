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

/// Radius of the smallest moving grain of a soil [m]; infinite when none moves.
double smallestMoving(const GrainSet& grains, std::size_t soil, double density) {
  double smallest = std::numeric_limits<double>::infinity();
  std::vector<bool> ofStone(grains.radius.size(), false);
  for (const Stone& stone : grains.stones) {
    std::fill_n(ofStone.begin() + stone.firstSphere, stone.sphereCount(), true);
    smallest = std::min(smallest, yieldingRadius(stone, density));
  }
  for (std::size_t id = 0; id < grains.radius.size(); ++id)
    if (!grains.frozen[id] && !ofStone[id] && grains.soilOf(id) == soil)
      smallest = std::min(smallest, grains.radius[id]);
  return smallest;
}

/// Young's modulus that grains of soil `a` would need to be as stiff among themselves as they are
/// against those of `b` [Pa].
double modulusAgainst(const GrainMaterial& a, const GrainMaterial& b) {
  const double own = 1.0 - a.poissonRatio * a.poissonRatio;
  const double other = 1.0 - b.poissonRatio * b.poissonRatio;
  return 2.0 * own / (own / a.youngModulus + other / b.youngModulus);
}

}  // namespace

double stableTimeStep(const GrainSet& grains, const GrainMaterial& material, double fraction) {
  return stableTimeStep(grains, std::span(&material, 1), fraction);
}

double stableTimeStep(const GrainSet& grains, std::span<const GrainMaterial> soils,
                      double fraction) {
  if (grains.radius.empty()) throw InputError("no grains: a time step cannot be chosen");
  const auto stepOf = [&](double radius, const GrainMaterial& a, const GrainMaterial& b) {
    const double modulus = &a == &b ? a.youngModulus : modulusAgainst(a, b);
    // Where contacts keep a dent they unload along k2, stiffer than Hertz by 1/(1 - plasticity).
    return fraction * std::sqrt(1.0 - std::max(a.plasticity, b.plasticity)) *
           rayleighTime(radius, a.density, modulus, a.poissonRatio);
  };
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t a = 0; a < soils.size(); ++a) {
    const double radius = smallestMoving(grains, a, soils[a].density);
    if (!std::isfinite(radius)) continue;
    for (const GrainMaterial& other : soils)
      least = std::min(least, stepOf(radius, soils[a], other));
  }
  if (std::isfinite(least)) return least;
  return stepOf(*std::min_element(grains.radius.begin(), grains.radius.end()), soils[0], soils[0]);
}

}  // namespace holdground
