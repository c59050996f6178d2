#include "scenarios/run/frame_region.hpp"

#include <algorithm>
#include <cmath>

#include "scenarios/run/build_simulation.hpp"

namespace holdground {
std::vector<std::uint32_t> grainsInRegion(const GrainSet& bed, const FrameRegion& region) {
  // Images farther away than the far end of the box cannot lie in it.
  const double farthest = region.length + 2.0 * region.margin;
  const Domain& domain = bed.domain;
  const int imagesX = static_cast<int>(std::ceil(farthest / domain.lengthX)) + 1;
  const int imagesY = static_cast<int>(std::ceil(farthest / domain.lengthY)) + 1;
  const double c = std::cos(region.direction), s = std::sin(region.direction);
  const auto contains = [&](double x, double y) {
    const double along = c * x + s * y, across = c * y - s * x;
    return along >= -region.margin && along <= region.length + region.margin &&
           std::abs(across) <= region.margin;
  };
  const auto lies = [&](const Vec3& position) {
    for (int i = -imagesX; i <= imagesX; ++i)
      for (int j = -imagesY; j <= imagesY; ++j)
        if (contains(position.x() + i * domain.lengthX, position.y() + j * domain.lengthY))
          return true;
    return false;
  };
  std::vector<std::uint32_t> ids;
  for (std::uint32_t id = 0; id < bed.size(); ++id)
    if (lies(bed.position[id])) ids.push_back(id);
  return ids;
}

std::vector<std::uint32_t> framedGrains(const TrialSpec& trial, double anchorLength,
                                        const GrainSet& bed) {
  if (trial.output.frames == FrameContent::kAll) return {};
  std::vector<std::uint32_t> ids = grainsInRegion(
      bed, {longestDrag(trial), trial.pull.direction, trial.output.regionMargin * anchorLength});
  if (ids.size() == bed.size()) ids.clear();
  return ids;
}

double framedShare(const TrialSpec& trial, double anchorLength, double lengthX, double lengthY) {
  if (trial.output.frames == FrameContent::kAll) return 1.0;
  const double margin = trial.output.regionMargin * anchorLength;
  const double area = (longestDrag(trial) + 2.0 * margin) * 2.0 * margin;
  return std::min(1.0, area / (lengthX * lengthY));
}

}  // namespace holdground
