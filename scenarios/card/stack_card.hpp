#pragma once
// The card of a stack: where its layers came to lie, and each layer as a bed of its own.
//
// A layer's card is the quick card of a small tile of that layer alone (12 x 10 mean diameters, 14
// deep, kept like any tile), K0 too. What the layers do to each other is not measured; a hard pan
// is held and not measured either.
// Checked by: tests/endtoend/bed_test.cpp

#include <nlohmann/json.hpp>
#include <string>

#include "scenarios/card/card_probes.hpp"
#include "scenarios/schema/bed_recipe.hpp"
#include "solver/bed/tile.hpp"
#include "solver/core/units.hpp"

namespace holdground {

/// What the tile itself says, layer by layer.
nlohmann::ordered_json stackTileCard(const BedRecipe& bed, const TileRecipe& recipe,
                                     const Tile& tile);

/// With a quick card of each layer but a hard pan under "card".
nlohmann::ordered_json stackCard(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile,
                                 const CardSettings& settings = {});

/// Either as text.
std::string stackCardText(const nlohmann::ordered_json& card, const DisplayUnits& units = {});

}  // namespace holdground
