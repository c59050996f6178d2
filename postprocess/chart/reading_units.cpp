#include "postprocess/chart/reading_units.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdground {
namespace {

// What is worth telling apart in a caption.
constexpr double kLoadStep = 10.0;     // [N]
constexpr double kLengthStep = 0.01;   // [m]
constexpr double kSpeedStep = 0.01;    // [m/s]
constexpr double kAngleStep = 0.0175;  // about a degree [rad]
constexpr double kTimeStep = 0.01;     // [s]

ReadingUnit readingUnit(const DisplayUnits& wished, Dimension dimension, double step) {
  const double perSi = wished.fromSi(1.0, dimension);
  // The decimals that still show a step; the slack keeps 0.01 at two of them.
  const int decimals = static_cast<int>(std::ceil(-std::log10(step * perSi) - 1e-9));
  std::string symbol(wished.symbol(dimension));
  if (symbol == "deg") symbol = "°";
  return {perSi, symbol, std::clamp(decimals, 0, 6)};
}

}  // namespace

std::string ReadingUnit::say(double si) const {
  if (!std::isfinite(si)) return "–";
  double value = read(si);
  // A rounded nought is not called "-0".
  if (std::abs(value) < 0.5 * std::pow(10.0, -decimals)) value = 0.0;
  return fmt::format("{}{:.{}f}{}{}", value < 0.0 ? "−" : "", std::abs(value), decimals,
                     symbol == "°" ? "" : " ", symbol);
}

ReadingUnits readingUnits(const DisplayUnits& wished) {
  return {readingUnit(wished, Dimension::kForce, kLoadStep),
          readingUnit(wished, Dimension::kLength, kLengthStep),
          readingUnit(wished, Dimension::kSpeed, kSpeedStep),
          readingUnit(wished, Dimension::kAngle, kAngleStep),
          readingUnit(wished, Dimension::kTime, kTimeStep),
          wished};
}

}  // namespace holdground
