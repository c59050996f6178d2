#pragma once
// One pull: a bed, an anchor and a rode, stepped together. The step is a list of calls; every loop
// lies in the modules it calls. The stages are tabled in DEVELOPERS.md in this order.
//
// Time runs from -settleTime: the anchor comes to rest on the bed before the rode takes hold at 0.
// Frame: world. Promises: the same bits for any number of threads; freeze/thaw continue them.
// Checked by: tests/unit/simulation/, tests/determinism/, tests/endtoend/

#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "solver/anchor/anchor.hpp"
#include "solver/anchor/anchor_motion.hpp"
#include "solver/contact/grain_mesh_contacts.hpp"
#include "solver/motion/rigid_body.hpp"
#include "solver/rode/rode.hpp"
#include "solver/simulation/stage_timers.hpp"
#include "solver/state/energy_ledger.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

struct SimulationSettings {
  KernelKind kernel = KernelKind::kFast;
  KernelSettings bed;  ///< material, water, gravity, time step
  RodeSettings rode;
  double settleTime = 0.5;  ///< before the pull [s]
};

class Simulation {
 public:
  /// Lays the anchor in its setting pose on the grains under it.
  Simulation(const GrainSet& bed, Anchor anchor, const SimulationSettings& settings);

  void advanceOneStep();

  /// Simulated time since the pull began [s]; negative while the anchor settles.
  double time() const { return timeAt(step_); }
  std::uint64_t step() const { return step_; }
  /// Times the pair list was rebuilt while stepping.
  std::uint64_t listRebuilds() const { return listRebuilds_; }
  /// Steps made when the pull begins, at the first time that is not negative.
  std::uint64_t firstPullingStep() const;
  bool isPulling() const { return rode_.has_value(); }
  /// Empty until the pull begins.
  const std::optional<Rode>& rode() const { return rode_; }
  const RodePull& pull() const { return pull_; }

  const GrainKernel& kernel() const { return *kernel_; }
  const Anchor& anchor() const { return anchor_; }
  const RigidMotion& motion() const { return body_.motion(); }
  const MeshLoad& steelLoad() const { return steel_.load(); }
  const GrainMeshContacts& steel() const { return steel_; }
  const StageTimers& timers() const { return timers_; }
  const SimulationSettings& settings() const { return settings_; }

  /// All terms, grains and anchor; potential relative to the start of the simulation.
  EnergyLedger energy() const;
  /// What the ledger held when the simulation began.
  const EnergyLedger& energyAtStart() const { return start_; }

  /// Of every bit that decides how it goes on: grains, contacts, anchor, time.
  std::uint64_t stateHash() const;
  std::vector<std::byte> freeze() const;
  void thaw(std::span<const std::byte> bytes);

 private:
  double timeAt(std::uint64_t step) const {
    return static_cast<double>(step) * settings_.bed.timeStep - settings_.settleTime;
  }
  void beginPullWhenDue();
  void sumAnchorLoads();
  void moveAnchor();
  EnergyLedger absoluteEnergy() const;

  SimulationSettings settings_;
  Anchor anchor_;
  std::unique_ptr<GrainKernel> kernel_;
  RigidBody body_;
  GrainMeshContacts steel_;
  std::optional<Rode> rode_;
  Vec3 shackleAtStart_ = Vec3::Zero();
  RodePull pull_;
  BodyLoad rodeLoad_, anchorLoad_;
  double rodeWork_ = 0.0;        ///< [J]
  EnergyLedger start_;           ///< potential 0
  double startPotential_ = 0.0;  ///< from the level of absoluteEnergy() [J]
  std::uint64_t step_ = 0;
  std::uint64_t listRebuilds_ = 0;
  StageTimers timers_;
};

}  // namespace holdground
