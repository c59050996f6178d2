// Drops the grains of a tile into place.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "solver/bed/stone_shape.hpp"
#include "solver/bed/tile.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"
#include "solver/state/slice_state.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {

namespace {

constexpr int kCodeVersion = 5;    // raise when the way a tile is made changes
constexpr double kRestTime = 0.1;  // the bed must stay at rest this long [s]
// Slower, the grains have fallen and the bed rings; rms [m/s].
constexpr double kFallenSpeed = 0.05;

void require(bool good, const std::string& text) {
  if (!good) throw InputError(text);
}

void check(const TileRecipe& r) {
  require(r.smallestDiameter > 0.0 && r.largestDiameter >= r.smallestDiameter,
          "bed: no grains in the grading: the largest diameter must be at least the smallest");
  const double least = 4.0 * r.largestDiameter;
  require(
      r.length >= least && r.width >= least && r.depth >= 2.0 * r.largestDiameter,
      fmt::format("bed: tile of {:.3g} x {:.3g} x {:.3g} m; for grains up to {:.3g} m allowed from "
                  "{:.3g} x {:.3g} x {:.3g} m",
                  r.length, r.width, r.depth, r.largestDiameter, least, least,
                  2.0 * r.largestDiameter));
}

double rmsSpeed(const GrainKernel& kernel) {
  double sum = 0.0;
  std::size_t moving = 0;
  for (std::uint32_t slot = 0; slot < kernel.size(); ++slot) {
    const GrainSample s = kernel.sample(slot);
    if (s.inverseMass == 0.0) continue;
    sum += s.velocity.squaredNorm();
    ++moving;
  }
  return std::sqrt(sum / static_cast<double>(std::max<std::size_t>(1, moving)));
}

/// The same bed, not moving.
std::unique_ptr<GrainKernel> stopped(const GrainKernel& kernel, KernelKind kind,
                                     const KernelSettings& settings) {
  GrainSet set = kernel.store();
  set.stop();
  return makeKernel(kind, set, settings);
}

/// Share of a sphere's volume that is its own: those of one stone overlap.
std::vector<double> ownShares(const GrainSet& set, double density) {
  std::vector<double> shares(set.size(), 1.0);
  for (const Stone& stone : set.stones) {
    double spheres = 0.0;
    for (std::uint32_t k = 0; k < stone.sphereCount(); ++k)
      spheres += 4.0 / 3.0 * kPi * std::pow(set.radius[stone.firstSphere + k], 3);
    std::fill_n(shares.begin() + stone.firstSphere, stone.sphereCount(),
                stone.mass / density / spheres);
  }
  return shares;
}

/// Share of solid between a quarter and three quarters of the depth, by sphere segments.
double solidFraction(const GrainSet& set, const std::vector<double>& shares, double floor) {
  const double low = 0.75 * floor, high = 0.25 * floor;  // the surface is z = 0
  double volume = 0.0;
  for (std::size_t k = 0; k < set.size(); ++k)
    volume += shares[k] * sphereVolumeBetween(set.radius[k], set.position[k].z(), {low, high});
  return volume / ((high - low) * set.domain.lengthX * set.domain.lengthY);
}

double coordinationNumber(const GrainSet& set) {
  std::size_t ends = 0, moving = 0;
  for (const ContactMemory& c : set.contacts)
    ends += (set.frozen[c.a] == 0 ? 1u : 0u) + (set.frozen[c.b] == 0 ? 1u : 0u);
  for (const std::uint8_t frozen : set.frozen) moving += frozen == 0 ? 1 : 0;
  for (const Stone& stone : set.stones) moving -= stone.sphereCount() - 1;
  return static_cast<double>(ends) / static_cast<double>(std::max<std::size_t>(1, moving));
}

/// Stones with their centre in the bottom layer are held, and their spheres are then like others.
void holdLowStones(GrainSet& set, double thickness) {
  std::erase_if(set.stones, [&](const Stone& stone) {
    const bool isLow = stone.centreOfMass.z() < thickness;
    if (isLow) std::fill_n(set.frozen.begin() + stone.firstSphere, stone.sphereCount(), 1);
    return isLow;
  });
}

/// Puts z = 0 at the surface, holds the bottom layer, drops the memory of contacts between grains
/// that are now both held.
Tile finish(GrainSet set, const TileRecipe& recipe) {
  Tile tile;
  const double level = surfaceLevel(set);
  const std::vector<double> shares = ownShares(set, recipe.material.density);
  holdLowStones(set, recipe.frozenThickness);
  std::vector<bool> ofStone(set.size(), false);
  for (Stone& stone : set.stones) {
    for (std::uint32_t k = 0; k < stone.sphereCount(); ++k) ofStone[stone.firstSphere + k] = true;
    stone.centreOfMass.z() -= level;
  }
  for (std::size_t k = 0; k < set.size(); ++k) {
    if (set.frozen[k] != 0 || (!ofStone[k] && set.position[k].z() < recipe.frozenThickness)) {
      set.frozen[k] = 1;
      set.velocity[k] = set.spin[k] = Vec3::Zero();
    }
    set.position[k].z() -= level;
  }
  std::erase_if(set.contacts, [&](const ContactMemory& c) {
    return set.frozen[c.a] != 0 && set.frozen[c.b] != 0;
  });
  set.domain.floorZ -= level;
  set.domain.ceilingZ = -set.domain.floorZ;  // room for what an anchor throws up
  tile.depth = level;
  tile.solidFraction = solidFraction(set, shares, -level);
  tile.coordination = coordinationNumber(set);
  tile.recipeHash = recipe.hash();
  tile.grains = std::move(set);
  return tile;
}

}  // namespace

std::size_t grainCount(const TileRecipe& recipe) {
  check(recipe);
  return looseGrains(recipe).size();
}

double expectedGrainCount(const TileRecipe& recipe) {
  check(recipe);
  // Mean cube of the diameter over the grading of diameterAt().
  const double a = recipe.smallestDiameter, b = recipe.largestDiameter;
  const double meanCube = recipe.gradingBasis == GradingBasis::kNumber
                              ? 0.25 * (a + b) * (a * a + b * b)
                              : 2.0 * a * a * b * b / (a + b);
  const double filled = kLooseFraction * recipe.length * recipe.width * recipe.depth *
                        spheresOf(recipe.shape) / meanVolumeShare(recipe.shape);
  return std::ceil(recipe.length / a) * std::ceil(recipe.width / a) +
         filled / (kPi / 6.0 * meanCube);
}

std::uint64_t TileRecipe::hash() const {
  std::uint64_t h = hashText("holdground tile");
  for (const double x : {smallestDiameter,
                         largestDiameter,
                         material.density,
                         material.youngModulus,
                         material.poissonRatio,
                         material.friction,
                         material.rollingFriction,
                         material.restitutionCoefficient,
                         material.pullOffStress,
                         material.pullOffRange,
                         water.density,
                         water.dragCoefficient,
                         length,
                         width,
                         depth,
                         frozenThickness,
                         settlingFriction,
                         restSpeed,
                         longestSettling,
                         rayleighFraction})
    h = hashBits(h, x);
  h = hashBits(h, seed);
  h = hashBits(h, kCodeVersion);
  // Beds of single grains keep the names they had before there were stones.
  if (shape != GrainShape::kSphere) h = hashBits(h, static_cast<int>(shape));
  return hashBits(h, static_cast<int>(gradingBasis));
}

Tile settleTile(const TileRecipe& recipe, KernelKind kind, const SettlingProgress& progress) {
  check(recipe);
  const GrainSet start = looseGrains(recipe);
  KernelSettings settings;
  settings.material = recipe.material;
  settings.material.friction = recipe.settlingFriction;
  settings.water = recipe.water;
  settings.timeStep = stableTimeStep(start, recipe.material, recipe.rayleighFraction);
  // Grains that stick while they fall stack into open chains that no ground has: they fall as if
  // they did not, and are made to stick once they lie.
  settings.material.pullOffStress = 0.0;
  auto kernel = makeKernel(kind, start, settings);

  double time = 0.0, atRest = 0.0, last = 0.0, lastButOne = 0.0;
  std::uint64_t grainSteps = 0;
  constexpr int kStepsBetweenLooks = 50;
  while (atRest < kRestTime || settings.material.pullOffStress < recipe.material.pullOffStress) {
    if (atRest >= kRestTime) {
      settings.material.pullOffStress = recipe.material.pullOffStress;
      kernel = makeKernel(kind, kernel->store(), settings);
      atRest = 0.0;
    }
    for (int k = 0; k < kStepsBetweenLooks; ++k) {
      kernel->updateNeighbours();
      kernel->advance();
    }
    time += kStepsBetweenLooks * settings.timeStep;
    const double speed = rmsSpeed(*kernel);
    atRest = speed < recipe.restSpeed ? atRest + kStepsBetweenLooks * settings.timeStep : 0.0;
    grainSteps += kStepsBetweenLooks * kernel->size();
    if (progress) progress({time, speed, grainSteps});
    // A fallen bed rings up and down as a whole for seconds. Where its speed has just passed a peak
    // it is stopped, which takes that energy out at once and leaves every contact as it is: kinetic
    // damping (Cundall 1976, from memory).
    if (speed < kFallenSpeed && speed < last && last > lastButOne) {
      kernel = stopped(*kernel, kind, settings);
      last = lastButOne = 0.0;
    } else {
      lastButOne = last;
      last = speed;
    }
    if (time > recipe.longestSettling)
      throw InputError(
          fmt::format("bed: not at rest after {:.3g} s: rms speed {:.3g} m/s, allowed {:.3g} m/s",
                      time, speed, recipe.restSpeed));
  }
  Tile tile = finish(kernel->store(), recipe);
  tile.settlingTime = time;
  return tile;
}

}  // namespace holdground
