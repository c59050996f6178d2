#include "tests/support/beds.hpp"

#include <algorithm>
#include <cmath>
#include <random>

#include "solver/bed/tile.hpp"
#include "solver/material/modulus_rule.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {
namespace {

constexpr double kRadius = 0.02;

Vec3 randomDirection(std::mt19937& engine) {
  std::normal_distribution<double> normal;
  return Vec3(normal(engine), normal(engine), normal(engine)).normalized();
}

}  // namespace

KernelSettings bedSettings() {
  KernelSettings settings;
  settings.material.youngModulus = softenedYoungModulus(30e3, settings.material.poissonRatio);
  Ball smallest;
  smallest.radius = 0.85 * kRadius;
  settings.timeStep = stableTimeStep(sceneOf(Domain{}, {smallest}), settings.material);
  return settings;
}

KernelSettings weightlessSettings() {
  KernelSettings settings = bedSettings();
  settings.gravity = 0.0;
  settings.water.density = 0.0;
  return settings;
}

GrainSet cloudOf(const CloudShape& shape) {
  std::mt19937 engine(shape.seed);
  std::uniform_real_distribution<double> unit(-1.0, 1.0);
  const double pitch = shape.spacing * kRadius;
  const double width = shape.across * pitch, height = shape.layers * pitch;
  // Room to fly in: a cloud without gravity grows upward and downward.
  GrainSet set;
  set.domain = {width, width, -1.0, height + 1.0};
  const double jitter = 0.5 * (pitch - 2.0 * kRadius * (1.0 + shape.spread));
  for (int layer = 0; layer < shape.layers; ++layer)
    for (int row = 0; row < shape.across; ++row)
      for (int column = 0; column < shape.across; ++column) {
        const bool frozen = shape.frozenFloor && layer == 0;
        const Vec3 site((column + 0.5) * pitch - 0.5 * width, (row + 0.5) * pitch - 0.5 * width,
                        (layer + 0.5) * pitch);
        set.position.push_back(site + std::max(0.0, jitter) * 0.5 *
                                          Vec3(unit(engine), unit(engine), unit(engine)));
        set.radius.push_back(kRadius * (1.0 + shape.spread * unit(engine)));
        const Vec3 velocity = shape.speed * randomDirection(engine);
        const Vec3 spin = shape.speed / kRadius * randomDirection(engine);
        set.velocity.push_back(frozen ? Vec3(Vec3::Zero()) : velocity);
        set.spin.push_back(frozen ? Vec3(Vec3::Zero()) : spin);
        set.frozen.push_back(frozen ? 1 : 0);
      }
  return set;
}

GrainSet settledBed() {
  TileRecipe recipe;
  recipe.material = bedSettings().material;
  recipe.smallestDiameter = 0.034;
  recipe.largestDiameter = 0.046;
  recipe.length = recipe.width = 0.42;
  recipe.depth = 0.3;
  recipe.seed = 5;
  return settleTile(recipe).grains;
}

GrainSet pushedBed() {
  GrainSet set = settledBed();
  for (std::size_t id = 0; id < set.size(); ++id)
    if (!set.frozen[id] && set.position[id].z() > -0.15) set.velocity[id].x() += 0.5;
  return set;
}

double largestDistance(const GrainSet& a, const GrainSet& b) {
  double largest = 0.0;
  for (std::size_t id = 0; id < a.size(); ++id) {
    Vec3 d = a.position[id] - b.position[id];
    d.x() -= a.domain.lengthX * std::round(d.x() / a.domain.lengthX);
    d.y() -= a.domain.lengthY * std::round(d.y() / a.domain.lengthY);
    largest = std::max(largest, d.norm());
  }
  return largest;
}

}  // namespace holdground
