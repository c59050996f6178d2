#include "postprocess/picture/bed_window.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace holdground {
namespace {

// Calls `use` for every periodic image of `coordinate` of which a part lies in from .. to.
template <class Use>
void forImages(double coordinate, double radius, double length, double from, double to, Use use) {
  const double first = std::ceil((from - radius - coordinate) / length);
  for (double image = coordinate + first * length; image < to + radius; image += length) {
    use(image);
  }
}

}  // namespace

BedWindow windowAround(double anchorX, double cutY, double wishedLength, const PeriodicPlan& plan) {
  const double length = std::min(wishedLength, plan.lengthX);
  BedWindow window;
  window.fromX = anchorX - 0.625 * length;
  window.toX = anchorX + 0.375 * length;
  window.cutY = cutY;
  // Beyond half a period come the images of the grains in front of the cut.
  window.toY = cutY + 0.5 * plan.lengthY;
  return window;
}

BedWindow trimmedTo(const std::vector<SeenGrain>& grains, const BedWindow& window) {
  if (grains.empty()) return window;
  BedWindow outermost{window.toX, window.fromX, window.cutY, window.cutY};
  for (const SeenGrain& grain : grains) {
    outermost.fromX = std::min(outermost.fromX, grain.position.x());
    outermost.toX = std::max(outermost.toX, grain.position.x());
    outermost.toY = std::max(outermost.toY, grain.position.y());
  }
  return {std::max(window.fromX, outermost.fromX), std::min(window.toX, outermost.toX), window.cutY,
          std::min(window.toY, outermost.toY)};
}

std::vector<SeenGrain> grainsIn(const BedWindow& window, const PeriodicPlan& plan,
                                const std::vector<Vec3>& positions,
                                const std::vector<double>& radii,
                                const std::vector<float>& speeds) {
  assert(positions.size() == radii.size() && positions.size() == speeds.size());
  std::vector<SeenGrain> seen;
  for (std::size_t k = 0; k < positions.size(); ++k) {
    const Vec3& p = positions[k];
    if (!p.allFinite()) continue;
    forImages(p.x(), radii[k], plan.lengthX, window.fromX, window.toX, [&](double x) {
      forImages(p.y(), radii[k], plan.lengthY, window.cutY, window.toY, [&](double y) {
        seen.push_back({Vec3(x, y, p.z()), radii[k], static_cast<double>(speeds[k])});
      });
    });
  }
  return seen;
}

}  // namespace holdground
