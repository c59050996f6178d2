#pragma once
// The colours of every chart, picture and film. Warm means bed, cool means steel; lines and the
// speed scale stay apart for colour-blind readers and in grey print.
// Checked by: tests/unit/chart/palette_test.cpp

#include "postprocess/chart/drawing.hpp"

namespace holdground::palette {

inline constexpr Colour kPaper{252, 251, 248};
inline constexpr Colour kInk{31, 38, 46};
inline constexpr Colour kQuiet{104, 112, 120};  ///< secondary words
inline constexpr Colour kGrid{221, 222, 221};
inline constexpr Colour kWindow{238, 226, 196};  ///< the stretch holding is taken over
inline constexpr Colour kWater{226, 238, 243};
inline constexpr Colour kSeabed{245, 238, 222};

// Lines, darkest to lightest.
inline constexpr Colour kFirst{26, 58, 110};       ///< deep blue: load, toe, pitch
inline constexpr Colour kSecond{186, 74, 38};      ///< rust: heel, list
inline constexpr Colour kRecorded{104, 130, 176};  ///< the load as recorded, under its mean
inline constexpr Colour kThird{104, 158, 164};     ///< pale teal: shackle, heading

inline constexpr Colour kSteel{88, 112, 140};
inline constexpr Colour kSecondLayer{178, 176, 168};  ///< at rest
inline constexpr Colour kRode{40, 48, 58};

/// Colour of a grain: `fraction` of the top of the speed scale, clamped to 0 .. 1. Pale sand at
/// rest, through amber and rust to wine; luminance falls steadily.
Colour speedColour(double fraction);

/// The same of a grain in a stack: every second layer, from the second down, is grey at rest and
/// takes on the colours of the scale as it speeds up to a quarter of it.
Colour grainColour(double fraction, int layer);

}  // namespace holdground::palette
