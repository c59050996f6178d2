#pragma once
// The camera of pictures and films: a parallel view from starboard, so that one scale holds
// everywhere along the pull.
// Frame: world in (x along the pull, y port, z up), pixels out (from the top left corner, y down).
// Checked by: tests/unit/picture/picture_caption_test.cpp

#include <cmath>

#include "postprocess/chart/drawing.hpp"
#include "solver/core/types.hpp"

namespace holdground {

struct SideView {
  Vec3 target = Vec3::Zero();    ///< what lies at targetPixel [m]
  PagePoint targetPixel{};       ///< [px]
  double metresPerPixel = 1e-3;  ///< across the line of sight [m]
  double elevation = 0.35;       ///< of the camera above the horizon [rad]
  double azimuth = 0.0;          ///< of the camera from abeam toward the boat [rad]

  /// Unit vector from the scene to the camera.
  Vec3 towardCamera() const {
    return {std::sin(azimuth) * std::cos(elevation), -std::cos(azimuth) * std::cos(elevation),
            std::sin(elevation)};
  }
  Vec3 right() const { return {std::cos(azimuth), std::sin(azimuth), 0.0}; }
  Vec3 up() const { return towardCamera().cross(right()); }

  PagePoint project(const Vec3& point) const {
    const Vec3 away = point - target;
    return {targetPixel[0] + away.dot(right()) / metresPerPixel,
            targetPixel[1] - away.dot(up()) / metresPerPixel};
  }
};

}  // namespace holdground
