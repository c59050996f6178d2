#pragma once
// From a bed file to a settled tile: fetched from the cache, or settled once and kept there.
// Checked by: tests/unit/scenarios/tile_source_test.cpp

#include <filesystem>
#include <string>

#include "scenarios/schema/bed_recipe.hpp"
#include "solver/bed/tile.hpp"

namespace holdground {

/// The recipe of the solver. `seed` replaces the file's.
TileRecipe tileRecipe(const BedRecipe& bed, std::uint64_t seed, double rayleighFraction = 0.2);

/// Where settled tiles are kept: $HOLDGROUND_CACHE, else $XDG_CACHE_HOME/holdground, else
/// ~/.cache/holdground, else .cache/holdground in the working folder.
std::filesystem::path cacheFolder();

/// From the cache or freshly settled, with a progress line on stderr while it settles. A cache that
/// cannot be written costs a warning, not the run.
/// InputError when it cannot be settled, SimulationError when it flies apart while it settles.
/// @param beforeSettling  line to print on stderr when it has to be settled; empty: none.
/// @param bedFile  that errors name; empty: none.
Tile obtainTile(const TileRecipe& recipe, const std::string& beforeSettling = "",
                const std::string& bedFile = "");

}  // namespace holdground
