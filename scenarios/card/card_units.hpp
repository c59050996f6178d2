#pragma once
// A card's figures in the units a person asked for. The card is written in metric units of its own
// (mm for grains, MPa for moduli, ...); where another unit is asked for than the usual metric one,
// that stands there, about as fine.
// Checked by tests/unit/scenarios/card_units_test.cpp.

#include <string>
#include <string_view>

#include "solver/core/units.hpp"

namespace holdground {

class CardUnits {
 public:
  explicit CardUnits(const DisplayUnits& wished) : wished_(wished) {}

  /// The unit shown in place of `metric`, one of the dimension's.
  std::string_view symbol(Dimension dimension, std::string_view metric) const;
  /// An SI value without its unit: so many decimals, or significant digits, in the metric one.
  std::string number(double value, Dimension dimension, std::string_view metric,
                     int decimals) const;
  std::string digits(double value, Dimension dimension, std::string_view metric, int digits) const;
  /// The same with the unit behind it.
  std::string text(double value, Dimension dimension, std::string_view metric, int decimals) const;

 private:
  const Unit& unitFor(Dimension dimension, std::string_view metric) const;

  DisplayUnits wished_;
};

}  // namespace holdground
