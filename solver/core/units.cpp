#include "solver/core/units.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "solver/core/errors.hpp"
#include "solver/core/types.hpp"

namespace holdground {
namespace {

using enum Dimension;

// Exact by definition: inch, pound (avoirdupois), standard gravity, nautical mile.
constexpr double kPoundForceNumerator = 44482216152605.0;  // 0.45359237 kg * 9.80665 m/s^2
constexpr double kPoundForceDenominator = 1.0e13;
constexpr double kPoundForce = kPoundForceNumerator / kPoundForceDenominator;  // [N]
constexpr double kPound = 0.45359237;                                          // [kg]
constexpr double kInch = 0.0254;                                               // [m]
constexpr double kFoot = 0.3048;                                               // [m]
constexpr double kGravity = 9.80665;                                           // [m/s^2]

constexpr Unit kUnits[] = {
    {"", kNumber, 1, 1},
    {"%", kNumber, 1, 100},

    {"m", kLength, 1, 1},
    {"mm", kLength, 1, 1000},
    {"cm", kLength, 1, 100},
    {"km", kLength, 1000, 1},
    {"um", kLength, 1, 1000000},
    {"in", kLength, 254, 10000},
    {"inch", kLength, 254, 10000},
    {"inches", kLength, 254, 10000},
    {"ft", kLength, 3048, 10000},
    {"feet", kLength, 3048, 10000},
    {"yd", kLength, 9144, 10000},
    {"fathom", kLength, 18288, 10000},
    {"nmi", kLength, 1852, 1},

    {"m2", kArea, 1, 1},
    {"m²", kArea, 1, 1},
    {"cm2", kArea, 1, 10000},
    {"mm2", kArea, 1, 1000000},
    {"in2", kArea, 64516, 1.0e8},
    {"ft2", kArea, 9290304, 1.0e8},

    {"m3", kVolume, 1, 1},
    {"m³", kVolume, 1, 1},
    {"L", kVolume, 1, 1000},
    {"cm3", kVolume, 1, 1000000},
    {"in3", kVolume, 16387064, 1.0e12},
    {"ft3", kVolume, 28316846592.0, 1.0e12},

    {"kg", kMass, 1, 1},
    {"g", kMass, 1, 1000},
    {"t", kMass, 1000, 1},
    {"lb", kMass, 45359237, 1.0e8},
    {"lbs", kMass, 45359237, 1.0e8},
    {"lbm", kMass, 45359237, 1.0e8},
    {"oz", kMass, 28349523125.0, 1.0e12},

    {"s", kTime, 1, 1},
    {"ms", kTime, 1, 1000},
    {"us", kTime, 1, 1000000},
    {"min", kTime, 60, 1},
    {"h", kTime, 3600, 1},

    {"rad", kAngle, 1, 1},
    {"deg", kAngle, kPi, 180},
    {"°", kAngle, kPi, 180},
    {"mrad", kAngle, 1, 1000},

    {"m/s", kSpeed, 1, 1},
    {"cm/s", kSpeed, 1, 100},
    {"mm/s", kSpeed, 1, 1000},
    {"km/h", kSpeed, 1000, 3600},
    {"kn", kSpeed, 1852, 3600},
    {"kt", kSpeed, 1852, 3600},
    {"knot", kSpeed, 1852, 3600},
    {"knots", kSpeed, 1852, 3600},
    {"in/s", kSpeed, 254, 10000},
    {"ft/s", kSpeed, 3048, 10000},
    {"ft/min", kSpeed, 3048, 600000},
    {"mph", kSpeed, 1609344, 3600000},

    {"m/s2", kAcceleration, 1, 1},
    {"m/s²", kAcceleration, 1, 1},
    {"m/s^2", kAcceleration, 1, 1},
    {"ft/s2", kAcceleration, 3048, 10000},

    {"N", kForce, 1, 1},
    {"kN", kForce, 1000, 1},
    {"MN", kForce, 1000000, 1},
    {"daN", kForce, 10, 1},
    {"lbf", kForce, kPoundForceNumerator, kPoundForceDenominator},
    {"klbf", kForce, kPoundForceNumerator, 1.0e10},
    {"kgf", kForce, 980665, 100000},
    {"tf", kForce, 980665, 100},

    {"N/s", kForceRate, 1, 1},
    {"kN/s", kForceRate, 1000, 1},
    {"N/min", kForceRate, 1, 60},
    {"kN/min", kForceRate, 1000, 60},
    {"lbf/s", kForceRate, kPoundForceNumerator, kPoundForceDenominator},
    {"lbf/min", kForceRate, kPoundForceNumerator, 6.0e14},
    {"kgf/s", kForceRate, 980665, 100000},

    {"Pa", kPressure, 1, 1},
    {"kPa", kPressure, 1000, 1},
    {"MPa", kPressure, 1.0e6, 1},
    {"GPa", kPressure, 1.0e9, 1},
    {"bar", kPressure, 100000, 1},
    {"mbar", kPressure, 100, 1},
    {"N/m2", kPressure, 1, 1},
    {"N/m²", kPressure, 1, 1},
    {"N/mm2", kPressure, 1.0e6, 1},
    {"kN/m2", kPressure, 1000, 1},
    {"psi", kPressure, kPoundForce, kInch* kInch},
    {"ksi", kPressure, 1000 * kPoundForce, kInch* kInch},
    {"psf", kPressure, kPoundForce, kFoot* kFoot},

    {"kg/m3", kDensity, 1, 1},
    {"kg/m³", kDensity, 1, 1},
    {"kg/m^3", kDensity, 1, 1},
    {"g/cm3", kDensity, 1000, 1},
    {"g/cm³", kDensity, 1000, 1},
    {"t/m3", kDensity, 1000, 1},
    {"kg/L", kDensity, 1000, 1},
    {"lb/ft3", kDensity, kPound, kFoot* kFoot* kFoot},
    {"lb/in3", kDensity, kPound, kInch* kInch* kInch},

    {"J", kEnergy, 1, 1},
    {"kJ", kEnergy, 1000, 1},
    {"MJ", kEnergy, 1000000, 1},
    {"N m", kEnergy, 1, 1},
    {"ft lbf", kEnergy, kFoot* kPoundForce, 1},

    {"N/m", kStiffness, 1, 1},
    {"kN/m", kStiffness, 1000, 1},
    {"MN/m", kStiffness, 1000000, 1},
    {"N/mm", kStiffness, 1000, 1},
    {"lbf/in", kStiffness, kPoundForce, kInch},
    {"lbf/ft", kStiffness, kPoundForce, kFoot},

    {"N s/m", kDamping, 1, 1},
    {"N·s/m", kDamping, 1, 1},
    {"kN s/m", kDamping, 1000, 1},
    {"kg/s", kDamping, 1, 1},
    {"lbf s/ft", kDamping, kPoundForce, kFoot},
    {"lbf s/in", kDamping, kPoundForce, kInch},

    {"kg/m", kLineMass, 1, 1},
    {"g/m", kLineMass, 1, 1000},
    {"lb/ft", kLineMass, kPound, kFoot},

    {"N/m", kLineWeight, 1, 1},
    {"kN/m", kLineWeight, 1000, 1},
    {"kgf/m", kLineWeight, kGravity, 1},
    {"lbf/ft", kLineWeight, kPoundForce, kFoot},

    {"rad/s", kAngularSpeed, 1, 1},
    {"deg/s", kAngularSpeed, kPi, 180},
    {"rpm", kAngularSpeed, kPi, 30},

    {"N m", kTorque, 1, 1},
    {"kN m", kTorque, 1000, 1},
    {"lbf ft", kTorque, kFoot* kPoundForce, 1},

    {"N/m3", kUnitWeight, 1, 1},
    {"N/m³", kUnitWeight, 1, 1},
    {"kN/m3", kUnitWeight, 1000, 1},
    {"kN/m³", kUnitWeight, 1000, 1},
    {"lbf/ft3", kUnitWeight, kPoundForce, kFoot* kFoot* kFoot},
};

struct DimensionRow {
  Dimension dimension;
  std::string_view name;
  std::string_view metric;
  std::string_view us;
};

constexpr DimensionRow kDimensions[kDimensionCount] = {
    {kNumber, "number", "", ""},
    {kLength, "length", "m", "in"},
    {kArea, "area", "m2", "in2"},
    {kVolume, "volume", "m3", "in3"},
    {kMass, "mass", "kg", "lb"},
    {kTime, "time", "s", "s"},
    {kAngle, "angle", "deg", "deg"},
    {kSpeed, "speed", "m/s", "kn"},
    {kAcceleration, "acceleration", "m/s2", "ft/s2"},
    {kForce, "force", "N", "lbf"},
    {kForceRate, "force rate", "N/s", "lbf/s"},
    {kPressure, "pressure", "kPa", "psi"},
    {kDensity, "density", "kg/m3", "lb/ft3"},
    {kEnergy, "energy", "J", "ft lbf"},
    {kStiffness, "stiffness", "N/m", "lbf/in"},
    {kDamping, "damping", "N s/m", "lbf s/ft"},
    {kLineMass, "mass per length", "kg/m", "lb/ft"},
    {kLineWeight, "weight per length", "N/m", "lbf/ft"},
    {kAngularSpeed, "angular speed", "deg/s", "deg/s"},
    {kTorque, "torque", "N m", "lbf ft"},
    {kUnitWeight, "weight per volume", "kN/m3", "lbf/ft3"},
};

const DimensionRow& rowOf(Dimension dimension) {
  return kDimensions[static_cast<std::size_t>(dimension)];
}

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(' ');
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

}  // namespace

std::span<const Unit> allUnits() { return kUnits; }

const Unit* findUnit(std::string_view symbol, Dimension dimension) {
  for (const Unit& unit : kUnits) {
    if (unit.dimension == dimension && unit.symbol == symbol) return &unit;
  }
  return nullptr;
}

std::string_view nameOf(Dimension dimension) { return rowOf(dimension).name; }

DisplayUnits::DisplayUnits() {
  for (const auto& row : kDimensions) {
    units_[static_cast<std::size_t>(row.dimension)] = findUnit(row.metric, row.dimension);
  }
}

DisplayUnits DisplayUnits::parse(std::string_view text) {
  DisplayUnits result;
  for (std::string_view rest = text;;) {
    const auto comma = rest.find(',');
    const std::string_view word = trimmed(rest.substr(0, comma));
    bool known = word == "metric" || word == "us";
    if (known) {
      for (const auto& row : kDimensions) {
        result.units_[static_cast<std::size_t>(row.dimension)] =
            findUnit(word == "us" ? row.us : row.metric, row.dimension);
      }
    } else if (!word.empty() && word != "%") {
      for (const auto& row : kDimensions) {
        if (const Unit* unit = findUnit(word, row.dimension)) {
          result.units_[static_cast<std::size_t>(row.dimension)] = unit;
          known = true;
        }
      }
    }
    if (!known) {
      throw InputError("--units: found '" + std::string(word) +
                       "'; allowed are metric, us, or units joined by commas such as in,lbf,kn");
    }
    if (comma == std::string_view::npos) return result;
    rest.remove_prefix(comma + 1);
  }
}

const Unit& DisplayUnits::unit(Dimension dimension) const {
  return *units_[static_cast<std::size_t>(dimension)];
}

std::string DisplayUnits::format(double value, Dimension dimension, int digits) const {
  const Unit& shown = unit(dimension);
  std::string text = formatNumber(shown.fromSi(value), digits);
  if (!shown.symbol.empty()) text.append(" ").append(shown.symbol);
  return text;
}

std::string formatNumber(double value, int digits) {
  const double size = std::fabs(value);
  char buffer[64];
  if (value == 0.0) return "0";
  if (!std::isfinite(value) || size < 1e-3 || size >= 1e6) {
    std::snprintf(buffer, sizeof buffer, "%.*g", digits, value);
    return buffer;
  }
  std::snprintf(buffer, sizeof buffer, "%.*e", digits - 1, value);
  const int exponent =
      std::atoi(std::string_view(buffer).substr(std::string_view(buffer).find('e') + 1).data());
  std::snprintf(buffer, sizeof buffer, "%.*f", std::max(0, digits - 1 - exponent), value);
  std::string text = buffer;
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text;
}

}  // namespace holdground
