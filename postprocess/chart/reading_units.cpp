#include "postprocess/chart/reading_units.hpp"

#include <fmt/format.h>

#include <cmath>

namespace holdground {
namespace {

constexpr double kDegreesPerRadian = 57.29577951308232;
constexpr ReadingUnit kDegrees{kDegreesPerRadian, "°", 0};
constexpr ReadingUnit kSeconds{1.0, "s", 2};
constexpr ReadingUnits kMetric{{1e-3, "kN", 2}, {1.0, "m", 2}, {1.0, "m", 2},
                               {1.0, "m/s", 2}, kDegrees,      kSeconds};
constexpr ReadingUnits kUnitedStates{{1.0 / 4.4482216152605, "lbf", 0},
                                     {1.0 / 0.3048, "ft", 1},
                                     {1.0 / 0.0254, "in", 1},
                                     {1.0 / 0.3048, "ft/s", 2},
                                     kDegrees,
                                     kSeconds};

}  // namespace

std::string ReadingUnit::say(double si) const {
  if (!std::isfinite(si)) return "–";
  double value = read(si);
  // A rounded nought is not called "-0".
  if (std::abs(value) < 0.5 * std::pow(10.0, -decimals)) value = 0.0;
  const char* gap = std::string(symbol) == "°" ? "" : " ";
  return fmt::format("{:.{}f}{}{}", value, decimals, gap, symbol);
}

const ReadingUnits& readingUnits(UnitSystem system) {
  return system == UnitSystem::Metric ? kMetric : kUnitedStates;
}

}  // namespace holdground
