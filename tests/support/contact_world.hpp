#pragma once
// A few grains, one meshed body, one kernel: the smallest world in which steel meets grains.

#include <memory>
#include <string>
#include <vector>

#include "solver/contact/grain_mesh_contacts.hpp"
#include "solver/motion/rigid_body.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

struct ContactWorldSettings {
  KernelKind kind = KernelKind::kReference;
  GrainMaterial material;
  Surface surface;
  Domain domain;
  double gravity = 0.0;    ///< on grains [m/s^2]; loads on the body are the caller's
  double timeStep = 1e-5;  ///< [s]
  double waterDensity = 0.0;
};

/// Grains to put into a world, one by one.
class GrainList {
 public:
  explicit GrainList(const Domain& domain) { set_.domain = domain; }
  GrainList& add(double radius, const Vec3& position, const Vec3& velocity = Vec3::Zero(),
                 const Vec3& spin = Vec3::Zero(), bool isFrozen = false);
  const GrainSet& set() const { return set_; }

 private:
  GrainSet set_;
};

class ContactWorld {
 public:
  /// @param parts in the body frame, centre of mass at its origin.
  ContactWorld(const ContactWorldSettings& settings, const GrainSet& grains,
               const std::vector<TriangleMesh>& parts, const RigidBody& body);

  /// A body that stays where it is.
  static RigidBody fixedBody(const Quat& orientation = Quat::Identity());

  /// One step; `extra` is what acts on the body besides the grains.
  void step(const BodyLoad& extra = {});
  /// Steps until `time` has passed.
  void run(double time);

  GrainSample grain(std::uint32_t id) const;
  double time() const { return time_; }
  double timeStep() const { return settings_.timeStep; }
  GrainKernel& kernel() { return *kernel_; }
  GrainMeshContacts& contacts() { return contacts_; }
  const MeshLoad& load() const { return contacts_.load(); }
  RigidBody& body() { return body_; }
  EnergyLedger energy() const;

 private:
  ContactWorldSettings settings_;
  std::unique_ptr<GrainKernel> kernel_;
  GrainMeshContacts contacts_;
  RigidBody body_;
  double time_ = 0.0;
};

/// For INSTANTIATE_TEST_SUITE_P over both kernels.
std::string kernelName(KernelKind kind);

double sphereMass(const GrainMaterial& material, double radius);

}  // namespace holdground
