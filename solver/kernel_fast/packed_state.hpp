#pragma once
// Memory layout of the fast kernel: what one step reads and writes.
//
// A grain is one 64-byte record, so that a pair costs two cache lines; what only the integrator
// needs lies apart. Positions are 32-bit fixed point: x and y span the periodic domain, so that
// integer overflow is the minimum image; z spans twice the domain's height.
// Pairs lie in groups of kLanes with their history lane by lane, in the order they are evaluated.

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <new>
#include <vector>

namespace holdground::fast {

inline constexpr int kLanes = 8;  ///< logical vector width; the same on every machine

struct alignas(64) PackedGrain {
  std::int32_t position[3];  ///< [domain units]
  float radius;              ///< [m]
  float velocity[3];         ///< at the full step [m/s]
  float inverseMass;         ///< [1/kg], 0 when frozen
  float spin[3];             ///< at the full step [rad/s]
  float radiusAgain;         ///< [m]; this lane is added over a pair, the one above subtracted
  float radiusSpin[3];       ///< radius times spin [m/s]
  float inverseInertia;      ///< 5/(2 m R^2) [1/(kg m^2)], 0 when frozen
};
static_assert(sizeof(PackedGrain) == 64);
/// Pairs name a slot by its place in bytes, which saves the inner loop two shifts a pair.
inline constexpr std::uint32_t kSlotBytes = sizeof(PackedGrain);
inline constexpr std::uint32_t kLargestCount = UINT32_MAX / kSlotBytes - 2;

/// How a grain moves: not at all, by itself, or with the stone it is a sphere of.
inline constexpr float kHeld = 0.0f, kFree = 1.0f, kOfStone = 2.0f;

/// What the integrator alone needs.
struct alignas(16) GrainMotion {
  float velocity[3];   ///< at the half step [m/s]
  float dragPerSpeed;  ///< water drag over mass and speed [1/m]; 0 when sheltered
  float spin[3];       ///< at the half step [rad/s]
  float moves;         ///< kHeld, kFree or kOfStone
  float remainder[3];  ///< part of the position below one domain unit [domain units]
  float slack;         ///< path left before the block's list is out of date [m]
};
static_assert(sizeof(GrainMotion) == 48);

/// Sums over one grain's contacts.
struct alignas(32) ForceSum {
  float force[4];   ///< [N], last lane unused
  float torque[4];  ///< about the centre [N m], last lane unused
};

/// kLanes pairs: what they remember, and two numbers of theirs that never change. Vectors act on
/// the grain of the lower slot. What only rolling resistance needs comes last.
struct alignas(32) PairGroup {
  float tangential[3][kLanes];  ///< elastic tangential force [N]
  float stiffness[kLanes];      ///< tangential stiffness at the last step; 0: no contact [N/m]
  float rootMass[kLanes];       ///< sqrt(m*) [kg^1/2]
  float rolling[3][kLanes];     ///< elastic rolling moment over R* [N]
  float rootInertia[kLanes];    ///< sqrt(I_r) [kg^1/2 m]
};

/// Where the sums of kLanes pairs' grains lie among those of the block, in units of kPlaceBytes;
/// grains of other blocks share the spill row behind the last.
struct PairPlaces {
  std::uint16_t lower[kLanes], upper[kLanes];
};
inline constexpr std::uint32_t kPlaceBytes = 8;  ///< what an address can be scaled by for nothing
inline constexpr std::uint32_t kLargestBlock = UINT16_MAX * kPlaceBytes / sizeof(ForceSum);

/// Energy taken by the contacts of one block since the start [J].
struct ContactLosses {
  double friction = 0.0, normalDamping = 0.0, tangentialDamping = 0.0, rolling = 0.0, plastic = 0.0,
         historyArtefact = 0.0;
};

template <typename T>
struct AlignedAllocator {
  using value_type = T;
  AlignedAllocator() = default;
  template <typename U>
  AlignedAllocator(const AlignedAllocator<U>&) {}
  T* allocate(std::size_t n) {
    return static_cast<T*>(::operator new (n * sizeof(T), std::align_val_t{64}));
  }
  void deallocate(T* p, std::size_t) { ::operator delete (p, std::align_val_t{64}); }
  bool operator==(const AlignedAllocator&) const { return true; }
};
template <typename T>
using AlignedVector = std::vector<T, AlignedAllocator<T>>;

/// Two slots, each by its place in bytes; lower < upper.
struct SlotPair {
  std::uint32_t lower, upper;
};

/// Pairs of a block that join the same two soils: one contact law. They fill whole groups, the last
/// padded.
struct PairRun {
  std::uint32_t law = 0;       ///< index of the pair's law; see contact/soil_laws.hpp
  std::uint32_t first = 0;     ///< of its pairs; a multiple of kLanes
  std::uint32_t touching = 0;  ///< end of those that touched when the list was made
  std::uint32_t end = 0;       ///< without padding

  std::uint32_t firstGroup() const { return first / kLanes; }
  std::uint32_t endGroup() const { return (end + kLanes - 1) / kLanes; }
};

/// A run of slots owned by one thread at a time, and every pair that touches it. A pair across two
/// blocks stands in both, is evaluated in both with the same bits, and its losses count in the
/// block of its lower slot only.
struct Block {
  std::uint32_t first = 0, end = 0;           ///< slots [first, end)
  AlignedVector<std::uint32_t> lower, upper;  ///< of each pair, in bytes; padded to kLanes
  AlignedVector<PairGroup> history;
  AlignedVector<float> dents;  ///< of each pair [m]; empty in a bed whose contacts keep none
  AlignedVector<PairPlaces> places;
  std::vector<PairRun> runs;              ///< by law, ascending; one in a bed of one soil
  std::vector<SlotPair> candidates;       ///< pairs the list may be drawn from again, by law
  std::vector<std::uint32_t> neighbours;  ///< other blocks with grains among the candidates
  ContactLosses losses;
  double waterDrag = 0.0;  ///< [J]
  bool outOfDate = false;  ///< a grain has used up its slack

  std::uint32_t size() const { return end - first; }
  /// Calls visit(place in the list) for each pair.
  template <typename Visit>
  void forPairs(Visit&& visit) const {
    for (const PairRun& run : runs)
      for (std::size_t p = run.first; p < run.end; ++p) visit(p);
  }
};

/// Numbers that are the same for every pair of two soils.
struct PassConstants {
  float unit[3];              ///< metres per domain unit
  float timeStep;             ///< [s]
  float halfPerStep;          ///< 1/2 over the time step [1/s]
  float normalModulus;        ///< 2 E* [Pa]: normal stiffness over contact radius
  float stiffnessRatio;       ///< tangential over normal stiffness, 4 G*/E*
  float normalDamping;        ///< damping coefficient over sqrt(Sn m*)
  float tangentialDamping;    ///< damping coefficient over sqrt(Sn m*), tangential
  float largestDashpot;       ///< tangential, over m* [1/s]
  float friction;             ///< Coulomb coefficient
  float rollingFriction;      ///< mu_r
  float rollingRatio;         ///< k_r over k_t R*^2, = 2.25 mu_r^2 / stiffnessRatio
  float inverseRollingRatio;  ///< its reciprocal; 0 without rolling resistance
  float rollingDamping;       ///< 2 eta_r sqrt(k_r/(Sn R*^2)): moment over R* sqrt(Sn I_r) and spin
  float largestRollingDashpot;  ///< over m* R*^2 [1/s]
  float gravity;                ///< gravity less buoyancy [m/s^2], along -z
  float pullOff;                ///< attraction over R*^2, 16 s [Pa]
  float attractionPerGap;       ///< 1/(4 r): share of it lost over a gap of R* [-]
  float unloadingModulus;       ///< 4/3 m E* [Pa]: elastic line over R*^(1/2) x^(3/2); see dent.hpp
  float stiffening;             ///< m
  float adhesiveShare;          ///< kappa
  float pressedShare;           ///< c1
  float pulledShare;            ///< c2
  float pressedLoss;            ///< (3/5) (1/c1 - 1) over the time step [1/s]
  float pulledLoss;             ///< (3/5) (1 - 1/c2) over the time step [1/s]
};

}  // namespace holdground::fast
