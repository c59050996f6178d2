#pragma once
// The fast grain kernel: single precision, packed records, fixed-point positions, eight pairs at a
// time, blocks of grains each summed by one thread in a fixed order.
//
// Promises: the same bits for any number of threads and any instruction set of one byte order;
// after thaw() it goes on bit for bit. Not thread-safe from outside, save addForce to different
// slots.
// Valid for: domains up to about 8 m a side (one unit is then 2 nm).
// Checked by: tests/verification (every closed form runs on both kernels), tests/determinism.

#include "solver/contact/soil_laws.hpp"
#include "solver/kernel_fast/block_pass.hpp"
#include "solver/kernel_fast/pair_list.hpp"
#include "solver/motion/stones.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

class FastKernel final : public GrainKernel {
 public:
  FastKernel(const GrainSet& grains, const KernelSettings& settings);

  std::size_t size() const override { return state_.size(); }
  const Domain& domain() const override { return domain_; }
  bool updateNeighbours() override;
  double travelLimit() const override { return static_cast<double>(listSettings_.maximumSkin); }
  void addForce(std::uint32_t slot, const Vec3& force, const Vec3& torque) override;
  void advance() override;
  GrainSample sample(std::uint32_t slot) const override;
  StonePart stonePart(std::uint32_t slot) const override { return stones_.part(state_.ids[slot]); }
  void collectSlotsInBox(const Vec3& lower, const Vec3& upper,
                         std::vector<std::uint32_t>& slots) const override;
  EnergyLedger energy() const override;
  OverlapStatistics overlapStatistics() const override;
  void visitPairs(const PairVisit& visit) const override;
  std::uint64_t stateHash() const override;
  GrainSet store() const override;
  std::vector<std::byte> freeze() const override;
  void thaw(std::span<const std::byte> bytes) override;

  const fast::PackedState& state() const { return state_; }

 private:
  struct Contact;  // one touching pair in double precision, for the passes that are not hot
  template <typename Visit>
  void forPairs(Visit&& visit) const;
  template <typename Visit>
  void forContacts(Visit&& visit) const;
  Vec3 positionOf(const fast::PackedGrain& grain) const;
  void advanceBlock(std::size_t b, fast::AlignedVector<fast::ForceSum>& sums);
  void loadStones(const GrainSet& grains);
  void keepStoneLoads(const fast::Block& block, const fast::ForceSum* sums);
  void moveStones();
  void prefetchStone(std::size_t stone) const;
  void place(const Stones::SphereMotion& motion, fast::PackedGrain& grain) const;
  void fitBlocks();
  void loadHistory(const std::vector<ContactMemory>& contacts);
  void checkGrains(std::size_t first, std::size_t end) const;
  void findExposed();
  double netGravity(std::size_t soil) const;
  std::uint8_t soilOf(std::size_t slot) const {
    return state_.soils.empty() ? std::uint8_t{0} : state_.soils[slot];
  }

  Domain domain_;
  KernelSettings settings_;
  Vec3 unitsPerMetre_ = Vec3::Zero(), middle_ = Vec3::Zero();  ///< of fixed-point positions
  fast::PackedState state_;
  std::vector<fast::PassConstants> constants_;  ///< by law
  fast::ListSettings listSettings_;
  fast::AlignedVector<fast::PackedGrain> next_;  ///< where the grains of the next step are written
  fast::AlignedVector<fast::ForceSum> added_;    ///< by slot: loads from outside, for one step
  std::vector<std::uint8_t> isLoaded_;           ///< by block: has a grain that is not zero there
  std::vector<std::uint32_t> blockOfSlot_;
  std::vector<fast::AlignedVector<fast::ForceSum>> scratch_;  ///< by thread: sums of one block
  Stones stones_;
  fast::AlignedVector<fast::ForceSum> stoneLoads_;  ///< by slot: of the stones' spheres, this step
  std::vector<std::uint32_t> slotOfId_;             ///< kept for stones only
  std::vector<std::uint32_t> stoneOrder_;           ///< as their first spheres lie in memory
  float dragFactor_ = 0.0f;                         ///< drag force = factor R^2 |v| v [kg/m^3]
  std::uint64_t steps_ = 0;                         ///< done so far
  SoilLaws laws_;
  std::vector<float> moreWeight_;  ///< by slot, in a stack: under water than of soil 0's grains [N]
};

}  // namespace holdground
