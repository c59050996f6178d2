#include "scenarios/card/stack_card.hpp"

#include <fmt/format.h>

#include <iostream>

#include "scenarios/card/bed_card.hpp"
#include "scenarios/card/card_text.hpp"
#include "scenarios/card/card_units.hpp"
#include "scenarios/run/tile_source.hpp"

namespace holdground {
namespace {

using Json = nlohmann::ordered_json;

double number(const Json& json, const char* key) { return json[key].get<double>(); }

Json layerJson(const LayerRecipe& layer, const SoilLayer& soil, const SettledLayer& settled,
               const Water& water) {
  Json json;
  json["name"] = layer.name;
  json["kind"] = layer.kind;
  json["hard_pan"] = layer.isHardPan;
  json["top_m"] = settled.top;
  json["thickness_m"] = settled.thickness;
  json["thickness_asked_m"] = layer.thickness;
  json["smallest_diameter_m"] = layer.smallestDiameter;
  json["largest_diameter_m"] = layer.largestDiameter;
  json["solid_fraction"] = settled.solidFraction;
  json["void_ratio"] = (1.0 - settled.solidFraction) / settled.solidFraction;
  json["submerged_unit_weight_N_per_m3"] =
      settled.solidFraction * (soil.material.density - water.density) * kStandardGravity;
  json["young_modulus_Pa"] = soil.material.youngModulus;
  return json;
}

std::string layerText(const Json& layer, const CardUnits& units) {
  using enum Dimension;
  return fmt::format(
      "  {:<28}{} thick ({} asked) from {} down, {} to {}, voids {:.3f}, {}, {} {}{}\n",
      layer["name"].get<std::string>(), units.text(number(layer, "thickness_m"), kLength, "m", 3),
      units.text(number(layer, "thickness_asked_m"), kLength, "m", 3),
      units.text(0.0 - number(layer, "top_m"), kLength, "m", 3),
      units.number(number(layer, "smallest_diameter_m"), kLength, "mm", 1),
      units.text(number(layer, "largest_diameter_m"), kLength, "mm", 1),
      number(layer, "void_ratio"),
      units.text(number(layer, "submerged_unit_weight_N_per_m3"), kUnitWeight, "kN/m3", 2),
      units.digits(number(layer, "young_modulus_Pa"), kPressure, "MPa", 3),
      units.symbol(kPressure, "MPa"), layer["hard_pan"].get<bool>() ? ", held" : "");
}

}  // namespace

Json stackTileCard(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile) {
  Json card;
  card["name"] = bed.name;
  card["tile"] = fmt::format("{:016x}", tile.recipeHash);
  card["seed"] = recipe.seed;
  card["grains"] = tile.grains.size();
  card["tile_length_m"] = tile.grains.domain.lengthX;
  card["tile_width_m"] = tile.grains.domain.lengthY;
  card["depth_m"] = tile.depth;
  card["coordination_number"] = tile.coordination;
  card["settling_time_s"] = tile.settlingTime;
  card["layers"] = Json::array();
  for (std::size_t k = 0; k < bed.layers.size(); ++k)
    card["layers"].push_back(
        layerJson(bed.layers[k], recipe.layers[k], tile.layers[k], recipe.water));
  return card;
}

Json stackCard(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile,
               const CardSettings& settings) {
  Json card = stackTileCard(bed, recipe, tile);
  for (std::size_t k = 0; k < bed.layers.size(); ++k) {
    if (bed.layers[k].isHardPan) continue;
    const BedRecipe own = bed.bedOfLayer(k);
    std::cerr << fmt::format("bed card: {}, as a bed of its own\n", bed.layers[k].name);
    const TileRecipe small = probeTileRecipe(tileRecipe(own, recipe.seed, recipe.rayleighFraction));
    const Tile alone = obtainTile(small, "", bed.source.path);
    card["layers"][k]["card"] = quickCard(own, small, alone, settings);
  }
  card["left_out"] = {
      "each layer was measured in a small tile of its own, K0 too; what the layers do to each "
      "other, at their interface or under one another's weight, was not",
      "a hard pan is held, and was not measured"};
  if (!bed.hasHardPan()) card["left_out"].erase(1);
  return card;
}

std::string stackCardText(const Json& card, const DisplayUnits& wished) {
  using enum Dimension;
  const CardUnits units(wished);
  const auto length = [&](const char* key) {
    return units.number(number(card, key), kLength, "m", 3);
  };
  const std::string_view m = units.symbol(kLength, "m");
  std::string text = card["name"].get<std::string>() + '\n';
  text += fmt::format("  {:<28}{} x {} {}, {} {} deep, {} grains\n", "tile",
                      length("tile_length_m"), length("tile_width_m"), m, length("depth_m"), m,
                      card["grains"].get<std::size_t>());
  for (const Json& layer : card["layers"]) text += layerText(layer, units);
  text +=
      fmt::format("  {:<28}{:.2f}\n", "coordination number", number(card, "coordination_number"));
  text += fmt::format("  {:<28}{:.2f} s of simulated time\n", "settled in",
                      number(card, "settling_time_s"));
  for (const Json& layer : card["layers"])
    if (layer.contains("card"))
      text += tileCardText(layer["card"], wished) + probesText(layer["card"], wished);
  if (card.contains("left_out"))
    for (const Json& left : card["left_out"]) text += "  ! " + left.get<std::string>() + '\n';
  return text;
}

}  // namespace holdground
