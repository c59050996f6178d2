#include "solver/state/height_map.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace holdground {
namespace {

int wrapped(int k, int n) { return ((k % n) + n) % n; }

}  // namespace

std::optional<double> HeightMap::meanAcross(int x) const {
  double sum = 0.0;
  int seen = 0;
  for (int y = 0; y < countY; ++y) {
    if (!std::isfinite(at(x, y))) continue;
    sum += at(x, y);
    ++seen;
  }
  if (seen == 0) return std::nullopt;
  return sum / seen;
}

HeightMap heightMap(const GrainSet& set) {
  const double largest = *std::max_element(set.radius.begin(), set.radius.end());
  const double cell = 0.25 * largest;
  HeightMap map;
  map.countX = std::max(1, static_cast<int>(set.domain.lengthX / cell));
  map.countY = std::max(1, static_cast<int>(set.domain.lengthY / cell));
  map.stepX = set.domain.lengthX / map.countX;
  map.stepY = set.domain.lengthY / map.countY;
  map.height.assign(static_cast<std::size_t>(map.countX * map.countY),
                    -std::numeric_limits<double>::infinity());
  for (std::size_t k = 0; k < set.size(); ++k) {
    const double r = set.radius[k];
    const double px = set.position[k].x() + 0.5 * set.domain.lengthX;
    const double py = set.position[k].y() + 0.5 * set.domain.lengthY;
    for (int iy = static_cast<int>(std::floor((py - r) / map.stepY));
         iy <= static_cast<int>((py + r) / map.stepY); ++iy)
      for (int ix = static_cast<int>(std::floor((px - r) / map.stepX));
           ix <= static_cast<int>((px + r) / map.stepX); ++ix) {
        const double ox = (ix + 0.5) * map.stepX - px, oy = (iy + 0.5) * map.stepY - py;
        const double under = r * r - ox * ox - oy * oy;
        if (under <= 0.0) continue;
        double& h = map.height[static_cast<std::size_t>(wrapped(iy, map.countY) * map.countX +
                                                        wrapped(ix, map.countX))];
        h = std::max(h, set.position[k].z() + std::sqrt(under));
      }
  }
  return map;
}

}  // namespace holdground
