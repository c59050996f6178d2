#pragma once
// What the reference kernel keeps for each grain, in the order its stages read it.
// Everything is double precision, world frame, SI.

#include <cstdint>

#include "solver/core/types.hpp"
#include "solver/state/grain_set.hpp"

namespace holdground {

/// What a contact reads: three cache half-lines, one record.
struct alignas(32) Grain {
  Vec3 position;       ///< wrapped into the domain [m]
  double radius;       ///< [m]
  Vec3 velocity;       ///< predicted to the full step [m/s]
  double inverseMass;  ///< [1/kg]; 0 when frozen
  Vec3 spin;           ///< predicted to the full step [rad/s]
  std::uint32_t id;
  std::uint16_t exposed;  ///< 1: the water reaches it; exposure.hpp
  std::uint16_t soil;

  bool frozen() const { return inverseMass == 0.0; }
};
static_assert(sizeof(Grain) == 96);

/// What only the integrator and the pair list read.
struct GrainMotion {
  Vec3 halfVelocity;  ///< at n - 1/2 [m/s]
  Vec3 halfSpin;      ///< at n - 1/2 [rad/s]
  Vec3 listPosition;  ///< where the pair list saw it [m]
  double skin;        ///< how far it may move before the list is rebuilt [m]
};

/// Sums over the contacts of one step.
struct GrainLoad {
  Vec3 force = Vec3::Zero();   ///< [N]
  Vec3 torque = Vec3::Zero();  ///< about the centre [N m]
};

/// Nearest images and wrapping in x and y.
struct PeriodicPlane {
  explicit PeriodicPlane(const Domain& domain)
      : length(domain.lengthX, domain.lengthY), half(0.5 * length) {}

  /// Shortest of the images of a difference of two wrapped positions.
  Vec3 nearestImage(Vec3 d) const {
    for (int axis = 0; axis < 2; ++axis) {
      if (d[axis] > half[axis]) d[axis] -= length[axis];
      if (d[axis] < -half[axis]) d[axis] += length[axis];
    }
    return d;
  }

  /// A position back in [-length/2, length/2); it may be one length outside.
  void wrap(Vec3& position) const {
    for (int axis = 0; axis < 2; ++axis) {
      if (position[axis] >= half[axis]) position[axis] -= length[axis];
      if (position[axis] < -half[axis]) position[axis] += length[axis];
    }
  }

  Eigen::Vector2d length;  ///< [m]
  Eigen::Vector2d half;    ///< [m]
};

}  // namespace holdground
