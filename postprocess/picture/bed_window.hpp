#pragma once
// The piece of bed that a picture shows: grains of a periodic bed, unwrapped around the anchor,
// from the cut plane to port.
// Frame: the picture's: the world's turned about z so that x runs along the rode.
// Checked by: tests/unit/picture/bed_window_test.cpp

#include <cmath>
#include <cstdint>
#include <vector>

#include "solver/core/types.hpp"

namespace holdground {

/// A block with flat faces; grains that cross a face are kept and cut there.
struct BedWindow {
  double fromX = 0.0;  ///< [m]
  double toX = 0.0;    ///< [m]
  double cutY = 0.0;   ///< the plane the bed is cut along [m]
  double toY = 0.0;    ///< port end [m]
};

struct SeenGrain {
  Vec3 position = Vec3::Zero();  ///< centre [m]
  double radius = 0.0;           ///< [m]
  double speed = 0.0;            ///< [m/s]
  std::uint8_t layer = 0;        ///< of a stack, from the top
};

struct PeriodicPlan {
  double lengthX = 1.0;  ///< [m]
  double lengthY = 1.0;  ///< [m]
  double azimuth = 0.0;  ///< of the rode, from the bed's x to port [rad]

  /// A place or direction of the world in the picture's frame, and back.
  Vec3 turned(const Vec3& world) const { return turnedBy(-azimuth, world); }
  Vec3 turnedBack(const Vec3& picture) const { return turnedBy(azimuth, picture); }

 private:
  static Vec3 turnedBy(double angle, const Vec3& p) {
    const double c = std::cos(angle), s = std::sin(angle);
    return {c * p.x() - s * p.y(), s * p.x() + c * p.y(), p.z()};
  }
};

/// The window around an anchor at `anchorX`, cut at `cutY`: as long as `wishedLength` but no longer
/// than the bed's period, so that no grain is shown twice when the rode runs along the bed; 5/8 of
/// it behind the anchor.
BedWindow windowAround(double anchorX, double cutY, double wishedLength, const PeriodicPlan& plan);

/// The window cut back to where there are grains: to the outermost centres behind, ahead and to
/// port. For a bed of which only a region is known.
BedWindow trimmedTo(const std::vector<SeenGrain>& grains, const BedWindow& window);

/// All grains of which a part lies in the window, in the picture's frame; positions are the
/// world's. Grains that cross an end of a window as long as the period appear at both ends. Grains
/// whose place is not finite are left out. Sizes must agree; no `layers`: all of layer 0.
std::vector<SeenGrain> grainsIn(const BedWindow& window, const PeriodicPlan& plan,
                                const std::vector<Vec3>& positions,
                                const std::vector<double>& radii, const std::vector<float>& speeds,
                                const std::vector<std::uint8_t>& layers = {});

}  // namespace holdground
