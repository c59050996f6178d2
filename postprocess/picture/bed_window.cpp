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
                                const std::vector<double>& radii, const std::vector<float>& speeds,
                                const std::vector<std::uint8_t>& layers) {
  assert(positions.size() == radii.size() && positions.size() == speeds.size());
  // Outermost places of the window, world frame.
  Vec3 low = plan.turnedBack({window.fromX, window.cutY, 0.0}), high = low;
  for (const double x : {window.fromX, window.toX}) {
    for (const double y : {window.cutY, window.toY}) {
      low = low.cwiseMin(plan.turnedBack({x, y, 0.0}));
      high = high.cwiseMax(plan.turnedBack({x, y, 0.0}));
    }
  }
  std::vector<SeenGrain> seen;
  for (std::size_t k = 0; k < positions.size(); ++k) {
    const Vec3& p = positions[k];
    const double r = radii[k];
    if (!p.allFinite()) continue;
    forImages(p.x(), r, plan.lengthX, low.x(), high.x(), [&](double x) {
      forImages(p.y(), r, plan.lengthY, low.y(), high.y(), [&](double y) {
        const Vec3 place = plan.turned({x, y, p.z()});
        if (place.x() < window.fromX - r || place.x() > window.toX + r ||
            place.y() < window.cutY - r || place.y() > window.toY + r)
          return;
        seen.push_back({place, r, static_cast<double>(speeds[k]),
                        layers.empty() ? std::uint8_t{0} : layers[k]});
      });
    });
  }
  return seen;
}

}  // namespace holdground
