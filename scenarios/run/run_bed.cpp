#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <iostream>
#include <nlohmann/json.hpp>

#include "scenarios/cli/threads.hpp"
#include "scenarios/run/room.hpp"
#include "scenarios/run/run.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/core/errors.hpp"
#include "solver/material/modulus_rule.hpp"

namespace holdground {

namespace {

/// What is known of a settled tile, in SI.
nlohmann::ordered_json cardOf(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile) {
  const double solid = recipe.material.density - recipe.water.density;
  nlohmann::ordered_json card;
  card["name"] = bed.name;
  card["tile"] = fmt::format("{:016x}", tile.recipeHash);
  card["seed"] = recipe.seed;
  card["grains"] = tile.grains.size();
  card["tile_length_m"] = tile.grains.domain.lengthX;
  card["tile_width_m"] = tile.grains.domain.lengthY;
  card["depth_m"] = tile.depth;
  card["smallest_diameter_m"] = recipe.smallestDiameter;
  card["largest_diameter_m"] = recipe.largestDiameter;
  card["solid_fraction"] = tile.solidFraction;
  card["void_ratio"] = (1.0 - tile.solidFraction) / tile.solidFraction;
  card["submerged_unit_weight_N_per_m3"] = tile.solidFraction * solid * kStandardGravity;
  card["coordination_number"] = tile.coordination;
  card["young_modulus_Pa"] = recipe.material.youngModulus;
  card["stiffness_number_at_expected_stress"] = stiffnessNumber(
      recipe.material.youngModulus, recipe.material.poissonRatio, bed.stressAtContacts());
  card["settling_time_s"] = tile.settlingTime;
  return card;
}

void printCard(const nlohmann::ordered_json& card, const BedRecipe& bed, bool isKept) {
  const auto number = [&card](const char* key) { return card[key].get<double>(); };
  std::cout << fmt::format("{}\n", bed.name);
  const auto line = [](const char* what, const std::string& value) {
    std::cout << fmt::format("  {:<28}{}\n", what, value);
  };
  line("tile",
       fmt::format("{:.3f} x {:.3f} m, {:.3f} m deep, {} grains", number("tile_length_m"),
                   number("tile_width_m"), number("depth_m"), card["grains"].get<std::size_t>()));
  line("grains", fmt::format("{:.1f} to {:.1f} mm", 1e3 * number("smallest_diameter_m"),
                             1e3 * number("largest_diameter_m")));
  line("solid fraction",
       fmt::format("{:.4f} (void ratio {:.3f})", number("solid_fraction"), number("void_ratio")));
  line("submerged unit weight",
       fmt::format("{:.2f} kN/m3", 1e-3 * number("submerged_unit_weight_N_per_m3")));
  line("coordination number", fmt::format("{:.2f}", number("coordination_number")));
  line("softened modulus", fmt::format("{:.3g} MPa, stiffness number {:.0f} at the expected stress",
                                       1e-6 * number("young_modulus_Pa"),
                                       number("stiffness_number_at_expected_stress")));
  line("settled in", fmt::format("{:.2f} s of simulated time", number("settling_time_s")));
  line(isKept ? "kept as" : "not kept", card["tile"].get<std::string>());
}

/// Whether this can be a file, before anything is settled. Makes nothing.
void checkFile(const std::filesystem::path& file) {
  std::error_code ignored;
  if (!file.has_filename() || std::filesystem::is_directory(file, ignored))
    throw InputError(fmt::format("--output: found {}, a folder, allowed is a file", file.string()));
  const std::filesystem::path folder = std::filesystem::absolute(file).parent_path();
  if (!std::filesystem::is_directory(folder, ignored))
    throw InputError(fmt::format("--output: found {}, allowed is a file in a folder that is there",
                                 file.string()));
  if (access(folder.c_str(), W_OK | X_OK) != 0)
    throw SystemError(
        fmt::format("{}: cannot be written: {}", file.string(), std::strerror(errno)));
}

}  // namespace

int runBed(const BedRecipe& bed, const BedOptions& options) {
  if (options.output.has_value()) checkFile(*options.output);
  const std::string crowded = useThreads(options.threads);
  if (!crowded.empty()) std::cerr << "holdground: " << crowded << '\n';
  const TileRecipe recipe = tileRecipe(bed, bed.seed);
  checkRoom(reckonTile(recipe), roomFor(cacheFolder()));
  const Tile tile = obtainTile(recipe);
  if (options.output.has_value()) writeTile(*options.output, tile);
  const bool isKept = TileCache(cacheFolder()).find(recipe).has_value();
  const nlohmann::ordered_json card = cardOf(bed, recipe, tile);
  if (options.report == ReportStyle::kJson)
    std::cout << card.dump(2) << '\n';
  else
    printCard(card, bed, isKept);
  return isKept || options.output.has_value() ? kDone : kSystemFault;
}

}  // namespace holdground
