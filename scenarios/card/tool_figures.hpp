#pragma once
// What the tools' curves say of a bed: strengths and factors at some depths, and verdicts on them.
//
// su of the shear cells is taken at the tool's vertical stress, gamma' z, from the line
//   su0 + slope sigma, and multiplied by how much stronger the cell is at the tools' rate.
// Where a factor depends on the friction angle, published ranges run from the angle at critical
//   state to the peak at 3.2 kPa, and from smooth to rough.
// Forces are effective: the grains' alone, no water pressure. Keys in SI, degrees where they say
// so. Checked by: tests/unit/scenarios/tool_figures_test.cpp

#include <nlohmann/json.hpp>
#include <vector>

#include "scenarios/card/tool_probes.hpp"

namespace holdground {

/// What is known of the ground the tools go through.
struct ToolGround {
  bool isCohesive = false;
  double unitWeight = 0.0;                   ///< submerged [N/m3]
  double frictionAngle = 0.0;                ///< critical state [rad]
  double peakAngle = 0.0;                    ///< at 3.2 kPa [rad]; at least frictionAngle
  double steelAngle = 0.0;                   ///< of friction on the tool [rad]
  double cohesion = 0.0;                     ///< of the line through the circles [Pa]
  double strength = 0.0, slope = 0.0;        ///< su0 [Pa], and with stress [-]
  std::vector<double> stress, peakStrength;  ///< of the cells [Pa]
  double rateFactor = 1.0;                   ///< strength at the tools' rate over that of the cells
  double peakRateFactor = 1.0;               ///< the same of peaks

  /// Strength at the tools' rate under a vertical stress [Pa].
  double strengthAt(double verticalStress) const;
  double peakStrengthAt(double verticalStress) const;
};

struct ToolReadings {
  ToolCurve tBar, tBarAgain, vane, cone, plateDown, plateUp, plateSideways;
};

/// An object for each tool, and the array `verdicts`.
nlohmann::ordered_json toolFigures(const ToolReadings& readings, const ToolGround& ground);

}  // namespace holdground
