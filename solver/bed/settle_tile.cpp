// Drops the grains of a tile into place and lets their weight grow.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "solver/bed/stone_shape.hpp"
#include "solver/bed/tile.hpp"
#include "solver/contact/hertz_mindlin.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"
#include "solver/state/select_grains.hpp"
#include "solver/state/slice_state.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {

namespace {

constexpr double kRestTime = 0.1;  // the bed must stay at rest this long [s]
// Grains fall at a share of their weight, which then grows to the whole in steps: a fall at full
// weight presses the bed harder than it will lie, and that stays in it as sideways stress.
constexpr double kFallingWeight = 0.2;
constexpr int kWeightSteps = 6;
constexpr double kRestRelaxed = 5.0;  // speed that counts as rest on the way, over that in the end
// Slower, the grains have fallen and the bed rings; rms [m/s].
constexpr double kFallenSpeed = 0.05;

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

/// Share of solid between a quarter and three quarters of what lies from `top` down to `floor`, by
/// sphere segments.
double solidFraction(const GrainSet& set, const std::vector<double>& shares, double top,
                     double floor) {
  const double low = top + 0.75 * (floor - top), high = top + 0.25 * (floor - top);
  double volume = 0.0;
  for (std::size_t k = 0; k < set.size(); ++k)
    volume += shares[k] * sphereVolumeBetween(set.radius[k], set.position[k].z(), {low, high});
  return volume / ((high - low) * set.domain.lengthX * set.domain.lengthY);
}

/// What became of the layers of a stack whose surface is z = 0: each ends where the ground would
/// if all above it were taken away.
std::vector<SettledLayer> settledLayers(const GrainSet& set, const TileRecipe& recipe,
                                        const std::vector<double>& shares, double floor) {
  std::vector<SettledLayer> layers(recipe.layers.size());
  for (std::size_t k = 1; k < layers.size(); ++k)
    layers[k].top =
        surfaceLevel(selectGrains(set, [&](std::size_t id) { return set.soilOf(id) >= k; }));
  for (std::size_t k = 0; k < layers.size(); ++k) {
    const double bottom = k + 1 < layers.size() ? layers[k + 1].top : floor;
    layers[k].thickness = layers[k].top - bottom;
    layers[k].solidFraction = solidFraction(set, shares, layers[k].top, bottom);
  }
  return layers;
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
  const bool onPan = recipe.bottom == StackBottom::kHardPan && !recipe.layers.empty();
  for (std::size_t k = 0; k < set.size(); ++k) {
    const bool isLow = !ofStone[k] && set.position[k].z() < recipe.frozenThickness;
    const bool isPan = set.soilOf(k) + 1u == recipe.layers.size();
    if (set.frozen[k] != 0 || (onPan ? isPan : isLow)) {
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
  tile.solidFraction = solidFraction(set, shares, 0.0, -level);
  tile.layers = settledLayers(set, recipe, shares, -level);
  tile.coordination = coordinationNumber(set);
  tile.recipeHash = recipe.hash();
  tile.grains = std::move(set);
  return tile;
}

/// Everything nearer to the middle of the floor by a factor, the grains as large as before. The
/// domain is the caller's to set.
void drawTogether(GrainSet& set, double factor) {
  std::vector<Vec3> shift(set.size());
  for (std::size_t k = 0; k < set.size(); ++k) shift[k] = (factor - 1.0) * set.position[k];
  for (Stone& stone : set.stones) {  // a stone keeps its shape
    const Vec3 way = (factor - 1.0) * stone.centreOfMass;
    std::fill_n(shift.begin() + stone.firstSphere, stone.sphereCount(), way);
    stone.centreOfMass += way;
  }
  for (std::size_t k = 0; k < set.size(); ++k) set.position[k] += shift[k];
}

/// A bed on its way to rest.
class Settling {
 public:
  Settling(const TileRecipe& recipe, KernelKind kind, const SettlingProgress& progress)
      : recipe_(recipe), kind_(kind), progress_(progress) {
    // Grains that stick while they fall stack into open chains that no ground has: they fall as if
    // they did not.
    const GrainSet start = looseGrains(laidFor(recipe));
    settings_ = recipe.kernelSettings();
    fallLoosely(settings_.material, recipe.settlingFriction);
    for (std::size_t k = 1; k < recipe.layers.size(); ++k)
      fallLoosely(settings_.lowerSoils[k - 1], recipe.layers[k].settlingFriction);
    settings_.gravity = kFallingWeight * kStandardGravity;
    settings_.timeStep = stableTimeStep(start, settings_.soils(), recipe.rayleighFraction);
    kernel_ = makeKernel(kind, start, settings_);
  }

  /// The friction and the stickiness it is to have; from here on contacts keep their dents.
  void becomeGround() {
    settings_.material = recipe_.material;
    settings_.lowerSoils = recipe_.kernelSettings().lowerSoils;
    GrainSet set = kernel_->store();
    settings_.timeStep = stableTimeStep(set, settings_.soils(), recipe_.rayleighFraction);
    if (!recipe_.layers.empty()) {
      for (std::size_t id = 0; id < set.size(); ++id)
        set.radius[id] /= 1.0 - stickingStrain(recipe_.layers[set.soilOf(id)].material);
    } else if (recipe_.material.pullOffStress > 0.0) {
      drawTogether(set, 1.0 - stickingStrain(recipe_.material));
      set.domain.lengthX = recipe_.length;
      set.domain.lengthY = recipe_.width;
    }
    restart(std::move(set));
  }

  void weigh(double share) {
    settings_.gravity = share * kStandardGravity;
    restart(kernel_->store());
  }

  void untilSlowerThan(double restSpeed) {
    constexpr int kStepsBetweenLooks = 50;
    const double span = kStepsBetweenLooks * settings_.timeStep;
    double atRest = 0.0, last = 0.0, lastButOne = 0.0;
    while (atRest < kRestTime) {
      for (int k = 0; k < kStepsBetweenLooks; ++k) {
        kernel_->updateNeighbours();
        kernel_->advance();
      }
      time_ += span;
      grainSteps_ += kStepsBetweenLooks * kernel_->size();
      const double speed = rmsSpeed(*kernel_);
      atRest = speed < restSpeed ? atRest + span : 0.0;
      if (progress_) progress_({time_, speed, grainSteps_});
      // A fallen bed rings up and down as a whole for seconds. Where its speed has just passed a
      // peak it is stopped, which takes that energy out at once and leaves every contact as it is:
      // kinetic damping (Cundall 1976, from memory).
      const bool isPeak = speed < kFallenSpeed && speed < last && last > lastButOne;
      lastButOne = isPeak ? 0.0 : last;
      last = isPeak ? 0.0 : speed;
      if (isPeak) restart(kernel_->store());
      if (time_ > recipe_.longestSettling)
        throw InputError(fmt::format(
            "settling.longest_time: found {:.3g} s, allowed is as long as it takes to come to "
            "rest: not at rest after it, rms speed {:.3g} m/s; settling.rest_speed is {:.3g} m/s",
            recipe_.longestSettling, speed, recipe_.restSpeed));
    }
  }

  GrainSet grains() const { return kernel_->store(); }
  double time() const { return time_; }

 private:
  static void fallLoosely(GrainMaterial& material, double friction) {
    material.friction = friction;
    material.pullOffStress = 0.0;
    material.plasticity = 0.0;
  }

  /// A tile that is wider, or in a stack, whose soils stick unlike, grains that are smaller, by the
  /// strain to come.
  static TileRecipe laidFor(const TileRecipe& recipe) {
    TileRecipe laid = recipe;
    for (SoilLayer& layer : laid.layers) {
      const double share = 1.0 - stickingStrain(layer.material);
      layer.smallestDiameter *= share;
      layer.largestDiameter *= share;
    }
    if (!recipe.layers.empty()) return laid;
    const double strain = stickingStrain(recipe.material);
    laid.length /= 1.0 - strain;
    laid.width /= 1.0 - strain;
    return laid;
  }

  void restart(GrainSet set) {
    set.stop();
    kernel_ = makeKernel(kind_, set, settings_);
  }

  TileRecipe recipe_;
  KernelKind kind_;
  const SettlingProgress& progress_;
  KernelSettings settings_;
  std::unique_ptr<GrainKernel> kernel_;
  double time_ = 0.0;
  std::uint64_t grainSteps_ = 0;
};

}  // namespace

Tile settleTile(const TileRecipe& recipe, KernelKind kind, const SettlingProgress& progress) {
  recipe.check();
  Settling settling(recipe, kind, progress);
  settling.untilSlowerThan(kRestRelaxed * recipe.restSpeed);
  settling.becomeGround();
  for (int k = 1; k <= kWeightSteps; ++k) {
    settling.weigh(std::pow(kFallingWeight, 1.0 - static_cast<double>(k) / kWeightSteps));
    settling.untilSlowerThan(k < kWeightSteps ? kRestRelaxed * recipe.restSpeed : recipe.restSpeed);
  }
  Tile tile = finish(settling.grains(), recipe);
  tile.settlingTime = settling.time();
  return tile;
}

}  // namespace holdground
