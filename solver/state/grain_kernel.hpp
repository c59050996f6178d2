#pragma once
// What every grain kernel does for the step, whatever its layout. Two implementations: the plain
// double-precision reference and the fast one. Grains are addressed by slot (place in memory);
// slots change when the pair list is rebuilt, ids never do.
//
// Velocities seen by contact laws are predicted to the full step: v* = v(n-1/2) + dt/2 a(n-1).

#include <cstdint>
#include <functional>
#include <memory>
#include <span>
#include <vector>

#include "solver/core/types.hpp"
#include "solver/state/energy_ledger.hpp"
#include "solver/state/grain_material.hpp"
#include "solver/state/grain_set.hpp"

namespace holdground {

/// One grain as contact laws outside the kernel see it (double precision, world frame).
struct GrainSample {
  Vec3 position;       ///< [m], wrapped into the domain
  Vec3 velocity;       ///< at the full step [m/s]
  Vec3 spin;           ///< at the full step [rad/s]
  double radius;       ///< [m]
  double inverseMass;  ///< [1/kg]; 0 when frozen
  std::uint32_t id;
  std::uint8_t soil = 0;
};

/// A sphere as a part of its stone; a single grain is all of its own.
struct StonePart {
  Vec3 arm = Vec3::Zero();  ///< from the stone's centre of mass to the sphere's [m]
  double share = 1.0;       ///< one over the number of the stone's spheres
  double fill = 1.0;        ///< the stone's volume over that of its spheres, which overlap
};

/// What two grains do to each other: pressing, or attracting over a gap.
struct PairSample {
  std::uint32_t slotA, slotB;
  Vec3 branch;     ///< from the centre of b to that of a, nearest image [m]
  double overlap;  ///< below 0 where they attract over a gap [m]
  Vec3 force;      ///< on a; b gets the opposite [N]
};
using PairVisit = std::function<void(const PairSample&)>;

/// Distribution of overlap over the diameter of the smaller grain, over touching pairs.
struct OverlapStatistics {
  double p50 = 0.0, p90 = 0.0, p99 = 0.0, maximum = 0.0;
  std::size_t contacts = 0;
};

enum class KernelKind { kFast, kReference };

struct KernelSettings {
  GrainMaterial material;  ///< of soil 0: of all grains but in a stack
  Water water;
  double gravity = kStandardGravity;      ///< [m/s^2], along -z
  double timeStep = 1e-4;                 ///< [s]
  std::vector<GrainMaterial> lowerSoils;  ///< of soils 1, 2, ... of a stack

  /// Of every soil, from the top down.
  std::vector<GrainMaterial> soils() const {
    std::vector<GrainMaterial> all{material};
    all.insert(all.end(), lowerSoils.begin(), lowerSoils.end());
    return all;
  }
};

class GrainKernel {
 public:
  virtual ~GrainKernel() = default;

  virtual std::size_t size() const = 0;
  virtual const Domain& domain() const = 0;

  // --- stages of the step, in order -----------------------------------------------------------
  /// Rebuilds the pair list when a grain has moved too far for it. True when slots may have moved.
  virtual bool updateNeighbours() = 0;
  /// No grain moves farther than this between two rebuilds [m] (half the pair list's skin).
  virtual double travelLimit() const = 0;
  /// Adds a force [N] and a torque [N m] about the grain's centre to what acts on it in the next
  /// advance. Comes between updateNeighbours, which moves slots, and advance. Calls for one slot
  /// must come in a fixed order; different slots may be added from different threads.
  virtual void addForce(std::uint32_t slot, const Vec3& force, const Vec3& torque) = 0;
  /// Contact forces between grains, whose dissipation is booked; gravity, buoyancy, drag and what
  /// was added; then moves every grain one step.
  virtual void advance() = 0;

  // --- looking in -----------------------------------------------------------------------------
  virtual GrainSample sample(std::uint32_t slot) const = 0;
  virtual StonePart stonePart(std::uint32_t slot) const = 0;
  /// Slots of grains whose centre lies in the axis-aligned box [lower, upper] (periodic images in
  /// x and y considered), in ascending slot order.
  virtual void collectSlotsInBox(const Vec3& lower, const Vec3& upper,
                                 std::vector<std::uint32_t>& slots) const = 0;
  /// Path integrals so far and state functions now (costs a pass over contacts).
  virtual EnergyLedger energy() const = 0;
  virtual OverlapStatistics overlapStatistics() const = 0;
  /// Every pair that acts on each other, once, in a fixed order, with the force that the next step
  /// will apply. Pairs are those of the list: call after updateNeighbours().
  virtual void visitPairs(const PairVisit& visit) const = 0;
  /// Order-independent hash of all grains' bits (by id): position, velocity, spin, contact history.
  virtual std::uint64_t stateHash() const = 0;
  /// Exchange form (positions to the kernel's own resolution).
  virtual GrainSet store() const = 0;

  // --- checkpoint: everything, bit for bit ------------------------------------------------------
  virtual std::vector<std::byte> freeze() const = 0;
  virtual void thaw(std::span<const std::byte> bytes) = 0;
};

std::unique_ptr<GrainKernel> makeKernel(KernelKind kind, const GrainSet& grains,
                                        const KernelSettings& settings);

}  // namespace holdground
