#pragma once
// The units a person reads charts and captions in. Everything else is SI.
// Source: exact definitions of NIST SP 811 (2008), appendix B: 1 in = 0.0254 m, 1 ft = 0.3048 m,
// 1 lbf = 4.4482216152605 N.
// Checked by: tests/unit/chart/axis_test.cpp

#include <string>

namespace holdground {

enum class UnitSystem { Metric, UnitedStates };

struct ReadingUnit {
  double perSi;        ///< readings per SI unit
  const char* symbol;  ///< as printed after a number
  int decimals;        ///< printed in captions

  double read(double si) const { return si * perSi; }
  /// Number and symbol, for example "2.61 kN"; "–" when the value is not a number.
  std::string say(double si) const;
};

struct ReadingUnits {
  ReadingUnit load;   ///< kN or lbf
  ReadingUnit drift;  ///< m or ft
  ReadingUnit depth;  ///< m or in
  ReadingUnit speed;  ///< m/s or ft/s
  ReadingUnit angle;  ///< degrees
  ReadingUnit time;   ///< s
};

const ReadingUnits& readingUnits(UnitSystem system);

}  // namespace holdground
