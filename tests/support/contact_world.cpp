#include "tests/support/contact_world.hpp"

#include <omp.h>

#include <algorithm>
#include <stdexcept>

namespace holdground {
namespace {

GrainMeshContacts makeContacts(const ContactWorldSettings& settings, const GrainSet& grains,
                               const std::vector<TriangleMesh>& parts, const RigidBody& body) {
  std::vector<ContactPart> contactParts;
  for (const TriangleMesh& mesh : parts) contactParts.push_back({&mesh, settings.surface});
  const double largest = *std::max_element(grains.radius.begin(), grains.radius.end());
  return GrainMeshContacts(contactParts, Vec3::Zero(), body.compliance(), settings.material,
                           largest);
}

}  // namespace

GrainList& GrainList::add(double radius, const Vec3& position, const Vec3& velocity,
                          const Vec3& spin, bool isFrozen) {
  set_.position.push_back(position);
  set_.velocity.push_back(velocity);
  set_.spin.push_back(spin);
  set_.radius.push_back(radius);
  set_.frozen.push_back(isFrozen ? 1 : 0);
  return *this;
}

ContactWorld::ContactWorld(const ContactWorldSettings& settings, const GrainSet& grains,
                           const std::vector<TriangleMesh>& parts, const RigidBody& body)
    : settings_(settings), contacts_(makeContacts(settings, grains, parts, body)), body_(body) {
  KernelSettings kernel;
  kernel.material = settings.material;
  kernel.water.density = settings.waterDensity;
  kernel.gravity = settings.gravity;
  kernel.timeStep = settings.timeStep;
  kernel_ = makeKernel(settings.kind, grains, kernel);
  // So few grains are not worth waking threads for, least of all on a busy machine. A test about
  // threads asks for them after it has made its world.
  omp_set_num_threads(1);
}

RigidBody ContactWorld::fixedBody(const Quat& orientation) {
  RigidMotion motion;
  motion.orientation = orientation;
  return RigidBody::prescribed(motion);
}

void ContactWorld::step(const BodyLoad& extra) {
  const bool rebuilt = kernel_->updateNeighbours();
  contacts_.update(*kernel_, body_.motion(), rebuilt);
  const MeshLoad& load = contacts_.computeForces(*kernel_, body_.motion(), settings_.timeStep);
  kernel_->advance();
  body_.integrate(load.total + extra, settings_.timeStep);
  time_ += settings_.timeStep;
}

void ContactWorld::run(double time) {
  const double end = time_ + time - 0.5 * settings_.timeStep;
  while (time_ < end) step();
}

GrainSample ContactWorld::grain(std::uint32_t id) const {
  for (std::uint32_t slot = 0; slot < kernel_->size(); ++slot) {
    const GrainSample sample = kernel_->sample(slot);
    if (sample.id == id) return sample;
  }
  throw std::logic_error("no grain of this id");
}

EnergyLedger ContactWorld::energy() const {
  EnergyLedger ledger = kernel_->energy();
  contacts_.addEnergy(*kernel_, body_.motion(), ledger);
  ledger.kinetic += body_.kineticEnergy();
  return ledger;
}

std::string kernelName(KernelKind kind) { return kind == KernelKind::kFast ? "fast" : "reference"; }

double sphereMass(const GrainMaterial& material, double radius) {
  return material.density * (4.0 / 3.0) * kPi * radius * radius * radius;
}

}  // namespace holdground
