#include "scenarios/card/card_units.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdground {

const Unit& CardUnits::unitFor(Dimension dimension, std::string_view metric) const {
  const Unit& wished = wished_.unit(dimension);
  const bool isUsual = wished.symbol == DisplayUnits().symbol(dimension);
  return isUsual ? *findUnit(metric, dimension) : wished;
}

std::string_view CardUnits::symbol(Dimension dimension, std::string_view metric) const {
  return unitFor(dimension, metric).symbol;
}

std::string CardUnits::number(double value, Dimension dimension, std::string_view metric,
                              int decimals) const {
  const Unit& unit = unitFor(dimension, metric);
  const double size = unit.toSi(1.0) / findUnit(metric, dimension)->toSi(1.0);
  const int finer = static_cast<int>(std::ceil(std::log10(size) - 1e-9));
  return fmt::format("{:.{}f}", unit.fromSi(value), std::max(0, decimals + finer));
}

std::string CardUnits::digits(double value, Dimension dimension, std::string_view metric,
                              int digits) const {
  return formatNumber(unitFor(dimension, metric).fromSi(value), digits);
}

std::string CardUnits::text(double value, Dimension dimension, std::string_view metric,
                            int decimals) const {
  return number(value, dimension, metric, decimals) + " " + std::string(symbol(dimension, metric));
}

}  // namespace holdground
