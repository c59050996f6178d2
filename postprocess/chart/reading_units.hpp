#pragma once
// The units of charts and captions, with the decimals that suit each quantity. Conversions are
// those of solver/core/units.hpp; inside the program everything is SI.
// Checked by: tests/unit/chart/axis_test.cpp

#include <string>

#include "solver/core/units.hpp"

namespace holdground {

struct ReadingUnit {
  double perSi = 1.0;  ///< readings per SI unit
  std::string symbol;  ///< as printed after a number
  int decimals = 2;    ///< printed in captions

  double read(double si) const { return si * perSi; }
  /// Number and symbol, for example "2610 N"; "–" when the value is not a number.
  std::string say(double si) const;
};

struct ReadingUnits {
  ReadingUnit load;
  ReadingUnit length;  ///< drift, depth
  ReadingUnit speed;
  ReadingUnit angle;
  ReadingUnit time;
  DisplayUnits wished;  ///< what they were made from
};

ReadingUnits readingUnits(const DisplayUnits& wished);

}  // namespace holdground
