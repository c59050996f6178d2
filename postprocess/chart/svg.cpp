#include "postprocess/chart/svg.hpp"

#include <fmt/format.h>

#include "postprocess/measure/whole_file.hpp"

namespace holdground {
namespace {

std::string escaped(const std::string& text) {
  std::string result;
  for (const char c : text) {
    switch (c) {
      case '&':
        result += "&amp;";
        break;
      case '<':
        result += "&lt;";
        break;
      case '>':
        result += "&gt;";
        break;
      default:
        result += c;
    }
  }
  return result;
}

std::string hex(const Colour& c) {
  return fmt::format("#{:02x}{:02x}{:02x}", c.red, c.green, c.blue);
}

std::string pointList(const std::vector<PagePoint>& points) {
  std::string list;
  for (const PagePoint& p : points) list += fmt::format("{:.2f},{:.2f} ", p[0], p[1]);
  return list;
}

std::string element(const Polyline& line) {
  const std::string dash =
      line.dash > 0.0 ? fmt::format(R"( stroke-dasharray="{0:.1f} {0:.1f}")", line.dash) : "";
  return fmt::format(
      R"(<polyline points="{}" fill="none" stroke="{}" stroke-opacity="{:.2f}" stroke-width="{:.2f}" )"
      R"(stroke-linejoin="round"{}/>)",
      pointList(line.points), hex(line.colour), line.colour.opacity, line.width, dash);
}

std::string element(const Polygon& area) {
  return fmt::format(R"(<polygon points="{}" fill="{}" fill-opacity="{:.2f}"/>)",
                     pointList(area.points), hex(area.fill), area.fill.opacity);
}

std::string element(const Label& label) {
  static constexpr const char* kAnchors[] = {"start", "middle", "end"};
  const std::string turn =
      label.turn == Turn::QuarterLeft
          ? fmt::format(R"~( transform="rotate(-90 {:.2f} {:.2f})")~", label.at[0], label.at[1])
          : "";
  return fmt::format(
      R"(<text x="{:.2f}" y="{:.2f}" font-size="{:.1f}" fill="{}" text-anchor="{}"{}{}>{}</text>)",
      label.at[0], label.at[1], label.size, hex(label.colour),
      kAnchors[static_cast<int>(label.anchoring)],
      label.weight == Weight::Bold ? R"( font-weight="bold")" : "", turn, escaped(label.text));
}

}  // namespace

std::string toSvg(const Drawing& drawing) {
  std::string document =
      fmt::format(R"(<svg xmlns="http://www.w3.org/2000/svg" width="{0:.0f}" height="{1:.0f}" )"
                  R"(viewBox="0 0 {0:.0f} {1:.0f}" font-family="DejaVu Sans, Verdana, sans-serif">)"
                  "\n",
                  drawing.width, drawing.height);
  for (const DrawnItem& item : drawing.items) {
    document += std::visit([](const auto& it) { return element(it); }, item);
    document += '\n';
  }
  return document + "</svg>\n";
}

void writeSvg(const Drawing& drawing, const std::filesystem::path& file) {
  writeWhole(file, toSvg(drawing));
}

}  // namespace holdground
