#include "scenarios/card/bed_card.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iostream>
#include <limits>

#include "scenarios/card/kept_json.hpp"
#include "scenarios/card/known_bias.hpp"
#include "scenarios/card/published_ranges.hpp"
#include "scenarios/card/soil_formulas.hpp"
#include "scenarios/card/tool_probes.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/core/hash.hpp"
#include "solver/material/modulus_rule.hpp"

namespace holdground {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kCardVersion = 3;  // raise when what the probes measure changes

double degrees(double radians) { return radians * 180.0 / kPi; }
double voidRatio(double solidFraction) { return (1.0 - solidFraction) / solidFraction; }
double angleOf(double sine) { return degrees(std::asin(std::clamp(sine, -1.0, 1.0))); }
/// Error of an angle [deg] whose sine has an error.
double angleError(const Estimate& sine) {
  const double cosine = std::sqrt(std::max(1e-4, 1.0 - sine.mean * sine.mean));
  return degrees(sine.standardError / cosine);
}

Json shearJson(const ShearStrength& s, bool isCohesive) {
  Json j;
  j["normal_stress_Pa"] = s.normalStress;
  if (!isCohesive) {
    j["friction_angle_deg"] = angleOf(s.sine.mean);
    j["friction_angle_se_deg"] = angleError(s.sine);
    j["peak_angle_deg"] = angleOf(s.peakSine);
  }
  j["strength_Pa"] = s.shear.mean;
  j["strength_se_Pa"] = s.shear.standardError;
  j["peak_strength_Pa"] = s.peakShear;
  j["peak_strain"] = s.peakStrain;
  j["mean_stress_Pa"] = s.mean.mean;
  j["shear_ratio"] = s.shearRatio.mean;
  j["shear_ratio_se"] = s.shearRatio.standardError;
  j["void_ratio_at_start"] = voidRatio(s.initialSolidFraction);
  j["void_ratio"] = voidRatio(s.solidFraction.mean);
  j["coordination_number"] = s.coordination.mean;
  j["dilatancy_deg"] = degrees(std::atan(s.dilatancy));
  j["inertial_number"] = s.inertialNumber;
  j["shear_share"] = s.shearShare;
  j["lid_normal_share"] = s.lidNormalShare;
  j["lid_shear_share"] = s.lidShearShare;
  return j;
}

void addSlope(Json& json, const std::string& name, const CutSlope& slope) {
  json[name + "_stands"] = slope.stands();
  json[name + "_deg"] = degrees(slope.mean());
  json[name + "_se_deg"] = degrees(slope.standardError());
  json[name + "_at_rest"] = slope.isAtRest;
}

Json jsonOf(const CardProbes& probes, const Tile& small, const GrainMaterial& material) {
  const bool sticks = isCohesive(material);
  Json json;
  json["k0"] = probes.k0;
  json["probe_grains"] = small.grains.size();
  json["probe_tile_length_m"] = small.grains.domain.lengthX;
  json["probe_tile_width_m"] = small.grains.domain.lengthY;
  json["probe_tile_depth_m"] = small.depth;
  json["mean_diameter_m"] = meanVolumeDiameter(small.grains, material.density);
  json["shear"] = Json::array();
  for (const ShearStrength& s : probes.shear) json["shear"].push_back(shearJson(s, sticks));
  const StrengthLine line = strengthLine(probes.shear);
  const Estimate angle = cardAngle(probes.shear, sticks);
  json["friction_angle_deg"] = degrees(angle.mean);
  json["friction_angle_se_deg"] = degrees(angle.standardError);
  json["cohesion_Pa"] = line.cohesion.mean;
  json["cohesion_se_Pa"] = line.cohesion.standardError;
  const StrengthByStress byStress = strengthByStress(probes.shear);
  json["strength_at_surface_Pa"] = byStress.atNone.mean;
  json["strength_at_surface_se_Pa"] = byStress.atNone.standardError;
  json["strength_slope"] = byStress.slope.mean;
  json["strength_slope_se"] = byStress.slope.standardError;
  json["oedometer_modulus_Pa"] = oedometerModulus(probes.shear);
  if (probes.underWater.time > 0.0) addSlope(json, "repose_under_water", probes.underWater);
  addSlope(json, "repose_dry", probes.dry);
  return json;
}

void addVerdicts(Json& card, const std::string& kind) {
  Json figures;  // those that are compared, by the key of their range
  for (const char* key : {"submerged_unit_weight_N_per_m3", "void_ratio", "k0", "repose_dry_deg"})
    figures[key] = card[key];
  if (card["repose_dry_stands"].get<bool>()) figures.erase("repose_dry_deg");
  if (card["is_dry"].get<bool>()) figures.erase("submerged_unit_weight_N_per_m3");
  figures["friction_angle_deg"] = card["friction_angle_deg"];
  const Json& middle = card["shear"][1];
  if (middle.contains("peak_angle_deg")) figures["peak_angle_deg"] = middle["peak_angle_deg"];
  figures["dilatancy_deg"] = middle["dilatancy_deg"];
  if (card["is_cohesive"].get<bool>()) figures["strength_Pa"] = middle["strength_Pa"];
  card["verdicts"] = Json::array();
  for (const auto& [key, value] : figures.items()) {
    Json row;
    row["figure"] = key;
    row["measured"] = value;
    if (const auto range = publishedRange(kind, key)) {
      row["low"] = range->low;
      row["high"] = range->high;
      row["verdict"] = verdictOn(value.get<double>(), *range);
      row["source"] = range->source;
    } else {
      row["verdict"] = "no range";
    }
    card["verdicts"].push_back(row);
  }
}

/// How drained the standard pull is in ground of the permeability the bed file gives.
void addDrainage(Json& card, const BedRecipe& bed, const Water& water) {
  if (!bed.permeability || water.density == 0.0) return;
  const double modulus = bed.oedometerModulus.value_or(card["oedometer_modulus_Pa"].get<double>());
  const Drainage d = drainageOf(*bed.permeability, modulus, water.density * kStandardGravity,
                                kPullSpeed, kFlukeWidth);
  card["drainage"] = {{"permeability_m_per_s", *bed.permeability},
                      {"oedometer_modulus_Pa", modulus},
                      {"modulus_is_given", bed.oedometerModulus.has_value()},
                      {"consolidation_m2_per_s", d.consolidation},
                      {"speed_m_per_s", kPullSpeed},
                      {"width_m", kFlukeWidth},
                      {"number", d.number},
                      {"says", d.says}};
}

/// What makes the figures doubtful, a sentence each.
Json doubtsOf(const Json& card) {
  Json doubts = Json::array();
  for (const Json& s : card["shear"]) {
    const double share = s["shear_share"].get<double>(),
                 kPa = 1e-3 * s["normal_stress_Pa"].get<double>();
    if (share < 0.5 || share > 2.0)
      doubts.push_back(fmt::format(
          "at {:.3g} kPa the middle shears {:.2f} times as fast as the whole: a band has formed {} "
          "it, and void ratio and dilatancy are not those of the band",
          kPa, share, share < 1.0 ? "outside" : "in"));
  }
  if (card["k0"].get<double>() < 0.0)
    doubts.push_back(
        "the tile is in tension sideways (K0 below 0): grains were made to stick once they lay, "
        "and "
        "a periodic tile cannot shrink; a real bed would have cracked or crept");
  for (const char* repose : {"repose_dry", "repose_under_water"})
    if (const std::string key = std::string(repose) + "_at_rest";
        card.contains(key) && !card[key].get<bool>())
      doubts.push_back(fmt::format("{}: the cut bed still moved when time was up", repose));
  return doubts;
}

/// The steel's adhesion goes by what the file says of the mud, not by the cells.
std::string strengthDoubt(const BedRecipe& bed, const Json& card) {
  constexpr double kSlack = 0.3;  // cells scatter, and the file may speak of another depth
  if (!bed.strength) return "";
  if (!card["is_cohesive"].get<bool>())
    return "the file gives the bed a strength, by which steel sticks to it, but its grains do not "
           "stick to each other";
  double low = std::numeric_limits<double>::infinity(), high = 0.0;
  for (const Json& s : card["shear"]) {
    low = std::min(low, s["strength_Pa"].get<double>());
    high = std::max(high, s["strength_Pa"].get<double>());
  }
  if (*bed.strength >= (1.0 - kSlack) * low && *bed.strength <= (1.0 + kSlack) * high) return "";
  return fmt::format(
      "the file says a strength of {:.3g} kPa, by which steel sticks to it; the cells measured "
      "{:.3g} to {:.3g} kPa",
      1e-3 * *bed.strength, 1e-3 * low, 1e-3 * high);
}

}  // namespace

Json tileCard(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile) {
  const double solid = recipe.material.density - recipe.water.density;
  Json card;
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
  card["void_ratio"] = voidRatio(tile.solidFraction);
  card["submerged_unit_weight_N_per_m3"] = tile.solidFraction * solid * kStandardGravity;
  card["is_dry"] = recipe.water.density == 0.0;
  card["coordination_number"] = tile.coordination;
  card["young_modulus_Pa"] = recipe.material.youngModulus;
  card["stiffness_number_at_expected_stress"] = stiffnessNumber(
      recipe.material.youngModulus, recipe.material.poissonRatio, bed.stressAtContacts());
  card["settling_time_s"] = tile.settlingTime;
  return card;
}

ProbeTileSize probeTileSize(GrainShape shape) {
  // A stone is some ten spheres: in the larger tile its card would take an hour.
  return shape == GrainShape::kSphere ? ProbeTileSize{12.0, 10.0, 14.0}
                                      : ProbeTileSize{7.0, 6.0, 9.0};
}

TileRecipe probeTileRecipe(const TileRecipe& recipe) {
  TileRecipe small = recipe;
  const double diameter = nominalDiameter(recipe);
  const ProbeTileSize size = probeTileSize(recipe.shape);
  small.length = size.length * diameter;
  small.width = size.width * diameter;
  small.depth = size.depth * diameter;
  small.frozenThickness = recipe.largestDiameter;
  return small;
}

std::filesystem::path quickCardFile(const TileRecipe& recipe, const CardSettings& settings) {
  std::uint64_t hash = hashBits(hashText("holdground quick card"), recipe.hash());
  hash = hashBits(hash, probeTileRecipe(recipe).hash());
  hash = hashBits(hash, settings.hash());
  return cacheFolder() / fmt::format("card-{:016x}.json", hashBits(hash, kCardVersion));
}

Json quickProbes(const TileRecipe& recipe, const Tile& tile, const CardSettings& settings,
                 const std::string& bedFile) {
  const std::filesystem::path file = quickCardFile(recipe, settings);
  if (Json kept = keptJson(file, "repose_dry_deg"); !kept.is_null()) return kept;
  const Tile small =
      obtainTile(probeTileRecipe(recipe), "bed card: a small tile for the probes", bedFile);
  std::cerr << "bed card: shearing at 1, 3.2 and 10 kPa, and cutting a slope\n";
  const Json json = jsonOf(runCardProbes(recipe, tile, small, settings), small, recipe.material);
  keepJson(file, json);
  return json;
}

Json quickCard(const BedRecipe& bed, const TileRecipe& recipe, const Tile& tile,
               const CardSettings& settings) {
  Json card = tileCard(bed, recipe, tile);
  card["kind"] = bed.kind;
  card["is_cohesive"] = isCohesive(recipe.material);
  card.update(quickProbes(recipe, tile, settings, bed.source.path));
  card["k0_jaky"] = 1.0 - std::sin(card["friction_angle_deg"].get<double>() * kPi / 180.0);
  addDrainage(card, bed, recipe.water);
  addVerdicts(card, bed.kind);
  card["doubts"] = doubtsOf(card);
  if (const std::string doubt = strengthDoubt(bed, card); !doubt.empty())
    card["doubts"].push_back(doubt);
  card["left_out"] = {
      card["is_dry"].get<bool>()
          ? "a dry bed: published ranges of weight are those under water, and are not compared"
          : "no pore fluid: no suction under a fluke that is pulled up, no drainage or its delay",
      fmt::format("sheared weightless and dry, {:g} x {:g} mean diameters wide, between plates, at "
                  "an inertial number of {:g}; softened grains",
                  probeTileSize(recipe.shape).length, probeTileSize(recipe.shape).width,
                  settings.inertialNumberOf(recipe.shape)),
      "repose is the slope left by a collapse, plane: lower than a poured heap"};
  card["known_bias"] = knownBias(bed);
  return card;
}

}  // namespace holdground
