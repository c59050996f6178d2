#include "postprocess/chart/palette.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace holdground::palette {

Colour speedColour(double fraction) {
  static constexpr Colour kStops[] = {
      {226, 213, 183}, {232, 184, 104}, {222, 126, 48}, {176, 56, 44}, {96, 18, 52}};
  constexpr int kIntervals = static_cast<int>(std::size(kStops)) - 1;
  if (!(fraction > 0.0)) return kStops[0];
  const double position = std::min(fraction, 1.0) * kIntervals;
  const int k = std::min(static_cast<int>(position), kIntervals - 1);
  const double along = position - k;
  const auto mix = [along](std::uint8_t from, std::uint8_t to) {
    return static_cast<std::uint8_t>(std::lround(from + along * (to - from)));
  };
  return {mix(kStops[k].red, kStops[k + 1].red), mix(kStops[k].green, kStops[k + 1].green),
          mix(kStops[k].blue, kStops[k + 1].blue)};
}

}  // namespace holdground::palette
