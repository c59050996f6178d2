#pragma once
// What calibration may change in a bed, and the figures it is changed for.
// Checked by: tests/unit/scenarios/calibrate_bed_test.cpp

#include <array>
#include <optional>
#include <string>

#include "scenarios/schema/bed_recipe.hpp"
#include "solver/core/units.hpp"

namespace holdground {

/// Figures that a target may name, in the order in which they are reported.
enum class Figure { kFrictionAngle, kStrength, kUnitWeight, kRepose };
inline constexpr std::array kFigures{Figure::kFrictionAngle, Figure::kStrength, Figure::kUnitWeight,
                                     Figure::kRepose};

/// The key in [target].
std::string keyOf(Figure figure);
std::optional<double> wantedOf(const BedTarget& target, Figure figure);

/// "30 deg", "3 kPa", ...: a figure in SI as a person reads it.
std::string figureText(Figure figure, double value, int digits = 4,
                       const DisplayUnits& units = DisplayUnits());

struct ContactParameters {
  double friction = 0.0;
  double rollingFriction = 0.0;
  double pullOffStress = 0.0;  ///< [Pa]
  double density = 0.0;        ///< [kg/m3]

  auto operator<=>(const ContactParameters&) const = default;
};

ContactParameters parametersOf(const BedRecipe& bed);
BedRecipe withParameters(BedRecipe bed, const ContactParameters& parameters);

/// "friction 0.5, rolling friction 0.1, ...": pull-off stress only where there is one.
std::string parametersText(const ContactParameters& parameters);

}  // namespace holdground
