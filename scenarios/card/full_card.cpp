#include "scenarios/card/full_card.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <iostream>

#include "scenarios/card/card_tasks.hpp"
#include "scenarios/card/kept_json.hpp"
#include "scenarios/card/tool_figures.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/core/hash.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kToolsVersion = 2;  // raise when what the tools measure changes
constexpr std::array kTools{
    Tool::kTBarAgain, Tool::kCone,          Tool::kVane,  // the longest first
    Tool::kTBar,      Tool::kPlateSideways, Tool::kPlateUp, Tool::kPlateDown};
constexpr std::size_t kRateCell = 1;  // of the quick card's cells, sheared again at the tools' rate

double radians(double degrees) { return degrees * kPi / 180.0; }

Json jsonOf(const ToolCurve& c) {
  return {{"width_m", c.width},
          {"height_m", c.height},
          {"length_m", c.endless},
          {"start_depth_m", c.startDepth},
          {"speed_m_per_s", c.speed},
          {"grains", c.grains},
          {"way", c.way},
          {"force", c.force}};
}

ToolCurve curveOf(const Json& json) {
  ToolCurve c;
  const auto number = [&](const char* key) { return json.at(key).get<double>(); };
  c.width = number("width_m");
  c.height = number("height_m");
  c.endless = number("length_m");
  c.startDepth = number("start_depth_m");
  c.speed = number("speed_m_per_s");
  c.grains = json.at("grains").get<std::size_t>();
  c.way = json.at("way").get<std::vector<double>>();
  c.force = json.at("force").get<std::vector<double>>();
  return c;
}

/// The cell of the least stress, pressed under the greatest first: what the bed remembers of it.
CardTask memoryTask(const Tile& small, const TileRecipe& recipe, const CardSettings& card,
                    ShearStrength& result) {
  ShearCellSettings cell;
  cell.material = recipe.material;
  cell.timeStep = stableTimeStep(small.grains, recipe.material, recipe.rayleighFraction);
  cell.normalStress = card.stresses.front();
  cell.packingStress = card.stresses.back();
  cell.inertialNumber = card.inertialNumberOf(recipe.shape);
  cell.strain = card.strain;
  cell.readings = card.readings;
  const double rate = cell.inertialNumber * std::sqrt(cell.normalStress / recipe.material.density) /
                      meanVolumeDiameter(small.grains, recipe.material.density);
  return {card.strain / rate, [&small, &result, cell](const ProbeProgress& progress) {
            result = shearStrength(shearTile(small.grains, cell, progress));
          }};
}

/// The shear cell at the tools' rate.
CardTask rateTask(const Tile& small, const TileRecipe& recipe, const CardSettings& card,
                  const ToolSettings& tools, ShearStrength& result) {
  ShearCellSettings cell;
  cell.material = recipe.material;
  cell.timeStep = stableTimeStep(small.grains, recipe.material, recipe.rayleighFraction);
  cell.normalStress = card.stresses[std::min(kRateCell, card.stresses.size() - 1)];
  cell.strain = card.strain;
  cell.readings = card.readings;
  cell.inertialNumber = tools.rate * meanVolumeDiameter(small.grains, recipe.material.density) *
                        std::sqrt(recipe.material.density / cell.normalStress);
  return {card.strain / tools.rate, [&small, &result, cell](const ProbeProgress& progress) {
            result = shearStrength(shearTile(small.grains, cell, progress));
          }};
}

Json measure(const BedRecipe& bed, const TileRecipe& recipe, const CardSettings& card,
             const ToolSettings& settings) {
  const TileRecipe deep = toolTileRecipe(recipe, settings);
  const Tile small =
      obtainTile(probeTileRecipe(recipe), "bed card: a small tile for the probes", bed.source.path);
  const Tile tile = obtainTile(deep, "bed card: a deeper tile for the tools", bed.source.path);
  std::cerr << "bed card: T-bar, vane, cone, and plates pushed down, pulled up and pushed "
               "sideways\n";
  std::array<ToolCurve, kTools.size()> curves;
  ShearStrength atRate, pressedBefore;
  std::vector<CardTask> tasks;
  for (std::size_t k = 0; k < kTools.size(); ++k) {
    const ToolPlan plan = toolPlan(kTools[k], bed, deep, settings);
    const double share = static_cast<double>(plan.spec.copiesY.value_or(1));
    tasks.push_back({share * plan.spec.duration(), [&, k, plan](const ProbeProgress& progress) {
                       curves[k] = runTool(plan, tile, deep, progress);
                     }});
  }
  tasks.push_back(rateTask(small, recipe, card, settings, atRate));
  tasks.push_back(memoryTask(small, recipe, card, pressedBefore));
  for (auto task = tasks.end() - 2; task != tasks.end(); ++task)
    task->time *=
        static_cast<double>(small.grains.size()) / static_cast<double>(tile.grains.size());
  runCardTasks(tasks);
  Json json;
  json["tile_grains"] = tile.grains.size();
  json["tile_length_m"] = tile.grains.domain.lengthX;
  json["tile_width_m"] = tile.grains.domain.lengthY;
  json["tile_depth_m"] = tile.depth;
  json["submerged_unit_weight_N_per_m3"] =
      tile.solidFraction * (recipe.material.density - recipe.water.density) * kStandardGravity;
  json["diameter_m"] = nominalDiameter(recipe);
  json["rate_per_s"] = settings.rate;
  json["cell_at_rate"] = {{"normal_stress_Pa", atRate.normalStress},
                          {"strength_Pa", atRate.shear.mean},
                          {"strength_se_Pa", atRate.shear.standardError},
                          {"peak_strength_Pa", atRate.peakShear},
                          {"inertial_number", atRate.inertialNumber}};
  json["cell_pressed_before"] = {{"normal_stress_Pa", pressedBefore.normalStress},
                                 {"pressed_under_Pa", card.stresses.back()},
                                 {"strength_Pa", pressedBefore.shear.mean},
                                 {"strength_se_Pa", pressedBefore.shear.standardError},
                                 {"peak_strength_Pa", pressedBefore.peakShear}};
  for (std::size_t k = 0; k < kTools.size(); ++k)
    json["curves"][nameOf(kTools[k])] = jsonOf(curves[k]);
  return json;
}

/// Nothing when there is none or it is damaged.
Json keptCurves(const std::filesystem::path& file) {
  Json json = keptJson(file, "curves");
  if (json.is_null() || !json.contains("cell_at_rate") || !json.contains("cell_pressed_before"))
    return nullptr;
  try {
    for (const Tool tool : kTools)
      if (curveOf(json["curves"].at(nameOf(tool))).way.size() < 2) return nullptr;
  } catch (const Json::exception&) {
    return nullptr;
  }
  return json;
}

/// The bed's tools meet steel of the defaults for its kind and strength.
Surface steelOn(const BedRecipe& bed) { return SurfaceSpec().on(bed.ground()); }

ToolGround groundOf(const Json& card, const Json& tools, const Surface& steel) {
  ToolGround ground;
  const auto number = [&](const char* key) { return card[key].get<double>(); };
  ground.isCohesive = card["is_cohesive"].get<bool>();
  ground.unitWeight = tools["submerged_unit_weight_N_per_m3"].get<double>();
  ground.frictionAngle = radians(number("friction_angle_deg"));
  ground.steelAngle = std::atan(steel.friction);
  ground.cohesion = std::max(0.0, number("cohesion_Pa"));
  ground.strength = number("strength_at_surface_Pa");
  ground.slope = number("strength_slope");
  for (const Json& s : card["shear"]) {
    ground.stress.push_back(s["normal_stress_Pa"].get<double>());
    ground.peakStrength.push_back(s["peak_strength_Pa"].get<double>());
  }
  const Json& middle = card["shear"][std::min(kRateCell, card["shear"].size() - 1)];
  ground.peakAngle = ground.frictionAngle;
  if (middle.contains("peak_angle_deg"))
    ground.peakAngle =
        std::max(ground.frictionAngle, radians(middle["peak_angle_deg"].get<double>()));
  ground.rateFactor = tools["rate_factor"].get<double>();
  ground.peakRateFactor = tools["peak_rate_factor"].get<double>();
  return ground;
}

void addRateFactors(Json& tools, const Json& card) {
  const Json& slow = card["shear"][std::min(kRateCell, card["shear"].size() - 1)];
  const Json fast = tools["cell_at_rate"];  // a copy: the object grows
  for (const auto& [factor, key] :
       {std::pair{"rate_factor", "strength_Pa"}, std::pair{"peak_rate_factor", "peak_strength_Pa"}})
    tools[factor] = fast[key].get<double>() / slow[key].get<double>();
}

void addMemoryFactors(Json& tools, const Json& card) {
  const Json& plain = card["shear"].front();
  const Json pressed = tools["cell_pressed_before"];  // a copy: the object grows
  for (const auto& [factor, key] : {std::pair{"memory_factor", "strength_Pa"},
                                    std::pair{"memory_peak_factor", "peak_strength_Pa"}})
    tools[factor] = pressed[key].get<double>() / plain[key].get<double>();
}

}  // namespace

std::filesystem::path fullCardFile(const BedRecipe& bed, const TileRecipe& recipe,
                                   const CardSettings& settings, const ToolSettings& tools) {
  std::uint64_t hash = hashBits(hashText("holdground full card"), recipe.hash());
  hash = hashBits(hash, toolTileRecipe(recipe, tools).hash());
  hash = hashBits(hash, settings.hash());
  hash = hashBits(hash, tools.hash());
  const Surface steel = steelOn(bed);
  for (const double x : {steel.friction, steel.rollingFriction, steel.adhesion, steel.tension})
    hash = hashBits(hash, x);
  return cacheFolder() / fmt::format("tools-{:016x}.json", hashBits(hash, kToolsVersion));
}

Json fullCard(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile,
              const CardSettings& settings, const ToolSettings& toolSettings) {
  Json card = quickCard(bed, recipe, tile, settings);
  const std::filesystem::path file = fullCardFile(bed, recipe, settings, toolSettings);
  Json tools = keptCurves(file);
  if (tools.is_null()) {
    tools = measure(bed, recipe, settings, toolSettings);
    keepJson(file, tools);
  }
  addRateFactors(tools, card);
  addMemoryFactors(tools, card);
  ToolReadings readings;
  const auto curve = [&](Tool tool) { return curveOf(tools["curves"][nameOf(tool)]); };
  readings.tBar = curve(Tool::kTBar);
  readings.tBarAgain = curve(Tool::kTBarAgain);
  readings.vane = curve(Tool::kVane);
  readings.cone = curve(Tool::kCone);
  readings.plateDown = curve(Tool::kPlateDown);
  readings.plateUp = curve(Tool::kPlateUp);
  readings.plateSideways = curve(Tool::kPlateSideways);
  const Json curves = tools["curves"];
  tools.erase("curves");
  tools.update(toolFigures(readings, groundOf(card, tools, steelOn(bed))));
  tools["curves"] = curves;
  card["tools"] = tools;
  card["left_out"].push_back(
      "tools went through one packing each, beside their images: T-bar and plates endless across");
  return card;
}

}  // namespace holdground
