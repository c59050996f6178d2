#pragma once
// The units people may write and read, by dimension. Inside the program everything is SI.
//
// Source: Thompson & Taylor 2008, NIST SP 811, appendix B (inch, pound, pound-force, knot exact).
// Checked by tests/unit/core/units_test.cpp, against UDUNITS-2.

#include <array>
#include <span>
#include <string>
#include <string_view>

namespace holdground {

enum class Dimension {
  kNumber,
  kLength,
  kArea,
  kVolume,
  kMass,
  kTime,
  kAngle,
  kSpeed,
  kAcceleration,
  kForce,
  kForceRate,
  kPressure,
  kDensity,
  kEnergy,
  kStiffness,   ///< force over length, of a line or spring
  kDamping,     ///< force over speed
  kLineMass,    ///< mass over length
  kLineWeight,  ///< force over length, of a chain
  kAngularSpeed,
  kTorque,
  kUnitWeight,  ///< force over volume, of ground
};
inline constexpr int kDimensionCount = 21;

/// One spelling of one unit: value in SI = value * numerator / denominator.
struct Unit {
  std::string_view symbol;
  Dimension dimension;
  double numerator;
  double denominator;

  double toSi(double value) const { return value * numerator / denominator; }
  double fromSi(double value) const { return value * denominator / numerator; }
};

/// All units, grouped by dimension; the first of a group is the SI unit.
std::span<const Unit> allUnits();

/// The unit of a dimension with this spelling (case matters), or nullptr.
const Unit* findUnit(std::string_view symbol, Dimension dimension);

/// "length", "mass", ... as messages name it.
std::string_view nameOf(Dimension dimension);

/// What a person wants to read: one unit for each dimension.
class DisplayUnits {
 public:
  /// Metric: m, kg, N, m/s, deg, kPa, ...
  DisplayUnits();

  /// "metric", "us" (in, lb, lbf, kn, psi, ...) or a comma-separated list of either and of single
  /// units that replace the one of their dimension: "us,ft" or "mm,kN". Throws InputError.
  static DisplayUnits parse(std::string_view text);

  const Unit& unit(Dimension dimension) const;
  double fromSi(double value, Dimension dimension) const { return unit(dimension).fromSi(value); }
  std::string_view symbol(Dimension dimension) const { return unit(dimension).symbol; }

  /// An SI value as "2.85 kN": `digits` significant digits, no exponent between 1e-3 and 1e6.
  std::string format(double value, Dimension dimension, int digits = 4) const;

 private:
  std::array<const Unit*, kDimensionCount> units_;
};

/// A number with this many significant digits, trailing zeros dropped, no exponent between 1e-3
/// and 1e6.
std::string formatNumber(double value, int digits);

}  // namespace holdground
