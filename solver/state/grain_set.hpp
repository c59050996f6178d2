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
  double dent = 0.0;                    ///< left by pressing, where grains keep one [m]
};

/// A rigid cluster of spheres. Its spheres are grains of the set with ids in a row; where they are
/// and how they move follows from the stone. Spheres of one stone do not touch each other.
struct Stone {
  static constexpr std::uint32_t kMostSpheres = 16;

  std::uint32_t firstSphere = 0;        ///< id
  double mass = 0.0;                    ///< [kg]
  Vec3 inertia = Vec3::Zero();          ///< principal moments [kg m^2]
  std::vector<Vec3> places;             ///< of its spheres, principal frame [m]
  Vec3 centreOfMass = Vec3::Zero();     ///< world frame [m]
  Quat orientation = Quat::Identity();  ///< principal frame into world
  Vec3 velocity = Vec3::Zero();         ///< [m/s]
  Vec3 spin = Vec3::Zero();             ///< world frame [rad/s]

  std::uint32_t sphereCount() const { return static_cast<std::uint32_t>(places.size()); }
  Vec3 sphere(std::size_t k) const { return centreOfMass + orientation * places[k]; }
};

/// Grains by id: entry k of every array belongs to grain id k.
struct GrainSet {
  Domain domain;
  std::vector<Vec3> position;        ///< centre, world frame [m]
  std::vector<Vec3> velocity;        ///< [m/s]
  std::vector<Vec3> spin;            ///< angular velocity, world frame [rad/s]
  std::vector<double> radius;        ///< [m]
  std::vector<std::uint8_t> frozen;  ///< 1: held in place, infinite mass
  std::vector<std::uint8_t> soil;    ///< which grains these are; empty where all are of soil 0
  std::vector<ContactMemory> contacts;
  std::vector<Stone> stones;  ///< empty in a bed of single spheres

  /// Takes all speed out, of grains and stones.
  void stop();
  std::size_t size() const { return position.size(); }
  /// InputError unless every grain is of one of `soils` soils, and stones stand alone in theirs.
  void checkSoils(std::size_t soils) const;
  std::uint8_t soilOf(std::size_t k) const { return soil.empty() ? std::uint8_t{0} : soil[k]; }
};

}  // namespace holdground
