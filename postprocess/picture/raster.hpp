#pragma once
// Pictures as bytes: three colours a pixel, rows from the top.

#include <cstddef>
#include <cstdint>
#include <vector>

namespace holdground {

struct Raster {
  int width = 0;
  int height = 0;
  std::vector<std::uint8_t> rgb;  ///< 3 * width * height

  std::size_t pixels() const { return static_cast<std::size_t>(width) * height; }
};

/// Every pixel the mean of a square of `factor` x `factor`; what does not fill a square is dropped.
Raster averagedDown(const Raster& raster, int factor);

}  // namespace holdground
