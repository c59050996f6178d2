#pragma once
// The stones of a bed: rigid clusters of spheres, moved as bodies under what acts on their spheres.
// Grain kernels find the spheres' contacts as those of any grain and leave the motion to this.
//
// Equations: force = sum F_k, torque = sum (T_k + (x_k - x) x F_k) about the centre of mass x, plus
//   weight less buoyancy, and the drag of a sphere of the stone's volume when water reaches it;
//   Newton-Euler by solver/motion/rigid_body.hpp. Spheres follow: x_k = x + R p_k, v_k = v + w x R
//   p_k.
// Departs: the damping of a contact takes the stone's whole mass for 1/m*, wherever it is struck.
// Frame: world; positions are unwrapped. Promises: a stone's bits depend on its own loads alone.
// Checked by: tests/verification/grains/stones_test.cpp, tests/determinism/grain_kernel_test.cpp

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "solver/motion/rigid_body.hpp"
#include "solver/state/grain_kernel.hpp"
#include "solver/state/grain_set.hpp"

namespace holdground {

/// What acts on every stone besides its contacts.
struct StoneSurroundings {
  double density = 2650.0;  ///< of the solid [kg/m^3]
  double netGravity = 0.0;  ///< gravity less buoyancy, along -z [m/s^2]
  double dragFactor = 0.0;  ///< drag force = factor R^2 |v| v [kg/m^3]
};

class Stones {
 public:
  static constexpr std::uint32_t kNone = 0xffffffffu;

  Stones() = default;
  /// InputError when a stone has no spheres or too many, or shares one with another stone.
  Stones(const GrainSet& set, const StoneSurroundings& surroundings);

  bool empty() const { return bodies_.empty(); }
  std::size_t size() const { return bodies_.size(); }
  /// By sphere id: the stone it belongs to, kNone for a single grain. Empty without stones.
  const std::vector<std::uint32_t>& stoneOfSphere() const { return stoneOfSphere_; }
  bool isOfStone(std::uint32_t sphere) const { return !empty() && stoneOfSphere_[sphere] != kNone; }
  double inverseMass(std::size_t stone) const { return bodies_[stone].inverseMass(); }
  std::uint32_t firstSphere(std::size_t stone) const { return firstSphere_[stone]; }
  std::uint32_t sphereCount(std::size_t stone) const {
    return firstPlace_[stone + 1] - firstPlace_[stone];
  }

  /// A sphere of a stone at the full step.
  struct SphereMotion {
    Vec3 position, velocity, spin;  ///< [m], [m/s], [rad/s]
  };
  /// A stone at the full step; its spheres follow.
  struct Pose {
    const Mat3& turn;
    const RigidMotion& motion;
    std::span<const Vec3> places;

    SphereMotion sphere(std::uint32_t k) const {
      const Vec3 arm = turn * places[k];
      return {motion.centreOfMass + arm, motion.velocity + motion.spin.cross(arm), motion.spin};
    }
  };
  Pose pose(std::size_t stone) const;
  /// Starts to load what advance and pose will need of a stone.
  void prefetch(std::size_t stone) const;
  StonePart part(std::uint32_t sphere) const;

  /// Moves one stone. @param loads  of its spheres, torques about their centres.
  void advance(std::size_t stone, std::span<const BodyLoad> loads, double timeStep);

  /// @param exposed  by sphere id: whether the water reaches it.
  void setExposed(const std::vector<std::uint8_t>& exposed);

  double kineticEnergy() const;  ///< [J]
  double potential() const;      ///< against z = 0 [J]
  double waterDrag() const;      ///< taken so far [J]

  /// Of every bit that decides how stone `k` goes on.
  std::uint64_t stateHash() const;
  /// Puts the stones, and the positions and motions of their spheres, into a set. Centres of mass
  /// are wrapped into its domain, spheres stay with theirs.
  void store(GrainSet& set) const;
  std::vector<std::byte> freeze() const;
  void thaw(std::span<const std::byte> bytes);

 private:
  std::span<const Vec3> placesOf(std::size_t stone) const {
    return {places_.data() + firstPlace_[stone], sphereCount(stone)};
  }
  BodyLoad drag(std::size_t stone, double timeStep) const;

  StoneSurroundings surroundings_;
  std::vector<Stone> shapes_;  ///< as given; where they were at the start
  std::vector<RigidBody> bodies_;
  // What a step needs of the shapes, by stone, one behind the other: half the way to memory.
  std::vector<std::uint32_t> firstSphere_;  ///< id
  std::vector<std::uint32_t> firstPlace_;   ///< of each stone in places_, then their number
  std::vector<Vec3> places_;                ///< of all spheres, principal frames [m]
  std::vector<double> dragRadiusSquared_;   ///< of the sphere of a stone's volume [m^2]
  std::vector<std::uint8_t> exposed_;
  std::vector<double> waterDrag_;  ///< of each stone [J]
  std::vector<double> fill_;       ///< volume of each over that of its spheres
  std::vector<std::uint32_t> stoneOfSphere_;
};

}  // namespace holdground
