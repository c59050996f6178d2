#include "scenarios/card/card_text.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>

#include "scenarios/card/card_units.hpp"
#include "scenarios/card/tools_text.hpp"
#include "solver/core/types.hpp"

namespace holdground {
namespace {

using Json = nlohmann::ordered_json;
using enum Dimension;

double number(const Json& json, const std::string& key) { return json[key].get<double>(); }

std::string line(const std::string& what, const std::string& value) {
  return fmt::format("  {:<28}{}\n", what, value);
}

/// A figure as the card shows it.
struct Shown {
  std::string name;
  Dimension dimension;
  std::string metric;  ///< unit
  int decimals;
  bool isAtStress = false;  ///< of kVerdictStress
};

constexpr double kVerdictStress = 3200.0;  // [Pa]

const std::map<std::string, Shown>& shownFigures() {
  static const std::map<std::string, Shown> figures{
      {"submerged_unit_weight_N_per_m3", {"submerged unit weight", kUnitWeight, "kN/m3", 2}},
      {"void_ratio", {"void ratio", kNumber, "", 3}},
      {"k0", {"K0", kNumber, "", 2}},
      {"friction_angle_deg", {"friction angle", kAngle, "deg", 1}},
      {"peak_angle_deg", {"peak angle", kAngle, "deg", 1, true}},
      {"dilatancy_deg", {"dilatancy", kAngle, "deg", 1, true}},
      {"strength_Pa", {"strength", kPressure, "kPa", 2, true}},
      {"repose_dry_deg", {"repose, dry", kAngle, "deg", 1}}};
  return figures;
}

/// Cards hold angles in degrees, and what ends in _deg is one.
double siOf(const Json& json, const std::string& key) {
  return number(json, key) * (key.ends_with("_deg") ? kPi / 180.0 : 1.0);
}

std::string angle(const Json& json, const std::string& key, const CardUnits& units) {
  return units.text(siOf(json, key), kAngle, "deg", 1);
}

/// "31.1 +-0.6 deg": a figure and its standard error, KEY and KEY_se before the unit of the key.
std::string withError(const Json& json, const std::string& key, const std::string& errorKey,
                      const CardUnits& units) {
  const bool isAngle = key.ends_with("_deg");
  const Dimension dimension = isAngle ? kAngle : kPressure;
  const char* metric = isAngle ? "deg" : "kPa";
  const int decimals = isAngle ? 1 : 2;
  return units.number(siOf(json, key), dimension, metric, decimals) + " +-" +
         units.text(siOf(json, errorKey), dimension, metric, decimals);
}

std::string shearText(const Json& card, const CardUnits& units) {
  const bool isCohesive = card["is_cohesive"].get<bool>();
  std::string text = fmt::format("  {:<12}{:>18}{:>12}{:>10}{:>12}{:>11}{:>11}\n", "sheared at",
                                 isCohesive ? "strength" : "angle", "peak", "voids", "dilatancy",
                                 "tau/sigma", "lid/slice");
  for (const Json& s : card["shear"]) {
    const std::string strength =
        isCohesive ? withError(s, "strength_Pa", "strength_se_Pa", units)
                   : withError(s, "friction_angle_deg", "friction_angle_se_deg", units);
    const std::string peak = isCohesive
                                 ? units.text(number(s, "peak_strength_Pa"), kPressure, "kPa", 2)
                                 : angle(s, "peak_angle_deg", units);
    text += fmt::format("  {:>10}  {:>18}{:>12}{:>10.3f}{:>12}{:>11.3f}{:>11.3f}\n",
                        units.text(number(s, "normal_stress_Pa"), kPressure, "kPa", 1), strength,
                        peak, number(s, "void_ratio"), angle(s, "dilatancy_deg", units),
                        number(s, "shear_ratio"), number(s, "lid_shear_share"));
  }
  return text;
}

/// What the bed file's permeability means for a pull; nothing when it gives none.
std::string drainageText(const Json& card, const CardUnits& units) {
  if (!card.contains("drainage")) return "";
  const Json& d = card["drainage"];
  return line(
      "a pull's v D/c_v",
      fmt::format("{:.3g} at {}, {} wide, c_v {:.3g} m2/s: {}{}", number(d, "number"),
                  units.text(number(d, "speed_m_per_s"), kSpeed, "m/s", 1),
                  units.text(number(d, "width_m"), kLength, "m", 1),
                  number(d, "consolidation_m2_per_s"), d["says"].get<std::string>(),
                  d["says"] == "drained" ? "" : "; the bed has no pore water and is drained"));
}

std::string reposeText(const Json& card, const std::string& name, const CardUnits& units) {
  if (card[name + "_stands"].get<bool>()) return "a cut stands by itself";
  return fmt::format("{}{}", withError(card, name + "_deg", name + "_se_deg", units),
                     card[name + "_at_rest"].get<bool>() ? "" : ", still moving");
}

std::string verdictsText(const Json& card, const CardUnits& units) {
  std::string text = fmt::format(
      "  beside published ranges for {}\n",
      card["kind"].get<std::string>().empty() ? "no kind" : card["kind"].get<std::string>());
  for (const Json& row : card["verdicts"]) {
    const Shown& shown = shownFigures().at(row["figure"].get<std::string>());
    const auto value = [&](const char* key) {
      const double si = number(row, key) * (shown.dimension == kAngle ? kPi / 180.0 : 1.0);
      return units.number(si, shown.dimension, shown.metric, shown.decimals);
    };
    const std::string_view unit = units.symbol(shown.dimension, shown.metric);
    const std::string stress = units.text(kVerdictStress, kPressure, "kPa", 1);
    text += fmt::format("    {:<24}{:>8}{:<7} {}",
                        shown.isAtStress ? fmt::format("{}, {}", shown.name, stress) : shown.name,
                        value("measured"), unit.empty() ? "" : fmt::format(" {}", unit),
                        row["verdict"].get<std::string>());
    if (row.contains("low"))
      text += fmt::format(" {} to {} ({})", value("low"), value("high"),
                          row["source"].get<std::string>());
    text += '\n';
  }
  return text;
}

}  // namespace

std::string tileCardText(const Json& card, const DisplayUnits& wished) {
  const CardUnits units(wished);
  const auto length = [&](const char* key, const char* metric, int decimals) {
    return units.number(number(card, key), kLength, metric, decimals);
  };
  std::string text = card["name"].get<std::string>() + '\n';
  const std::string_view m = units.symbol(kLength, "m");
  text +=
      line("tile", fmt::format("{} x {} {}, {} {} deep, {} grains", length("tile_length_m", "m", 3),
                               length("tile_width_m", "m", 3), m, length("depth_m", "m", 3), m,
                               card["grains"].get<std::size_t>()));
  text += line("grains",
               fmt::format("{} to {} {}", length("smallest_diameter_m", "mm", 1),
                           length("largest_diameter_m", "mm", 1), units.symbol(kLength, "mm")));
  text += line("solid fraction",
               fmt::format("{:.4f} (void ratio {:.3f})", number(card, "solid_fraction"),
                           number(card, "void_ratio")));
  text += line(card.value("is_dry", false) ? "unit weight, dry" : "submerged unit weight",
               units.text(number(card, "submerged_unit_weight_N_per_m3"), kUnitWeight, "kN/m3", 2));
  text += line("coordination number", fmt::format("{:.2f}", number(card, "coordination_number")));
  text += line("softened modulus",
               fmt::format("{} {}, stiffness number {:.0f} at the expected stress",
                           units.digits(number(card, "young_modulus_Pa"), kPressure, "MPa", 3),
                           units.symbol(kPressure, "MPa"),
                           number(card, "stiffness_number_at_expected_stress")));
  text += line("settled in",
               fmt::format("{:.2f} s of simulated time", number(card, "settling_time_s")));
  return text;
}

std::string probesText(const Json& card, const DisplayUnits& wished) {
  const CardUnits units(wished);
  std::string text;
  text += line("K0", fmt::format("{:.2f} (1 - sin phi: {:.2f})", number(card, "k0"),
                                 number(card, "k0_jaky")));
  text +=
      line("friction angle", withError(card, "friction_angle_deg", "friction_angle_se_deg", units) +
                                 " at critical state");
  text += line("cohesion", withError(card, "cohesion_Pa", "cohesion_se_Pa", units) +
                               ", of the line through three stresses");
  text += line(
      "strength with stress",
      fmt::format("{} + ({:.3f} +-{:.3f}) of the normal stress",
                  withError(card, "strength_at_surface_Pa", "strength_at_surface_se_Pa", units),
                  number(card, "strength_slope"), number(card, "strength_slope_se")));
  text += line("stiffness, sideways held",
               fmt::format("{} {}, of softened grains",
                           units.digits(number(card, "oedometer_modulus_Pa"), kPressure, "MPa", 3),
                           units.symbol(kPressure, "MPa")));
  text += drainageText(card, units);
  text += line("slope of a cut, dry", reposeText(card, "repose_dry", units));
  if (card.contains("repose_under_water_deg"))
    text += line("slope of a cut, submerged", reposeText(card, "repose_under_water", units));
  text += shearText(card, units);
  text += verdictsText(card, units);
  if (card.contains("tools")) text += toolsText(card, units);
  for (const Json& doubt : card["doubts"]) text += "  ! " + doubt.get<std::string>() + '\n';
  for (const Json& left : card["left_out"]) text += "  ! " + left.get<std::string>() + '\n';
  text += "  a pull in this bed\n";
  for (const Json& line : card["known_bias"]) text += "  ! " + line.get<std::string>() + '\n';
  return text;
}

}  // namespace holdground
