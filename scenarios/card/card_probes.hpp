#pragma once
// The quick card's probes, run side by side, each on one thread.

#include <span>
#include <string>
#include <vector>

#include "solver/bed/tile.hpp"
#include "solver/probe/cut_slope.hpp"
#include "solver/probe/strength.hpp"

namespace holdground {

struct CardProbes {
  double k0 = 0.0;                   ///< horizontal over vertical stress, middle third of the depth
  std::vector<ShearStrength> shear;  ///< at the stresses of the settings, in order
  CutSlope underWater, dry;          ///< the first is empty (time 0) for a dry bed
};

struct CardSettings {
  std::vector<double> stresses{1000.0, 3200.0, 10000.0};  ///< those an anchor meets [Pa]
  /// Slow: by mu = mus + (mu2 - mus)/(I0/I + 1), I0 0.28 (Jop et al. 2006, from memory), rate then
  /// adds 3 % of mu2 - mus, 0.01 to mu.
  double inertialNumber = 0.01;
  /// Stones take shorter steps and are sheared twice as fast: by the same law 0.008 more of mu.
  double inertialNumberOf(GrainShape shape) const {
    return shape == GrainShape::kSphere ? inertialNumber : 2.0 * inertialNumber;
  }
  double strain = 2.0;        ///< critical state is that of the second half
  int readings = 800;         ///< of each shear cell
  double longestSlope = 6.0;  ///< simulated time given to a cut bed [s]

  /// Changes whenever one of them does.
  std::uint64_t hash() const;
};

/// Whether slopes are cut too: that of the dry bed, and the one under water.
enum class Slopes { kNone, kAll };

/// Shear cells and slopes, side by side; K0 is left at 0. InputError when grains fly apart.
/// @param small  tile of the probe recipe, sheared and cut.
/// @param what  names the line of progress on stderr.
CardProbes probeSmallTile(const TileRecipe& recipe, const Tile& small, const CardSettings& settings,
                          Slopes slopes, const std::string& what);

/// Slopes of the dry bed cut in each of these small tiles, side by side.
std::vector<CutSlope> cutDrySlopes(const TileRecipe& recipe, std::span<const Tile> small,
                                   const CardSettings& settings, const std::string& what);

/// The same with all slopes, and K0 of the tile.
CardProbes runCardProbes(const TileRecipe& recipe, const Tile& tile, const Tile& small,
                         const CardSettings& settings);

bool isCohesive(const GrainMaterial& grains);

/// Friction angle of several cells [rad]: without cohesion the mean of the cells' own, with it the
/// slope of the line through them.
Estimate cardAngle(std::span<const ShearStrength> cells, bool cohesive);

/// Horizontal over vertical stress of a bed at rest, in the middle third of its depth.
double restingPressureRatio(const TileRecipe& recipe, const Tile& tile);

}  // namespace holdground
