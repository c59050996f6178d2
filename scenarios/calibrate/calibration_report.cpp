#include "scenarios/calibrate/calibration_report.hpp"

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>

#include "scenarios/run/tile_source.hpp"
#include "scenarios/schema/bed_file.hpp"
#include "scenarios/schema/toml_reader.hpp"
#include "solver/core/units.hpp"
#include "solver/core/version.hpp"

namespace holdground {
namespace {

using Json = nlohmann::ordered_json;

/// Parameters written to six digits and read again agree to this.
constexpr double kReadBack = 1e-5;

std::string quoted(double value, const std::string& unit) {
  return fmt::format("\"{} {}\"", formatNumber(value, 6), unit);
}

double modulusOf(const BedRecipe& bed, const Calibration& calibration) {
  return tileRecipe(withParameters(bed, calibration.found), bed.seed).material.youngModulus;
}

std::string grainsText(const BedRecipe& bed) {
  const auto mm = [](double metres) { return formatNumber(1e3 * metres, 4); };
  return bed.smallestDiameter == bed.largestDiameter
             ? mm(bed.largestDiameter) + " mm"
             : mm(bed.smallestDiameter) + " to " + mm(bed.largestDiameter) + " mm";
}

std::string validityText(const BedRecipe& bed, const Calibration& calibration) {
  return fmt::format("grains of {}, a modulus of {} MPa{} and a restitution of {}", grainsText(bed),
                     formatNumber(1e-6 * modulusOf(bed, calibration), 3),
                     bed.youngModulus ? "" : " (auto)",
                     formatNumber(bed.material.restitutionCoefficient, 4));
}

std::string whereText(const BedRecipe& bed, Figure figure, const DisplayUnits& units) {
  if (figure != Figure::kStrength) return "";
  return " at " + units.format(*bed.target.strengthDepth, Dimension::kLength);
}

std::string measuredText(const TargetResult& t, const DisplayUnits& units) {
  return fmt::format("{} +-{}", figureText(t.figure, t.measured.mean, 4, units),
                     figureText(t.figure, t.measured.standardError, 2, units));
}

std::string missedText(const TargetResult& t, const DisplayUnits& units) {
  return fmt::format(": missed, {} was aimed at; try another seed",
                     figureText(t.figure, toleranceOf(t.figure, t.wanted), 2, units));
}

/// "friction_angle 30.6 deg +-0.3 deg (changed)" for each target.
std::string variantText(const Calibration& calibration, const VariantResult& variant,
                        const DisplayUnits& units) {
  if (variant.figures.empty()) return "not measured";
  std::string text;
  for (std::size_t k = 0; k < variant.figures.size(); ++k) {
    const TargetResult& t = calibration.targets[k];
    text += fmt::format("{}{} {} +-{}{}", k == 0 ? "" : ", ", keyOf(t.figure),
                        figureText(t.figure, variant.figures[k].mean, 4, units),
                        figureText(t.figure, variant.figures[k].standardError, 2, units),
                        isSteady(t, variant.figures[k]) ? "" : " (changed)");
  }
  return text;
}

void requireSame(double found, double read) {
  if (std::abs(found - read) > kReadBack * std::max(1.0, std::abs(found)))
    throw std::logic_error(
        fmt::format("calibration: wrote {} into the bed file and read {}", found, read));
}

}  // namespace

std::vector<KeyChange> changesOf(const BedRecipe& bed, const Calibration& calibration) {
  std::vector<KeyChange> changes;
  for (const TargetResult& t : calibration.targets)
    if (t.figure == Figure::kStrength)
      changes.push_back(
          {"", "strength", quoted(std::stod(formatNumber(1e-3 * t.measured.mean, 3)), "kPa")});
  const ContactParameters home = parametersOf(bed), &found = calibration.found;
  const auto add = [&](double before, double now, const char* key, const std::string& value) {
    if (before != now) changes.push_back({"grains", key, value});
  };
  add(home.density, found.density, "density", quoted(found.density, "kg/m3"));
  add(home.friction, found.friction, "friction", formatNumber(found.friction, 6));
  add(home.rollingFriction, found.rollingFriction, "rolling_friction",
      formatNumber(found.rollingFriction, 6));
  add(home.pullOffStress, found.pullOffStress, "pull_off_stress",
      quoted(1e-3 * found.pullOffStress, "kPa"));
  return changes;
}

std::vector<std::string> notesOf(const BedRecipe& bed, const Calibration& calibration) {
  const DisplayUnits metric;  // as everything in a bed file that is written
  std::string targets;
  for (const TargetResult& t : calibration.targets)
    targets += fmt::format("{}{} {}{} (measured {})", targets.empty() ? "to " : ", ",
                           keyOf(t.figure), figureText(t.figure, t.wanted),
                           whereText(bed, t.figure, metric), measuredText(t, metric));
  std::vector<std::string> notes{
      targets,
      fmt::format("by holdground {} bed --calibrate, seed {}, with the bed card's probes",
                  versionString(), bed.seed),
      "valid only for " + validityText(bed, calibration) +
          "; calibrate again when one or another key of [grains] changes"};
  for (const VariantResult& variant : calibration.variants)
    notes.push_back("with " + variant.change + ": " + variantText(calibration, variant, metric));
  return notes;
}

std::string calibratedFile(const BedRecipe& bed, const Calibration& calibration) {
  const std::string text =
      rewritten(bed.source, changesOf(bed, calibration), notesOf(bed, calibration));
  BedDraft draft;
  fillFromToml({bed.source.path, text}, bedSchema(draft));
  const ContactParameters read = parametersOf(draft.recipe), &found = calibration.found;
  requireSame(found.friction, read.friction);
  requireSame(found.rollingFriction, read.rollingFriction);
  requireSame(found.pullOffStress, read.pullOffStress);
  requireSame(found.density, read.density);
  return text;
}

std::string calibrationText(const BedRecipe& bed, const Calibration& calibration,
                            const DisplayUnits& units) {
  std::string text = bed.name + '\n';
  const auto add = [&](const std::string& what, const std::string& value) {
    text += fmt::format("  {:<26}  {}\n", what, value);
  };
  for (const TargetResult& t : calibration.targets)
    add(keyOf(t.figure) + whereText(bed, t.figure, units),
        fmt::format("{} wanted, {} measured, off by {}{}", figureText(t.figure, t.wanted, 4, units),
                    measuredText(t, units), figureText(t.figure, t.residual(), 2, units),
                    t.isMet() ? "" : missedText(t, units)));
  add("trials",
      fmt::format("{} measured, {} remembered", calibration.measured, calibration.remembered));
  add("valid only for", validityText(bed, calibration));
  for (const VariantResult& variant : calibration.variants)
    add("with " + variant.change, variantText(calibration, variant, units));
  std::string table;
  for (const KeyChange& change : changesOf(bed, calibration)) {
    if (change.table != table) text += fmt::format("  [{}]\n", change.table);
    table = change.table;
    text += fmt::format("  {} = {}\n", change.key, change.value);
  }
  return text;
}

Json calibrationJson(const BedRecipe& bed, const Calibration& calibration) {
  Json json;
  json["name"] = bed.name;
  json["seed"] = bed.seed;
  json["targets"] = Json::array();
  for (const TargetResult& t : calibration.targets) {
    Json row;
    row["figure"] = keyOf(t.figure);
    row["unit"] = t.figure == Figure::kStrength     ? "Pa"
                  : t.figure == Figure::kUnitWeight ? "N/m3"
                                                    : "rad";
    row["wanted"] = t.wanted;
    row["measured"] = t.measured.mean;
    row["standard_error"] = t.measured.standardError;
    row["residual"] = t.residual();
    row["tolerance"] = toleranceOf(t.figure, t.wanted);
    row["met"] = t.isMet();
    if (t.figure == Figure::kStrength) row["depth_m"] = *bed.target.strengthDepth;
    json["targets"].push_back(row);
  }
  const ContactParameters& p = calibration.found;
  json["grains"] = {{"friction", p.friction},
                    {"rolling_friction", p.rollingFriction},
                    {"pull_off_stress_Pa", p.pullOffStress},
                    {"density_kg_per_m3", p.density}};
  json["changes"] = Json::array();
  for (const KeyChange& change : changesOf(bed, calibration))
    json["changes"].push_back(
        {{"table", change.table}, {"key", change.key}, {"value", change.value}});
  json["valid_for"] = {{"smallest_diameter_m", bed.smallestDiameter},
                       {"largest_diameter_m", bed.largestDiameter},
                       {"young_modulus_Pa", modulusOf(bed, calibration)},
                       {"restitution", bed.material.restitutionCoefficient}};
  json["variants"] = Json::array();
  for (const VariantResult& variant : calibration.variants) {
    Json row{{"change", variant.change}, {"figures", Json::array()}};
    for (std::size_t k = 0; k < variant.figures.size(); ++k) {
      const TargetResult& t = calibration.targets[k];
      row["figures"].push_back({{"figure", keyOf(t.figure)},
                                {"measured", variant.figures[k].mean},
                                {"standard_error", variant.figures[k].standardError},
                                {"steady", isSteady(t, variant.figures[k])}});
    }
    json["variants"].push_back(row);
  }
  json["trials_measured"] = calibration.measured;
  json["trials_remembered"] = calibration.remembered;
  return json;
}

}  // namespace holdground
