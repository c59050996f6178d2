#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "scenarios/run/survey_figures.hpp"

namespace holdground {

namespace {

// What a scale or a tape would show.
constexpr int kDigits = 4;

std::string lengthIn(const DisplayUnits& units, double metres) {
  return formatNumber(units.fromSi(metres, Dimension::kLength), kDigits);
}

std::string siUnit(Dimension dimension) {
  for (const Unit& unit : allUnits()) {
    if (unit.dimension == dimension) return std::string(unit.symbol);
  }
  return "";
}

}  // namespace

std::string surveyText(const Survey& survey, const DisplayUnits& units) {
  std::string text = survey.name + "\n\n";
  for (const SurveyFigure& figure : survey.figures) {
    if (!figure.value) continue;
    text += fmt::format("  {:<26} {:<14} {}\n", figure.label,
                        units.format(*figure.value, figure.dimension, kDigits), figure.meaning);
  }
  const std::string length(units.symbol(Dimension::kLength));
  text += fmt::format("\n  {:<12} {:<9} {:>12} {:>14} {:>28} {:>9} {:>9} {:>10}\n", "part", "role",
                      "mass", "density", "centre x, y, z [" + length + "]", "thickness", "friction",
                      "triangles");
  for (const SurveyPart& part : survey.parts) {
    const std::string centre =
        fmt::format("{}, {}, {}", lengthIn(units, part.centroid.x()),
                    lengthIn(units, part.centroid.y()), lengthIn(units, part.centroid.z()));
    text += fmt::format("  {:<12} {:<9} {:>12} {:>14} {:>28} {:>9} {:>9} {:>10}\n", part.name,
                        part.role, units.format(part.mass, Dimension::kMass, kDigits),
                        units.format(part.density, Dimension::kDensity, kDigits), centre,
                        part.thickness ? lengthIn(units, *part.thickness) : "-",
                        formatNumber(part.surface.friction, kDigits), part.triangles);
  }
  text +=
      "\nfriction: grain on steel, in sand; adhesion to mud follows from the bed where the anchor "
      "file gives none\n";
  return text;
}

std::string surveyJson(const Survey& survey) {
  using nlohmann::ordered_json;
  ordered_json root;
  root["format"] = "holdground survey";
  root["version"] = 1;
  root["name"] = survey.name;
  for (const SurveyFigure& figure : survey.figures) {
    ordered_json& entry = root["figures"][figure.key];
    entry["value"] = figure.value ? ordered_json(*figure.value) : ordered_json(nullptr);
    entry["unit"] = siUnit(figure.dimension);
    entry["meaning"] = figure.meaning;
  }
  for (const SurveyPart& part : survey.parts) {
    ordered_json entry;
    entry["name"] = part.name;
    entry["role"] = part.role;
    entry["mass"] = part.mass;
    entry["volume"] = part.volume;
    entry["density"] = part.density;
    entry["centroid"] = {part.centroid.x(), part.centroid.y(), part.centroid.z()};
    entry["friction"] = part.surface.friction;
    entry["rolling_friction"] = part.surface.rollingFriction;
    entry["adhesion"] = part.surface.adhesion;
    entry["tension"] = part.surface.tension;
    entry["triangles"] = part.triangles;
    entry["vertices"] = part.vertices;
    entry["thickness"] = part.thickness ? ordered_json(*part.thickness) : ordered_json(nullptr);
    root["parts"].push_back(entry);
  }
  // Names come from files: bytes that are no UTF-8 must not stop the report.
  return root.dump(2, ' ', false, ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace holdground
