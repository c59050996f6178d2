#pragma once
// The exchange form of a bed: every kernel is loaded from it and can be stored to it.
// Kernels keep their own layout in between (packed records, fixed point); see grain_kernel.hpp.

#include <cstdint>
#include <vector>

#include "solver/core/types.hpp"

namespace holdground {

/// Periodic in x and y over [-length/2, length/2); bounded in z by floor and ceiling, beyond
/// which a grain counts as lost.
struct Domain {
  double lengthX = 1.0;   ///< [m]
  double lengthY = 1.0;   ///< [m]
  double floorZ = -1.0;   ///< [m]
  double ceilingZ = 1.0;  ///< [m]
};

/// What two grains remember of their contact, seen from `a` (swap the signs of both springs to see
/// it from `b`).
struct ContactMemory {
  std::uint32_t a = 0;                  ///< grain id
  std::uint32_t b = 0;                  ///< grain id
  Vec3 tangentialForce = Vec3::Zero();  ///< elastic tangential force on a [N]
  Vec3 rollingMoment = Vec3::Zero();    ///< elastic rolling moment on a [N m]
  double tangentialStiffness = 0.0;     ///< stiffness the force was last scaled to [N/m]
};

/// Grains by id: entry k of every array belongs to grain id k.
struct GrainSet {
  Domain domain;
  std::vector<Vec3> position;        ///< centre, world frame [m]
  std::vector<Vec3> velocity;        ///< [m/s]
  std::vector<Vec3> spin;            ///< angular velocity, world frame [rad/s]
  std::vector<double> radius;        ///< [m]
  std::vector<std::uint8_t> frozen;  ///< 1: held in place, infinite mass
  std::vector<ContactMemory> contacts;

  std::size_t size() const { return position.size(); }
};

}  // namespace holdground
