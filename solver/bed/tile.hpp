#pragma once
// One tile of bed: settled once under its own weight, periodic in the plane, then laid as copies.
// A copy's neighbour is its own image, so the joins are in equilibrium; contact history comes
// along.
//
// Frame: world; z = 0 is the mean surface of the tile (surfaceLevel), x and y are centred.
// Promises: the same recipe gives the same bits with any number of threads.
// Checked by: tests/unit/bed/, tests/verification/bed/, tests/endtoend/bed_test.cpp

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "solver/state/grading.hpp"
#include "solver/state/grain_kernel.hpp"
#include "solver/state/grain_material.hpp"
#include "solver/state/grain_set.hpp"
#include "solver/state/grain_shape.hpp"

namespace holdground {

/// One soil of a stack.
struct SoilLayer {
  double thickness = 0.0;         ///< settled, about [m]
  double smallestDiameter = 0.0;  ///< [m]
  double largestDiameter = 0.0;   ///< [m]
  GradingBasis gradingBasis = GradingBasis::kMass;
  GrainMaterial material;
  double settlingFriction = 0.5;  ///< grain on grain while settling [-]
};

/// What lies under the lowest layer that moves: a thin layer of its own grains, held, or a hard
/// pan.
enum class StackBottom { kOwnGrains, kHardPan };

/// All that decides what a tile becomes. SI.
struct TileRecipe {
  double smallestDiameter = 0.04;  ///< [m]
  double largestDiameter = 0.04;   ///< [m]
  GradingBasis gradingBasis = GradingBasis::kMass;
  GrainShape shape = GrainShape::kSphere;  ///< diameters of stones are their middle axes
  GrainMaterial material;
  Water water;
  double length = 1.6;            ///< along x [m]
  double width = 1.6;             ///< along y [m]
  double depth = 0.8;             ///< of the settled bed, about [m]
  double frozenThickness = 0.04;  ///< grains with centres this low over the floor are held [m]
  double settlingFriction = 0.5;  ///< grain on grain while settling [-]
  double restSpeed = 1e-3;        ///< settled when the rms speed stays below [m/s]
  double longestSettling = 60.0;  ///< of simulated time [s]
  double rayleighFraction = 0.2;  ///< time step over the Rayleigh time [-]
  std::uint64_t seed = 1;

  /// A stack of soils from the top down, soil k of the grains; empty: one soil, as said above. In a
  /// stack the diameters above are the least and the largest of all, material and settling friction
  /// those of the top, depth the sum; shape is a sphere.
  std::vector<SoilLayer> layers;
  StackBottom bottom =
      StackBottom::kOwnGrains;  ///< hard pan: all grains of the last layer are held

  /// Of every soil, from the top down.
  std::vector<GrainMaterial> soils() const;
  /// What runs a bed of this recipe, but for its step.
  KernelSettings kernelSettings() const;
  /// InputError when no bed can be made of it.
  void check() const;
  /// Changes whenever anything does that decides the tile's bits.
  std::uint64_t hash() const;
};

/// A layer of a settled stack, between its own surface and that of what lies below.
struct SettledLayer {
  double top = 0.0;            ///< mean height, as surfaceLevel() measures it [m]
  double thickness = 0.0;      ///< [m]
  double solidFraction = 0.0;  ///< over the middle half of the thickness [-]
};

struct Tile {
  GrainSet grains;  ///< with contact history
  std::uint64_t recipeHash = 0;
  double solidFraction = 0.0;        ///< over the middle half of the depth [-]
  double coordination = 0.0;         ///< mean contacts of a moving grain or stone [-]
  double settlingTime = 0.0;         ///< simulated [s]
  double depth = 0.0;                ///< surface over floor [m]
  std::vector<SettledLayer> layers;  ///< of a stack, from the top down
};

/// How far settling has come.
struct SettlingState {
  double time = 0.0;      ///< simulated [s]
  double rmsSpeed = 0.0;  ///< of the grains [m/s]
  std::uint64_t grainSteps = 0;
};
/// Called now and then, for a progress line.
using SettlingProgress = std::function<void(const SettlingState&)>;

/// Solid fraction that a settled bed comes to, about: how many grains are dropped.
inline constexpr double kLooseFraction = 0.57;

/// Strain by which grains that begin to stick draw together until no contact is pressed: overlap
/// over diameter at which the contact law gives no force, alike for all sizes.
double stickingStrain(const GrainMaterial& material);

/// How many grains the recipe asks for; each sphere of a stone is one.
std::size_t grainCount(const TileRecipe& recipe);

/// A grain of the smallest size of each soil: enough to know the time step.
GrainSet smallestGrain(const TileRecipe& recipe);

/// About how many grains, in closed form: nothing is allocated, however absurd the recipe.
double expectedGrainCount(const TileRecipe& recipe);

/// A floor of held grains and the rest above it, apart from each other, ready to fall.
GrainSet looseGrains(const TileRecipe& recipe);

/// Drops grains onto a frozen floor and waits until they rest. InputError when the recipe cannot
/// make a bed (too few grains, a tile smaller than a few grains) or does not come to rest in time.
Tile settleTile(const TileRecipe& recipe, KernelKind kernel = KernelKind::kFast,
                const SettlingProgress& progress = {});

/// Copies of a tile side by side as one periodic bed, contact history and all; grain k of copy c
/// has id c * tile.grains.size() + k. The middle of the bed is x = y = 0.
GrainSet layTiles(const Tile& tile, int copiesX, int copiesY);

/// The same bed seen from another place of it, which becomes x = y = 0 [m].
void setOrigin(GrainSet& bed, double x, double y);

/// Mean height of what a straight line from above meets first [m].
double surfaceLevel(const GrainSet& grains);

/// A tile from its file; nothing when there is none, or it is damaged or of another version.
std::optional<Tile> readTile(const std::filesystem::path& path);

/// Writes beside and renames, so that the file is whole or absent. SystemError on one line.
void writeTile(const std::filesystem::path& path, const Tile& tile);

/// Keeps and fetches tiles by the hash of their recipe. A file that is damaged or of another
/// version counts as absent. Writing is atomic; SystemError when the folder cannot be written.
class TileCache {
 public:
  explicit TileCache(std::filesystem::path folder) : folder_(std::move(folder)) {}
  std::optional<Tile> find(const TileRecipe& recipe) const;
  void keep(const TileRecipe& recipe, const Tile& tile) const;
  std::filesystem::path fileOf(const TileRecipe& recipe) const;

 private:
  std::filesystem::path folder_;
};

}  // namespace holdground
