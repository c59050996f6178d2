#pragma once
// What a file says about steel, and what follows for a given ground.
//
// Defaults of friction: steel on ground, NAVFAC DM-7.02 1986 Table 1, tan(delta): .40 clean gravel,
//   .30 clean sand and fill of single-size hard rock, .25 silty sand, .20 silt. Rough steel:
//   1.45 times that, from delta/phi .76 rusted and .54 smooth (Potyondy 1961) at phi = 30 deg.
//   Coated steel: 2/3 of it, from tan(delta) .2 for the smoothest steel (McCarthy 1977); no table
//   for coatings was found.
// Defaults of adhesion: a share of the mud's strength. The table gives all of it below 24 kPa; here
//   half on smooth and coated steel, for mud that has been stirred, and 0.8 on rough steel, which
//   is as much as the bed itself can carry beside a plate. None where the strength is not known.
// Mud has rolling friction as its friction: its grains stand for lumps that do not roll.
// Checked by tests/unit/scenarios/surface_spec_test.cpp.

#include <optional>
#include <string>

#include "scenarios/schema/schema.hpp"
#include "solver/state/surface.hpp"

namespace holdground {

/// Adhesion beyond this share of the ground's strength is not had: the ground gives way beside the
/// steel (a plate drawn over mud gives back what was set up to here, DEVELOPERS decision 20).
inline constexpr double kMostAdhesion = 0.8;

enum class SteelFinish { kSmooth, kRough, kCoated };

/// What bears on the steel's defaults.
struct Ground {
  std::string kind = "sand";  ///< of the bed file; words not known count as sand
  double strength = 0.0;      ///< undrained shear strength [Pa]; 0: not known, or none
};

/// Numbers left out follow from finish and ground.
struct SurfaceSpec {
  std::optional<SteelFinish> finish;                ///< left out: smooth
  std::optional<double> friction, rollingFriction;  ///< [-]
  std::optional<double> adhesion, tension;          ///< [Pa]

  /// What a part says goes before what the file says for all; a part with a finish of its own takes
  /// no number from there.
  SurfaceSpec over(const SurfaceSpec& all) const;
  Surface on(const Ground& ground) const;
};

/// The keys finish, friction, rolling_friction, adhesion and tension.
/// @param otherwise what stands where a key is left out; empty: what `on` says
void addSurfaceKeys(TableSchema& table, SurfaceSpec& surface, const char* otherwise = "");

}  // namespace holdground
