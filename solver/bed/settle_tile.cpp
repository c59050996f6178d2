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
#include "solver/state/slice_state.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {

namespace {

constexpr int kCodeVersion = 6;    // raise when the way a tile is made changes
constexpr double kRestTime = 0.1;  // the bed must stay at rest this long [s]
// Grains fall at a share of their weight, which then grows to the whole in steps: a fall at full
// weight presses the bed harder than it will lie, and that stays in it as sideways stress.
constexpr double kFallingWeight = 0.2;
constexpr int kWeightSteps = 6;
constexpr double kMostStickingStrain = 0.1;  // of grains by their cohesion alone: Hertz is for less
constexpr double kRestRelaxed = 5.0;  // speed that counts as rest on the way, over that in the end
// Slower, the grains have fallen and the bed rings; rms [m/s].
constexpr double kFallenSpeed = 0.05;

void require(bool good, const std::string& text) {
  if (!good) throw InputError(text);
}

/// Strain by which grains that begin to stick draw together until no contact is pressed: overlap
/// over diameter at which the contact law gives no force, alike for all sizes.
double stickingStrain(const GrainMaterial& material) {
  return std::pow(1.5 * material.pullOffStress / contactLaw(material).effectiveYoung, 2.0 / 3.0);
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
  const double strain = stickingStrain(r.material);
  require(
      strain <= kMostStickingStrain,
      fmt::format("bed: pull_off_stress of {:.4g} Pa presses grains of a modulus of {:.4g} Pa "
                  "into each other by {:.2g} of their diameter, allowed is {:.2g}",
                  r.material.pullOffStress, r.material.youngModulus, strain, kMostStickingStrain));
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
    TileRecipe wide = recipe;
    const double strain = stickingStrain(recipe.material);
    wide.length /= 1.0 - strain;
    wide.width /= 1.0 - strain;
    const GrainSet start = looseGrains(wide);
    settings_.material = recipe.material;
    settings_.material.friction = recipe.settlingFriction;
    settings_.material.pullOffStress = 0.0;
    settings_.material.plasticity = 0.0;
    settings_.water = recipe.water;
    settings_.gravity = kFallingWeight * kStandardGravity;
    settings_.timeStep = stableTimeStep(start, settings_.material, recipe.rayleighFraction);
    kernel_ = makeKernel(kind, start, settings_);
  }

  /// The friction and the stickiness it is to have; from here on contacts keep their dents.
  void becomeGround() {
    settings_.material = recipe_.material;
    GrainSet set = kernel_->store();
    settings_.timeStep = stableTimeStep(set, settings_.material, recipe_.rayleighFraction);
    if (recipe_.material.pullOffStress > 0.0) {
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
        throw InputError(
            fmt::format("bed: not at rest after {:.3g} s: rms speed {:.3g} m/s, allowed {:.3g} m/s",
                        time_, speed, restSpeed));
    }
  }

  GrainSet grains() const { return kernel_->store(); }
  double time() const { return time_; }

 private:
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
  if (material.plasticity > 0.0)
    h = hashBits(hashBits(h, material.plasticity), material.adhesiveShare);
  return hashBits(h, static_cast<int>(gradingBasis));
}

Tile settleTile(const TileRecipe& recipe, KernelKind kind, const SettlingProgress& progress) {
  check(recipe);
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
