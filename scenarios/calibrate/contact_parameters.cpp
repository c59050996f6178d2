#include "scenarios/calibrate/contact_parameters.hpp"

#include <fmt/format.h>

namespace holdground {

std::string keyOf(Figure figure) {
  switch (figure) {
    case Figure::kFrictionAngle:
      return "friction_angle";
    case Figure::kStrength:
      return "strength";
    case Figure::kUnitWeight:
      return "unit_weight";
    case Figure::kRepose:
      return "repose";
  }
  return "";
}

std::optional<double> wantedOf(const BedTarget& target, Figure figure) {
  switch (figure) {
    case Figure::kFrictionAngle:
      return target.frictionAngle;
    case Figure::kStrength:
      return target.strength;
    case Figure::kUnitWeight:
      return target.unitWeight;
    case Figure::kRepose:
      return target.repose;
  }
  return {};
}

std::string figureText(Figure figure, double value, int digits, const DisplayUnits& units) {
  const Dimension dimension = figure == Figure::kStrength     ? Dimension::kPressure
                              : figure == Figure::kUnitWeight ? Dimension::kUnitWeight
                                                              : Dimension::kAngle;
  return units.format(value, dimension, digits);
}

ContactParameters parametersOf(const BedRecipe& bed) {
  const GrainMaterial& m = bed.material;
  return {m.friction, m.rollingFriction, m.pullOffStress, m.density};
}

BedRecipe withParameters(BedRecipe bed, const ContactParameters& parameters) {
  bed.material.friction = parameters.friction;
  bed.material.rollingFriction = parameters.rollingFriction;
  bed.material.pullOffStress = parameters.pullOffStress;
  bed.material.density = parameters.density;
  return bed;
}

std::string parametersText(const ContactParameters& p) {
  std::string text = fmt::format("friction {}, rolling friction {}", formatNumber(p.friction, 6),
                                 formatNumber(p.rollingFriction, 6));
  if (p.pullOffStress > 0.0)
    text += fmt::format(", pull-off stress {} kPa", formatNumber(1e-3 * p.pullOffStress, 6));
  return text + fmt::format(", density {} kg/m3", formatNumber(p.density, 6));
}

}  // namespace holdground
