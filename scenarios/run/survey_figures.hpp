#pragma once
// The bench numbers of an anchor, worked out from its meshes.
// Symbols: chord = heel to toe; up = across the chord, off the fluke (attitude.hpp). SI units.
// Checked by tests/unit/scenarios/survey_test.cpp.

#include <optional>
#include <string>
#include <vector>

#include "solver/anchor/anchor.hpp"
#include "solver/core/units.hpp"

namespace holdground {

/// One number of the survey; `value` is empty when it does not apply to this anchor.
struct SurveyFigure {
  std::string key;    ///< in the JSON
  std::string label;  ///< for a person
  std::optional<double> value;
  Dimension dimension;
  std::string meaning;  ///< how it is defined, one line
};

struct SurveyPart {
  std::string name, role;
  double mass, volume, density;  ///< [kg], [m^3], [kg/m^3]
  Vec3 centroid;                 ///< anchor frame [m]
  Surface surface;               ///< toward sand
  std::size_t triangles, vertices;
  std::optional<double> thickness;  ///< median through the part, when it is a plate [m]
};

struct Survey {
  std::string name;
  std::vector<SurveyFigure> figures;
  std::vector<SurveyPart> parts;
};

/// @param waterDensity for the weight in water [kg/m^3].
Survey surveyAnchor(const Anchor& anchor, double waterDensity);

/// As a table for a person, and as JSON in SI units.
std::string surveyText(const Survey& survey, const DisplayUnits& units);
std::string surveyJson(const Survey& survey);

}  // namespace holdground
