#pragma once
// A picture read from a PNG file, for tests that look at what was drawn.

#include <algorithm>
#include <array>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <vector>

namespace holdground {

using Pixel = std::array<std::uint8_t, 3>;  ///< red, green, blue, 0..255

struct Picture {
  int width = 0;
  int height = 0;
  std::vector<Pixel> pixels;  ///< row by row from the top

  const Pixel& at(int column, int row) const {
    return pixels[static_cast<std::size_t>(row) * width + column];
  }
  /// Share of the pixels for which the condition holds, 0..1.
  double share(const std::function<bool(const Pixel&)>& condition) const;
  /// How many different colours there are, in steps of 16.
  std::size_t colours() const;
};

/// Reads a PNG file; throws std::runtime_error when it is none.
Picture readPng(const std::filesystem::path& file);

void writePng(const std::filesystem::path& file, const Picture& picture);

/// Distance of the strongest channel from the weakest: 0 for greys.
inline int chroma(const Pixel& pixel) {
  const auto [low, high] = std::minmax({pixel[0], pixel[1], pixel[2]});
  return high - low;
}

/// Steel is cooler than anything else that is drawn, grains are warmer
/// (postprocess/chart/palette.hpp).
inline bool looksLikeSteel(const Pixel& pixel) { return pixel[2] >= pixel[0] + 24; }
inline bool looksLikeBed(const Pixel& pixel) { return pixel[0] >= pixel[2] + 15; }

}  // namespace holdground
