#include "scenarios/card/tools_text.hpp"

#include <fmt/format.h>

namespace holdground {
namespace {

using Json = nlohmann::ordered_json;

double number(const Json& json, const std::string& key) { return json[key].get<double>(); }
double kPa(const Json& json, const std::string& key) { return 1e-3 * number(json, key); }

/// "T-bar 132 mm" and the like.
std::string toolName(const std::string& name, const Json& tool) {
  return fmt::format("{} {:.0f} mm", name, 1e3 * number(tool, "width_m"));
}

std::string line(const std::string& what, const std::string& value) {
  return fmt::format("    {:<26}{}\n", what, value);
}

std::string tBarText(const Json& tool, bool isCohesive) {
  std::string text;
  for (const Json& r : tool["readings"]) {
    std::string value =
        fmt::format("{:.2f} m down {:.0f} +-{:.0f} N, {:.1f} kPa", number(r, "depth_m"),
                    number(r, "force_N"), number(r, "force_se_N"), kPa(r, "pressure_Pa"));
    if (isCohesive)
      value += fmt::format(": su {:.2f} kPa by 10.5, cells {:.2f}, factor {:.1f}{}",
                           kPa(r, "strength_Pa"), kPa(r, "cell_strength_Pa"), number(r, "factor"),
                           r["trench_stays_open"].get<bool>() ? ", trench open" : "");
    else
      value += fmt::format(": {:.1f} of the vertical stress", number(r, "pressure_over_stress"));
    text += line(toolName("T-bar", tool), value);
  }
  return text;
}

std::string tBarAgainText(const Json& tool) {
  std::string shares;
  for (const Json& r : tool["readings"])
    if (r.contains("over_first_pass"))
      shares += fmt::format("{}{:.2f} at {:.2f} m", shares.empty() ? "" : ", ",
                            number(r, "over_first_pass"), number(r, "depth_m"));
  return line("a second time there", shares + " of the first pass: what healed behind the bar");
}

std::string vaneText(const Json& tool) {
  return line(
      toolName("vane", tool),
      fmt::format("{:.2f} m down {:.0f} N m, {:.0f} +-{:.0f} after a turn: {:.2f} and {:.2f} kPa "
                  "(cells {:.2f} and {:.2f}), sensitivity {:.2f}",
                  number(tool, "depth_m"), number(tool, "peak_torque_Nm"),
                  number(tool, "remoulded_torque_Nm"), number(tool, "remoulded_torque_se_Nm"),
                  kPa(tool, "strength_Pa"), kPa(tool, "remoulded_strength_Pa"),
                  kPa(tool, "cell_peak_strength_Pa"), kPa(tool, "cell_strength_Pa"),
                  number(tool, "sensitivity")));
}

std::string coneText(const Json& tool) {
  std::string text;
  for (const Json& r : tool["readings"])
    text += line(
        toolName("cone", tool),
        fmt::format("{:.2f} m down {:.0f} +-{:.0f} N: q {:.1f} kPa, {:.1f} of the vertical stress",
                    number(r, "depth_m"), number(r, "force_N"), number(r, "force_se_N"),
                    kPa(r, "resistance_Pa"), number(r, "resistance_over_stress")));
  return text;
}

std::string plateText(const std::string& name, const Json& tool) {
  const double force = number(tool, "force_N") / number(tool, "length_m");
  return line(toolName(name, tool),
              fmt::format("{:.2f} m down {:.0f} N a metre, factor {:.2f}", number(tool, "depth_m"),
                          force, number(tool, "factor")));
}

}  // namespace

std::string toolsText(const Json& card) {
  const Json& tools = card["tools"];
  const bool isCohesive = card["is_cohesive"].get<bool>();
  std::string text = fmt::format(
      "  tools of {:.0f} mm grains' widths, in a tile of {:.2f} x {:.2f} m, {:.2f} m deep, {} "
      "grains\n",
      1e3 * number(tools, "diameter_m"), number(tools, "tile_length_m"),
      number(tools, "tile_width_m"), number(tools, "tile_depth_m"),
      tools["tile_grains"].get<std::size_t>());
  text +=
      line("rate", fmt::format("{:.2f} widths a second, plates {:.2f}; the cell is {:.2f} times as "
                               "strong there",
                               number(tools, "rate_per_s"),
                               number(tools["plate_down"], "speed_over_width_per_s"),
                               number(tools, "rate_factor")));
  const Json& pressed = tools["cell_pressed_before"];
  text += line("memory",
               fmt::format("pressed under {:.1f} kPa first, the cell at {:.1f} kPa peaks at {:.2f} "
                           "and then holds {:.2f} times what it did",
                           kPa(pressed, "pressed_under_Pa"), kPa(pressed, "normal_stress_Pa"),
                           number(tools, "memory_peak_factor"), number(tools, "memory_factor")));
  text += tBarText(tools["t_bar"], isCohesive);
  text += tBarAgainText(tools["t_bar_again"]);
  text += vaneText(tools["vane"]);
  text += coneText(tools["cone"]);
  text += plateText("plate pushed in", tools["plate_down"]);
  text += plateText("plate pulled up", tools["plate_up"]);
  text += plateText("plate sideways", tools["plate_sideways"]);
  text += "  tools beside published factors\n";
  for (const Json& row : tools["verdicts"])
    text +=
        fmt::format("    {:<48}{:>7.2f} {} {:.2f} to {:.2f} ({})\n", row["name"].get<std::string>(),
                    number(row, "measured"), row["verdict"].get<std::string>(), number(row, "low"),
                    number(row, "high"), row["source"].get<std::string>());
  return text;
}

}  // namespace holdground
