#include "scenarios/card/tools_text.hpp"

#include <fmt/format.h>

namespace holdground {
namespace {

using Json = nlohmann::ordered_json;
using enum Dimension;

double number(const Json& json, const std::string& key) { return json[key].get<double>(); }

/// "T-bar 132 mm" and the like.
std::string toolName(const std::string& name, const Json& tool, const CardUnits& units) {
  return name + " " + units.text(number(tool, "width_m"), kLength, "mm", 0);
}

std::string depth(const Json& json, const CardUnits& units) {
  return units.text(number(json, "depth_m"), kLength, "m", 2);
}

/// "120 +-5 N"
std::string force(const Json& json, const CardUnits& units) {
  return units.number(number(json, "force_N"), kForce, "N", 0) + " +-" +
         units.text(number(json, "force_se_N"), kForce, "N", 0);
}

std::string stress(const Json& json, const std::string& key, const CardUnits& units, int decimals) {
  return units.text(number(json, key), kPressure, "kPa", decimals);
}

std::string stressNumber(const Json& json, const std::string& key, const CardUnits& units) {
  return units.number(number(json, key), kPressure, "kPa", 2);
}

std::string line(const std::string& what, const std::string& value) {
  return fmt::format("    {:<26}{}\n", what, value);
}

std::string tBarText(const Json& tool, bool isCohesive, const CardUnits& units) {
  std::string text;
  for (const Json& r : tool["readings"]) {
    std::string value = fmt::format("{} down {}, {}", depth(r, units), force(r, units),
                                    stress(r, "pressure_Pa", units, 1));
    if (isCohesive)
      value += fmt::format(": su {} by 10.5, cells {}, factor {:.1f}{}",
                           stress(r, "strength_Pa", units, 2),
                           stressNumber(r, "cell_strength_Pa", units), number(r, "factor"),
                           r["trench_stays_open"].get<bool>() ? ", trench open" : "");
    else
      value += fmt::format(": {:.1f} of the vertical stress", number(r, "pressure_over_stress"));
    text += line(toolName("T-bar", tool, units), value);
  }
  return text;
}

std::string tBarAgainText(const Json& tool, const CardUnits& units) {
  std::string shares;
  for (const Json& r : tool["readings"])
    if (r.contains("over_first_pass"))
      shares += fmt::format("{}{:.2f} at {}", shares.empty() ? "" : ", ",
                            number(r, "over_first_pass"), depth(r, units));
  return line("a second time there", shares + " of the first pass: what healed behind the bar");
}

std::string vaneText(const Json& tool, const CardUnits& units) {
  return line(
      toolName("vane", tool, units),
      fmt::format(
          "{} down {}, {} +-{} after a turn: {} and {} (cells {} and {}), sensitivity {:.2f}",
          depth(tool, units), units.text(number(tool, "peak_torque_Nm"), kTorque, "N m", 0),
          units.number(number(tool, "remoulded_torque_Nm"), kTorque, "N m", 0),
          units.number(number(tool, "remoulded_torque_se_Nm"), kTorque, "N m", 0),
          stressNumber(tool, "strength_Pa", units), stress(tool, "remoulded_strength_Pa", units, 2),
          stressNumber(tool, "cell_peak_strength_Pa", units),
          stressNumber(tool, "cell_strength_Pa", units), number(tool, "sensitivity")));
}

std::string coneText(const Json& tool, const CardUnits& units) {
  std::string text;
  for (const Json& r : tool["readings"])
    text += line(toolName("cone", tool, units),
                 fmt::format("{} down {}: q {}, {:.1f} of the vertical stress", depth(r, units),
                             force(r, units), stress(r, "resistance_Pa", units, 1),
                             number(r, "resistance_over_stress")));
  return text;
}

std::string plateText(const std::string& name, const Json& tool, const CardUnits& units) {
  const double load = number(tool, "force_N") / number(tool, "length_m");
  return line(toolName(name, tool, units),
              fmt::format("{} down {}, factor {:.2f}", depth(tool, units),
                          units.text(load, kLineWeight, "N/m", 0), number(tool, "factor")));
}

}  // namespace

std::string toolsText(const Json& card, const CardUnits& units) {
  const Json& tools = card["tools"];
  const bool isCohesive = card["is_cohesive"].get<bool>();
  std::string text =
      fmt::format("  tools of {} grains' widths, in a tile of {} x {}, {} deep, {} grains\n",
                  units.text(number(tools, "diameter_m"), kLength, "mm", 0),
                  units.number(number(tools, "tile_length_m"), kLength, "m", 2),
                  units.text(number(tools, "tile_width_m"), kLength, "m", 2),
                  units.text(number(tools, "tile_depth_m"), kLength, "m", 2),
                  tools["tile_grains"].get<std::size_t>());
  text +=
      line("rate", fmt::format("{:.2f} widths a second, plates {:.2f}; the cell is {:.2f} times as "
                               "strong there",
                               number(tools, "rate_per_s"),
                               number(tools["plate_down"], "speed_over_width_per_s"),
                               number(tools, "rate_factor")));
  const Json& pressed = tools["cell_pressed_before"];
  text += line("memory",
               fmt::format("pressed under {} first, the cell at {} peaks at {:.2f} and then holds "
                           "{:.2f} times what it did",
                           stress(pressed, "pressed_under_Pa", units, 1),
                           stress(pressed, "normal_stress_Pa", units, 1),
                           number(tools, "memory_peak_factor"), number(tools, "memory_factor")));
  text += tBarText(tools["t_bar"], isCohesive, units);
  text += tBarAgainText(tools["t_bar_again"], units);
  text += vaneText(tools["vane"], units);
  text += coneText(tools["cone"], units);
  text += plateText("plate pushed in", tools["plate_down"], units);
  text += plateText("plate pulled up", tools["plate_up"], units);
  text += plateText("plate sideways", tools["plate_sideways"], units);
  text += "  tools beside published factors\n";
  for (const Json& row : tools["verdicts"])
    text +=
        fmt::format("    {:<48}{:>7.2f} {} {:.2f} to {:.2f} ({})\n", row["name"].get<std::string>(),
                    number(row, "measured"), row["verdict"].get<std::string>(), number(row, "low"),
                    number(row, "high"), row["source"].get<std::string>());
  return text;
}

}  // namespace holdground
