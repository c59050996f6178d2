#pragma once
// The grain kernel in plain double precision: one pair at a time, every term of the law in sight.
//
// It is kept for ever beside the fast kernel, as what that one is measured against: the same law
// (contact/hertz_mindlin.hpp), the same list rule, the same ledger. Leapfrog: velocities live at
// n - 1/2; contact laws see them predicted to n. A bed loaded from a GrainSet starts with the
// velocities given there standing for those at n - 1/2.
// Promises: the same bits for any number of threads.
// Checked by: tests/verification, tests/determinism (every test there runs on every kernel).

#include <vector>

#include "solver/contact/soil_laws.hpp"
#include "solver/kernel_reference/cell_grid.hpp"
#include "solver/kernel_reference/grain.hpp"
#include "solver/kernel_reference/pair_list.hpp"
#include "solver/motion/stones.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

class ReferenceKernel final : public GrainKernel {
 public:
  /// InputError when the domain is too narrow for its grains, or the set makes no sense.
  ReferenceKernel(const GrainSet& grains, const KernelSettings& settings);

  std::size_t size() const override { return grains_.size(); }
  const Domain& domain() const override { return domain_; }

  bool updateNeighbours() override;
  double travelLimit() const override { return largestSkin_; }
  void addForce(std::uint32_t slot, const Vec3& force, const Vec3& torque) override;
  void advance() override;

  GrainSample sample(std::uint32_t slot) const override;
  StonePart stonePart(std::uint32_t slot) const override { return stones_.part(grains_[slot].id); }
  void collectSlotsInBox(const Vec3& lower, const Vec3& upper,
                         std::vector<std::uint32_t>& slots) const override;
  EnergyLedger energy() const override;
  OverlapStatistics overlapStatistics() const override;
  void visitPairs(const PairVisit& visit) const override;
  std::uint64_t stateHash() const override;
  GrainSet store() const override;

  std::vector<std::byte> freeze() const override;
  void thaw(std::span<const std::byte> bytes) override;

 private:
  void rebuild(const RememberedContacts& remembered);
  void findExposed();
  void prefetch(const Pair& pair) const;
  const ContactLaw& lawOf(const Pair& pair) const {
    return laws_.of(grains_[pair.i].soil, grains_[pair.j].soil);
  }
  void addPairForces(Block& block);
  void integrate(Block& block);
  void loadStones(const GrainSet& set);
  void moveStones();
  void place(const Stones::SphereMotion& motion, Grain& grain) const;
  void watch(std::uint32_t slot, Block& block) const;
  void reportLost(std::uint32_t slot) const;
  double potential() const;

  Domain domain_;
  KernelSettings settings_;
  PeriodicPlane plane_;
  SoilLaws laws_;
  std::vector<double> netGravity_;  ///< by soil: gravity less buoyancy [m/s^2]
  double dragFactor_;               ///< drag force = factor R^2 |v| v [kg/m^3]
  double smallestSkin_;             ///< [m]
  double largestSkin_;              ///< [m]
  double startPotential_ = 0.0;
  std::uint64_t steps_ = 0;

  CellGrid grid_;
  std::vector<Grain> grains_;         ///< by slot
  std::vector<GrainMotion> motions_;  ///< by slot
  std::vector<GrainLoad> loads_;      ///< by slot; zero between steps
  std::vector<Block> blocks_;
  Stones stones_;
  std::vector<std::uint32_t> slotOfId_;  ///< kept for stones only
};

}  // namespace holdground
