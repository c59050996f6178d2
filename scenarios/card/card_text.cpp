#include "scenarios/card/card_text.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>

#include "scenarios/card/tools_text.hpp"

namespace holdground {
namespace {

using Json = nlohmann::ordered_json;

double number(const Json& json, const std::string& key) { return json[key].get<double>(); }

std::string line(const std::string& what, const std::string& value) {
  return fmt::format("  {:<28}{}\n", what, value);
}

/// A figure as the card shows it.
struct Shown {
  std::string name;
  double perUnit;  ///< SI times this is the unit
  int decimals;
  std::string unit;
};

const std::map<std::string, Shown>& shownFigures() {
  static const std::map<std::string, Shown> figures{
      {"submerged_unit_weight_N_per_m3", {"submerged unit weight", 1e-3, 2, " kN/m3"}},
      {"void_ratio", {"void ratio", 1.0, 3, ""}},
      {"k0", {"K0", 1.0, 2, ""}},
      {"friction_angle_deg", {"friction angle", 1.0, 1, " deg"}},
      {"peak_angle_deg", {"peak angle, 3.2 kPa", 1.0, 1, " deg"}},
      {"dilatancy_deg", {"dilatancy, 3.2 kPa", 1.0, 1, " deg"}},
      {"strength_Pa", {"strength, 3.2 kPa", 1e-3, 2, " kPa"}},
      {"repose_dry_deg", {"repose, dry", 1.0, 1, " deg"}}};
  return figures;
}

std::string shearText(const Json& card) {
  const bool isCohesive = card["is_cohesive"].get<bool>();
  std::string text = fmt::format("  {:<12}{:>18}{:>12}{:>10}{:>12}{:>11}{:>11}\n", "sheared at",
                                 isCohesive ? "strength" : "angle", "peak", "voids", "dilatancy",
                                 "tau/sigma", "lid/slice");
  for (const Json& s : card["shear"]) {
    const std::string strength =
        isCohesive ? fmt::format("{:.2f} +-{:.2f} kPa", 1e-3 * number(s, "strength_Pa"),
                                 1e-3 * number(s, "strength_se_Pa"))
                   : fmt::format("{:.1f} +-{:.1f} deg", number(s, "friction_angle_deg"),
                                 number(s, "friction_angle_se_deg"));
    const std::string peak = isCohesive
                                 ? fmt::format("{:.2f} kPa", 1e-3 * number(s, "peak_strength_Pa"))
                                 : fmt::format("{:.1f} deg", number(s, "peak_angle_deg"));
    text += fmt::format("  {:>6.1f} kPa  {:>18}{:>12}{:>10.3f}{:>8.1f} deg{:>11.3f}{:>11.3f}\n",
                        1e-3 * number(s, "normal_stress_Pa"), strength, peak,
                        number(s, "void_ratio"), number(s, "dilatancy_deg"),
                        number(s, "shear_ratio"), number(s, "lid_shear_share"));
  }
  return text;
}

/// What the bed file's permeability means for a pull; nothing when it gives none.
std::string drainageText(const Json& card) {
  if (!card.contains("drainage")) return "";
  const Json& d = card["drainage"];
  return line(
      "a pull's v D/c_v",
      fmt::format("{:.3g} at {:.1f} m/s, {:.1f} m wide, c_v {:.3g} m2/s: {}{}", number(d, "number"),
                  number(d, "speed_m_per_s"), number(d, "width_m"),
                  number(d, "consolidation_m2_per_s"), d["says"].get<std::string>(),
                  d["says"] == "drained" ? "" : "; the bed has no pore water and is drained"));
}

std::string reposeText(const Json& card, const std::string& name) {
  if (card[name + "_stands"].get<bool>()) return "a cut stands by itself";
  return fmt::format("{:.1f} +-{:.1f} deg{}", number(card, name + "_deg"),
                     number(card, name + "_se_deg"),
                     card[name + "_at_rest"].get<bool>() ? "" : ", still moving");
}

std::string verdictsText(const Json& card) {
  std::string text = fmt::format(
      "  beside published ranges for {}\n",
      card["kind"].get<std::string>().empty() ? "no kind" : card["kind"].get<std::string>());
  for (const Json& row : card["verdicts"]) {
    const Shown& shown = shownFigures().at(row["figure"].get<std::string>());
    const auto value = [&](const char* key) {
      return fmt::format("{:.{}f}", shown.perUnit * number(row, key), shown.decimals);
    };
    text += fmt::format("    {:<24}{:>8}{:<7} {}", shown.name, value("measured"), shown.unit,
                        row["verdict"].get<std::string>());
    if (row.contains("low"))
      text += fmt::format(" {} to {} ({})", value("low"), value("high"),
                          row["source"].get<std::string>());
    text += '\n';
  }
  return text;
}

}  // namespace

std::string tileCardText(const Json& card) {
  std::string text = card["name"].get<std::string>() + '\n';
  text += line("tile", fmt::format("{:.3f} x {:.3f} m, {:.3f} m deep, {} grains",
                                   number(card, "tile_length_m"), number(card, "tile_width_m"),
                                   number(card, "depth_m"), card["grains"].get<std::size_t>()));
  text +=
      line("grains", fmt::format("{:.1f} to {:.1f} mm", 1e3 * number(card, "smallest_diameter_m"),
                                 1e3 * number(card, "largest_diameter_m")));
  text += line("solid fraction",
               fmt::format("{:.4f} (void ratio {:.3f})", number(card, "solid_fraction"),
                           number(card, "void_ratio")));
  text += line("submerged unit weight",
               fmt::format("{:.2f} kN/m3", 1e-3 * number(card, "submerged_unit_weight_N_per_m3")));
  text += line("coordination number", fmt::format("{:.2f}", number(card, "coordination_number")));
  text += line("softened modulus",
               fmt::format("{:.3g} MPa, stiffness number {:.0f} at the expected stress",
                           1e-6 * number(card, "young_modulus_Pa"),
                           number(card, "stiffness_number_at_expected_stress")));
  text += line("settled in",
               fmt::format("{:.2f} s of simulated time", number(card, "settling_time_s")));
  return text;
}

std::string probesText(const Json& card) {
  std::string text;
  text += line("K0", fmt::format("{:.2f} (1 - sin phi: {:.2f})", number(card, "k0"),
                                 number(card, "k0_jaky")));
  text += line("friction angle", fmt::format("{:.1f} +-{:.1f} deg at critical state",
                                             number(card, "friction_angle_deg"),
                                             number(card, "friction_angle_se_deg")));
  text += line("cohesion", fmt::format("{:.2f} +-{:.2f} kPa, of the line through three stresses",
                                       1e-3 * number(card, "cohesion_Pa"),
                                       1e-3 * number(card, "cohesion_se_Pa")));
  text += line("strength with stress",
               fmt::format("{:.2f} +-{:.2f} kPa + ({:.3f} +-{:.3f}) of the normal stress",
                           1e-3 * number(card, "strength_at_surface_Pa"),
                           1e-3 * number(card, "strength_at_surface_se_Pa"),
                           number(card, "strength_slope"), number(card, "strength_slope_se")));
  text += line(
      "stiffness, sideways held",
      fmt::format("{:.3g} MPa, of softened grains", 1e-6 * number(card, "oedometer_modulus_Pa")));
  text += drainageText(card);
  text += line("slope of a cut, dry", reposeText(card, "repose_dry"));
  if (card.contains("repose_under_water_deg"))
    text += line("slope of a cut, submerged", reposeText(card, "repose_under_water"));
  text += shearText(card);
  text += verdictsText(card);
  if (card.contains("tools")) text += toolsText(card);
  for (const Json& doubt : card["doubts"]) text += "  ! " + doubt.get<std::string>() + '\n';
  for (const Json& left : card["left_out"]) text += "  ! " + left.get<std::string>() + '\n';
  return text;
}

}  // namespace holdground
