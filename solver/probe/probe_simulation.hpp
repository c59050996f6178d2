#pragma once
// Any meshed bodies in a bed, led by given motions or forces; the reactions are read. A body may
// be a tool, a lid, a wall or a container, may be brought in and taken away between two steps.
// The step is the list of calls that a pull makes, with driven bodies in place of the anchor.
//
// Images: a body meets each grain once, at the image nearest to the middle of its mesh. So a sheet
// that reaches beyond the domain's sides by a grain's radius is endless; its shape must repeat with
// the domain for the join to be smooth.
// Damping of contacts counts the grain's mass alone, as on an anvil. For explicit steps, let a
// force-driven body weigh no less than the grains that touch it.
// Frame: world. Promises: the same bits for any number of threads. Left out: checkpoints.
// Checked by: tests/unit/probe/, tests/verification/probe/, tests/determinism/probe_test.cpp

#include <memory>
#include <vector>

#include "solver/contact/grain_mesh_contacts.hpp"
#include "solver/probe/driven_body.hpp"
#include "solver/state/energy_ledger.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

struct ProbeSettings {
  KernelKind kernel = KernelKind::kFast;
  KernelSettings bed;  ///< material, water, gravity, time step
};

struct ProbeBody {
  std::vector<ContactPart> parts;  ///< meshes in one frame; needed only until the body is added
  Vec3 pivot = Vec3::Zero();       ///< in that frame: turns about it, torques are about it [m]
  Vec3 position = Vec3::Zero();    ///< of the pivot in the world [m]
  Quat orientation = Quat::Identity();
  double mass = 0.0;  ///< for force-driven axes [kg]
  BodyDrive drive;
};

class ProbeSimulation {
 public:
  ProbeSimulation(const GrainSet& bed, const ProbeSettings& settings);

  /// Between steps. Returns its index, which stays. What it presses at once counts as work put in.
  std::size_t addBody(const ProbeBody& body);
  /// Between steps; see DrivenBody::setDrive. Abrupt changes of velocity strike the grains.
  void setDrive(std::size_t body, const BodyDrive& drive);
  /// Between steps. What its contacts and its motion hold is booked as taken out with it, what
  /// their friction holds as lost.
  void removeBody(std::size_t body);

  void advanceOneStep();

  double time() const { return static_cast<double>(step_) * settings_.bed.timeStep; }  ///< [s]
  std::uint64_t step() const { return step_; }
  const ProbeSettings& settings() const { return settings_; }
  const GrainKernel& kernel() const { return *kernel_; }

  std::size_t bodyCount() const { return bodies_.size(); }
  bool isPresent(std::size_t body) const { return bodies_.at(body) != nullptr; }
  /// Of a body that is present. Places belong to the full step to come, loads to the last one.
  const DrivenMotion& motion(std::size_t body) const { return bodies_.at(body)->driven.motion(); }
  const BodyDrive& drive(std::size_t body) const { return bodies_.at(body)->driven.drive(); }
  /// What the grains do to it, torque about its pivot.
  BodyLoad reaction(std::size_t body) const;
  BodyLoad partReaction(std::size_t body, std::size_t part) const;
  const GrainMeshContacts& steel(std::size_t body) const { return bodies_.at(body)->steel; }

  /// All terms; potential of the grains relative to the start. Drives put in `prescribed`.
  EnergyLedger energy() const;
  const EnergyLedger& energyAtStart() const { return start_; }

  /// Of every bit that decides how it goes on: grains, contacts, bodies, time.
  std::uint64_t stateHash() const;

 private:
  struct Body {
    DrivenBody driven;
    Vec3 middle;  ///< of its mesh, from the pivot, body frame: origin of its contacts [m]
    GrainMeshContacts steel;
    Vec3 pivotOfLoad;  ///< where the pivot was when the load was taken [m]
    Vec3 originOfLoad;

    RigidMotion contactMotion() const;
    /// Moves torques of the load from the contacts' origin to the pivot.
    BodyLoad aboutPivot(const BodyLoad& load) const;
  };

  void updateSteel(bool rebuilt);
  void computeSteelForces();
  void moveBodies();
  /// What the contacts of a body hold and have lost.
  EnergyLedger contactEnergy(const Body& body) const;

  ProbeSettings settings_;
  std::unique_ptr<GrainKernel> kernel_;
  double largestRadius_ = 0.0;                 ///< [m]
  std::vector<std::unique_ptr<Body>> bodies_;  ///< null once taken away
  EnergyLedger gone_;                          ///< path integrals of bodies taken away
  double driveWork_ = 0.0;                     ///< [J]
  EnergyLedger start_;
  bool slotsMoved_ = false;  ///< since the last step
  std::uint64_t step_ = 0;
};

}  // namespace holdground
