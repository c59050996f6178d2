#pragma once
// What a bed is to measure, for calibration: the table [target] of a bed file. SI; empty: any.
// Checked by tests/unit/scenarios/bed_file_test.cpp.

#include <optional>

namespace holdground {

struct BedTarget {
  std::optional<double> frictionAngle;  ///< critical state, as on the card [rad]
  std::optional<double> strength;       ///< critical state, at `strengthDepth` [Pa]
  std::optional<double> strengthDepth;  ///< below the surface [m]
  std::optional<double> unitWeight;     ///< submerged [N/m3]
  std::optional<double> repose;         ///< slope of a cut, dry [rad]

  bool any() const { return frictionAngle || strength || unitWeight || repose; }
};

}  // namespace holdground
