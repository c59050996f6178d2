#include "scenarios/run/tile_source.hpp"

#include <fmt/format.h>

#include <cstdlib>
#include <iostream>

#include "scenarios/cli/progress.hpp"
#include "solver/core/errors.hpp"
#include "solver/material/modulus_rule.hpp"

namespace holdground {

namespace {

GrainMaterial materialOf(const SoilRecipe& soil) {
  GrainMaterial material = soil.material;
  material.youngModulus = soil.youngModulus.value_or(
      softenedYoungModulus(soil.stressAtContacts(), soil.material.poissonRatio));
  return material;
}

double settlingFrictionOf(const SoilRecipe& soil) {
  return soil.settlingFriction.value_or(soil.material.friction);
}

}  // namespace

TileRecipe tileRecipe(const BedRecipe& bed, std::uint64_t seed, double rayleighFraction) {
  TileRecipe recipe;
  recipe.smallestDiameter = bed.smallestDiameter;
  recipe.largestDiameter = bed.largestDiameter;
  recipe.gradingBasis = bed.gradingBasis;
  recipe.shape = bed.shape;
  recipe.material = materialOf(bed);
  recipe.water = bed.water;
  recipe.length = bed.tileLength;
  recipe.width = bed.tileWidth;
  recipe.depth = bed.depth;
  recipe.frozenThickness = bed.frozenLayer();
  recipe.settlingFriction = settlingFrictionOf(bed);
  for (const LayerRecipe& layer : bed.layers)
    recipe.layers.push_back({layer.thickness, layer.smallestDiameter, layer.largestDiameter,
                             layer.gradingBasis, materialOf(layer), settlingFrictionOf(layer)});
  recipe.bottom = bed.hasHardPan() ? StackBottom::kHardPan : StackBottom::kOwnGrains;
  recipe.restSpeed = bed.restSpeed;
  recipe.longestSettling = bed.longestSettlingTime;
  recipe.rayleighFraction = rayleighFraction;
  recipe.seed = seed;
  return recipe;
}

std::filesystem::path cacheFolder() {
  const auto variable = [](const char* name) {
    const char* value = std::getenv(name);
    return std::filesystem::path(value != nullptr ? value : "");
  };
  if (const auto own = variable("HOLDGROUND_CACHE"); !own.empty()) return own;
  if (const auto xdg = variable("XDG_CACHE_HOME"); !xdg.empty()) return xdg / "holdground";
  if (const auto home = variable("HOME"); !home.empty()) return home / ".cache" / "holdground";
  return std::filesystem::path(".cache") / "holdground";
}

Tile obtainTile(const TileRecipe& recipe, const std::string& beforeSettling,
                const std::string& bedFile) {
  const TileCache cache(cacheFolder());
  if (std::optional<Tile> kept = cache.find(recipe)) return std::move(*kept);
  if (!beforeSettling.empty()) std::cerr << beforeSettling << '\n';
  std::cerr << fmt::format("settling the bed once ({} grains); later runs reuse it\n",
                           grainCount(recipe));
  Progress line(std::cerr, progressStyleOfStandardError(), "settle", 0.0, recipe.longestSettling,
                ProgressEnd::kLatest);
  const std::string named = bedFile.empty() ? "" : bedFile + ": ";
  Tile tile;
  try {
    tile = settleTile(recipe, KernelKind::kFast,
                      [&](const SettlingState& s) { line.update(s.time, s.grainSteps); });
  } catch (const SimulationError& error) {
    throw SimulationError(named + "bed: flew apart while settling: " + error.what());
  } catch (const InputError& error) {
    throw InputError(named + error.what());
  }
  line.finish();
  try {
    cache.keep(recipe, tile);
  } catch (const SystemError& error) {
    std::cerr << "holdground: " << error.what() << "; the bed is used but not kept\n";
  }
  return tile;
}

}  // namespace holdground
