#include "solver/record/frame_packing.hpp"

#include <algorithm>

namespace holdground {

PackedGrains packGrains(const FrameData& frame, const std::vector<Vec3>& reference, double lengthX,
                        double lengthY) {
  const std::size_t grains = reference.size();
  std::vector<Vec3> displacement(grains);
  double largest = 0.0;
  for (std::size_t k = 0; k < grains; ++k) {
    Vec3 d = frame.grainPosition[k] - reference[k];
    d.x() = format::nearestImage(d.x(), lengthX);
    d.y() = format::nearestImage(d.y(), lengthY);
    if (d.allFinite()) largest = std::max(largest, d.cwiseAbs().maxCoeff());
    displacement[k] = d;
  }
  PackedGrains packed;
  packed.unit = format::displacementUnit(largest);
  packed.counts.assign(3 * grains, format::kNoPlace);
  packed.speeds.resize(grains);
  for (std::size_t k = 0; k < grains; ++k) {
    packed.speeds[k] = format::packHalf(frame.grainSpeed[k]);
    if (!displacement[k].allFinite()) continue;
    for (std::size_t axis = 0; axis < 3; ++axis)
      packed.counts[3 * k + axis] =
          format::packDisplacement(displacement[k][static_cast<Eigen::Index>(axis)], packed.unit);
  }
  return packed;
}

}  // namespace holdground
