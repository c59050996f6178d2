#include "solver/probe/probe_simulation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"

namespace holdground {

namespace {

Vec3 middleOf(const std::vector<ContactPart>& parts) {
  Bounds bounds;
  for (const ContactPart& part : parts) bounds.add(boundsOf(*part.mesh));
  if (bounds.isEmpty()) throw InputError("probe: a body without triangles");
  return bounds.middle();
}

}  // namespace

RigidMotion ProbeSimulation::Body::contactMotion() const {
  const DrivenMotion& m = driven.motion();
  const Vec3 arm = m.orientation * middle;
  return {m.pivot + arm, m.orientation, m.velocity + m.spin.cross(arm), m.spin};
}

BodyLoad ProbeSimulation::Body::aboutPivot(const BodyLoad& load) const {
  return {load.force, load.torque + (originOfLoad - pivotOfLoad).cross(load.force)};
}

ProbeSimulation::ProbeSimulation(const GrainSet& bed, const ProbeSettings& settings)
    : settings_(settings), kernel_(makeKernel(settings.kernel, bed, settings.bed)) {
  largestRadius_ = *std::max_element(bed.radius.begin(), bed.radius.end());
  slotsMoved_ = kernel_->updateNeighbours();
  start_ = kernel_->energy();
}

std::size_t ProbeSimulation::addBody(const ProbeBody& description) {
  slotsMoved_ |= kernel_->updateNeighbours();
  const Vec3 origin = middleOf(description.parts);
  auto body =
      std::make_unique<Body>(Body{DrivenBody(description.mass, description.position,
                                             description.orientation, description.drive),
                                  origin - description.pivot,
                                  GrainMeshContacts(description.parts, origin, BodyCompliance{},
                                                    settings_.bed.soils(), largestRadius_),
                                  description.position, description.position});
  body->steel.update(*kernel_, body->contactMotion(), true);
  driveWork_ += body->driven.kineticEnergy() + contactEnergy(*body).stored();
  bodies_.push_back(std::move(body));
  return bodies_.size() - 1;
}

void ProbeSimulation::setDrive(std::size_t body, const BodyDrive& drive) {
  DrivenBody& driven = bodies_.at(body)->driven;
  driveWork_ -= driven.kineticEnergy();
  driven.setDrive(drive);
  driveWork_ += driven.kineticEnergy();
}

void ProbeSimulation::removeBody(std::size_t body) {
  const EnergyLedger contacts = contactEnergy(*bodies_.at(body));
  gone_.friction += contacts.friction + contacts.elasticTangential;
  gone_.normalDamping += contacts.normalDamping;
  gone_.tangentialDamping += contacts.tangentialDamping;
  gone_.rolling += contacts.rolling + contacts.elasticRolling;
  gone_.historyArtefact += contacts.historyArtefact;
  driveWork_ -= bodies_[body]->driven.kineticEnergy() + contacts.elasticNormal;
  bodies_[body].reset();
}

void ProbeSimulation::advanceOneStep() {
  const bool rebuilt = kernel_->updateNeighbours();
  updateSteel(rebuilt);
  computeSteelForces();
  kernel_->advance();
  moveBodies();
  ++step_;
}

void ProbeSimulation::updateSteel(bool rebuilt) {
  const bool moved = std::exchange(slotsMoved_, false) || rebuilt;
  for (const auto& body : bodies_)
    if (body) body->steel.update(*kernel_, body->contactMotion(), moved);
}

void ProbeSimulation::computeSteelForces() {
  for (const auto& body : bodies_) {
    if (!body) continue;
    const RigidMotion motion = body->contactMotion();
    body->steel.computeForces(*kernel_, motion, settings_.bed.timeStep);
    body->originOfLoad = motion.centreOfMass;
    body->pivotOfLoad = body->driven.motion().pivot;
  }
}

void ProbeSimulation::moveBodies() {
  for (std::size_t k = 0; k < bodies_.size(); ++k) {
    if (!bodies_[k]) continue;
    driveWork_ += bodies_[k]->driven.integrate(reaction(k), settings_.bed.timeStep);
    const DrivenMotion& motion = bodies_[k]->driven.motion();
    if (!motion.pivot.allFinite() || !motion.velocity.allFinite())
      throw SimulationError(fmt::format("body {} flew apart {:.4g} s after the start", k, time()));
  }
}

BodyLoad ProbeSimulation::reaction(std::size_t body) const {
  return bodies_.at(body)->aboutPivot(bodies_[body]->steel.load().total);
}

BodyLoad ProbeSimulation::partReaction(std::size_t body, std::size_t part) const {
  return bodies_.at(body)->aboutPivot(bodies_[body]->steel.load().part.at(part));
}

EnergyLedger ProbeSimulation::contactEnergy(const Body& body) const {
  EnergyLedger ledger;
  body.steel.addEnergy(*kernel_, body.contactMotion(), ledger);
  return ledger;
}

EnergyLedger ProbeSimulation::energy() const {
  EnergyLedger ledger = kernel_->energy();
  ledger.friction += gone_.friction;
  ledger.normalDamping += gone_.normalDamping;
  ledger.tangentialDamping += gone_.tangentialDamping;
  ledger.rolling += gone_.rolling;
  ledger.historyArtefact += gone_.historyArtefact;
  ledger.prescribed += driveWork_;
  for (const auto& body : bodies_) {
    if (!body) continue;
    body->steel.addEnergy(*kernel_, body->contactMotion(), ledger);
    ledger.kinetic += body->driven.kineticEnergy();
  }
  return ledger;
}

std::uint64_t ProbeSimulation::stateHash() const {
  std::uint64_t hash = mixBits(kernel_->stateHash());
  for (std::size_t k = 0; k < bodies_.size(); ++k) {
    if (!bodies_[k]) continue;
    hash = hashBits(hash, k);
    hash = hashBits(hash, bodies_[k]->steel.stateHash());
    hash = hashBits(hash, bodies_[k]->driven.stateHash());
  }
  return hashBits(hash, step_);
}

}  // namespace holdground
