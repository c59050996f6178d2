#include "postprocess/chart/palette.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace holdground::palette {

namespace {

constexpr double kMoving = 0.25;  // of the scale: from here on layers look alike

Colour mixed(const Colour& from, const Colour& to, double along) {
  const auto mix = [along](std::uint8_t a, std::uint8_t b) {
    return static_cast<std::uint8_t>(std::lround(a + along * (b - a)));
  };
  return {mix(from.red, to.red), mix(from.green, to.green), mix(from.blue, to.blue)};
}

}  // namespace

Colour speedColour(double fraction) {
  static constexpr Colour kStops[] = {
      {226, 213, 183}, {232, 184, 104}, {222, 126, 48}, {176, 56, 44}, {96, 18, 52}};
  constexpr int kIntervals = static_cast<int>(std::size(kStops)) - 1;
  if (!(fraction > 0.0)) return kStops[0];
  const double position = std::min(fraction, 1.0) * kIntervals;
  const int k = std::min(static_cast<int>(position), kIntervals - 1);
  return mixed(kStops[k], kStops[k + 1], position - k);
}

Colour grainColour(double fraction, int layer) {
  const Colour speed = speedColour(fraction);
  if (layer % 2 == 0 || fraction >= kMoving) return speed;
  return mixed(kSecondLayer, speed, std::max(fraction, 0.0) / kMoving);
}

}  // namespace holdground::palette
