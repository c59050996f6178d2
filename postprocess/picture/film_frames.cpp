#include "postprocess/picture/film_frames.hpp"

#include <algorithm>
#include <cmath>

namespace holdground {
namespace {

// A film may run this share faster or slower than asked for, so that its rate is a whole number and
// it steps over whole frames.
constexpr double kPaceTolerance = 0.02;

}  // namespace

double evenFramesPerSecond(double speed, double frameInterval) {
  constexpr double kAim = 20.0, kLeast = 1.0;
  if (!(frameInterval > 0.0)) return kAim;
  const double frames = std::max(1.0, std::round(speed / (kAim * frameInterval)));
  const double even = std::max(kLeast, speed / (frames * frameInterval));
  const double whole = std::round(even);
  return std::abs(whole - even) <= kPaceTolerance * even ? whole : even;
}

std::vector<std::size_t> filmFrames(const std::vector<double>& times, std::size_t first,
                                    double step) {
  std::vector<std::size_t> frames;
  if (first >= times.size()) return frames;
  const double span = times.back() - times[first];
  const double interval =
      first + 1 < times.size() ? span / static_cast<double>(times.size() - 1 - first) : step;
  const double stride = std::max(1.0, std::round(step / interval));
  if (std::abs(stride * interval - step) <= 1.5 * kPaceTolerance * step) {
    for (std::size_t k = first; k < times.size(); k += static_cast<std::size_t>(stride))
      frames.push_back(k);
    return frames;
  }
  const auto count = static_cast<int>(std::floor(span / step + 1e-6));
  std::size_t nearest = first;
  for (int k = 0; k <= count; ++k) {
    const double time = times[first] + k * step;
    while (nearest + 1 < times.size() &&
           std::abs(times[nearest + 1] - time) < std::abs(times[nearest] - time))
      ++nearest;
    frames.push_back(nearest);
  }
  return frames;
}

}  // namespace holdground
