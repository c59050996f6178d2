#include "postprocess/picture/raster.hpp"

namespace holdground {

Raster averagedDown(const Raster& raster, int factor) {
  if (factor <= 1) return raster;
  Raster small{raster.width / factor, raster.height / factor, {}};
  small.rgb.resize(3 * small.pixels());
  const unsigned area = static_cast<unsigned>(factor) * factor;
#pragma omp parallel for
  for (int row = 0; row < small.height; ++row) {
    for (int column = 0; column < small.width; ++column) {
      unsigned sum[3] = {0, 0, 0};
      for (int dy = 0; dy < factor; ++dy) {
        const std::uint8_t* source =
            &raster.rgb[3 * (static_cast<std::size_t>(row * factor + dy) * raster.width +
                             static_cast<std::size_t>(column) * factor)];
        for (int k = 0; k < 3 * factor; ++k) sum[k % 3] += source[k];
      }
      std::uint8_t* target = &small.rgb[3 * (static_cast<std::size_t>(row) * small.width + column)];
      for (int c = 0; c < 3; ++c) target[c] = static_cast<std::uint8_t>((sum[c] + area / 2) / area);
    }
  }
  return small;
}

}  // namespace holdground
