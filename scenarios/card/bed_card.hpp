#pragma once
// The bed card: what is known of a settled tile, and what probes measured in the same recipe.
//
// The quick card takes K0 from the tile itself, and strength and repose from a small tile of the
// same recipe (grains, law, settling; 12 x 10 mean diameters, 14 deep), kept like any tile. What
// was measured is kept beside the tiles under a hash of both recipes, so a second call reads it.
// Keys are in SI units, or degrees where the name says so.
// Checked by: tests/unit/scenarios/bed_card_test.cpp

#include <filesystem>
#include <nlohmann/json.hpp>

#include "scenarios/card/card_probes.hpp"
#include "scenarios/schema/bed_recipe.hpp"
#include "solver/bed/tile.hpp"

namespace holdground {

/// What the tile itself says: name, size, packing, weight.
nlohmann::ordered_json tileCard(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile);

/// Of the small tile that is sheared and cut, in mean diameters.
struct ProbeTileSize {
  double length, width, depth;
};
ProbeTileSize probeTileSize(GrainShape shape);

/// That tile.
TileRecipe probeTileRecipe(const TileRecipe& recipe);

/// Where a quick card's measurements are kept.
std::filesystem::path quickCardFile(const TileRecipe& recipe, const CardSettings& settings = {});

/// What the quick probes measure: from the cache, or measured now with progress on stderr, and
/// kept. @param bedFile  named in an error
nlohmann::ordered_json quickProbes(const TileRecipe& recipe, const Tile& tile,
                                   const CardSettings& settings, const std::string& bedFile);

/// Tile, probes, published ranges beside them with verdicts, what is left out.
nlohmann::ordered_json quickCard(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile,
                                 const CardSettings& settings = {});

}  // namespace holdground
