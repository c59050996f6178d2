#include "solver/simulation/simulation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "solver/contact/sink_distance.hpp"
#include "solver/core/byte_stream.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"

namespace holdground {

namespace {

constexpr double kClearance = 1e-3;  // between steel and grains when the anchor is laid down [m]

double largestRadius(const GrainSet& bed) {
  return *std::max_element(bed.radius.begin(), bed.radius.end());
}

std::vector<ContactPart> contactParts(const Anchor& anchor) {
  std::vector<ContactPart> parts;
  for (const AnchorPart& part : anchor.parts)
    parts.push_back({&part.mesh, part.surface, part.onLowerSoils});
  return parts;
}

/// Height of the anchor's lowest point when, sinking in its setting pose, it meets a grain [m].
double restHeight(const GrainSet& bed, const Anchor& anchor, const SimulationSettings& settings) {
  double top = -std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < bed.size(); ++k)
    top = std::max(top, bed.position[k].z() + bed.radius[k]);
  const RigidMotion pose = settingMotion(anchor, top, settings.rode.azimuth);
  std::vector<Corners> steel;
  for (const AnchorPart& part : anchor.parts)
    for (std::size_t t = 0; t < part.mesh.triangles.size(); ++t)
      steel.push_back({worldPoint(anchor, pose, part.mesh.corner(t, 0)),
                       worldPoint(anchor, pose, part.mesh.corner(t, 1)),
                       worldPoint(anchor, pose, part.mesh.corner(t, 2))});
  const double sink = sinkDistance(steel, bed, steelSetbacks(settings.bed.soils()));
  return std::isfinite(sink) ? top - sink : 0.0;
}

}  // namespace

Simulation::Simulation(const GrainSet& bed, Anchor anchor, const SimulationSettings& settings)
    : settings_(settings),
      anchor_(std::move(anchor)),
      kernel_(makeKernel(settings.kernel, bed, settings.bed)),
      body_(anchor_.mass, anchor_.inertia,
            settingMotion(anchor_, restHeight(bed, anchor_, settings) + kClearance,
                          settings.rode.azimuth)),
      steel_(contactParts(anchor_), anchor_.centreOfMass, body_.compliance(), settings.bed.soils(),
             largestRadius(bed)) {
  kernel_->updateNeighbours();
  start_ = absoluteEnergy();
  startPotential_ = std::exchange(start_.potential, 0.0);
}

void Simulation::advanceOneStep() {
  timers_.start();
  const bool rebuilt = kernel_->updateNeighbours();
  listRebuilds_ += rebuilt ? 1u : 0u;
  steel_.update(*kernel_, body_.motion(), rebuilt || step_ == 0);
  timers_.book(Stage::kNeighbours);
  steel_.computeForces(*kernel_, body_.motion(), settings_.bed.timeStep);
  timers_.book(Stage::kSteelContacts);
  beginPullWhenDue();
  sumAnchorLoads();
  timers_.book(Stage::kRode);
  kernel_->advance();
  timers_.book(Stage::kGrains);
  moveAnchor();
  timers_.book(Stage::kMoveAnchor);
  ++step_;
}

std::uint64_t Simulation::firstPullingStep() const {
  auto step = static_cast<std::uint64_t>(settings_.settleTime / settings_.bed.timeStep);
  while (timeAt(step) < 0.0) ++step;
  while (step > 0 && timeAt(step - 1) >= 0.0) --step;
  return step;
}

void Simulation::beginPullWhenDue() {
  if (rode_.has_value() || time() < 0.0) return;
  shackleAtStart_ = worldPoint(anchor_, body_.motion(), anchor_.shackle);
  rode_.emplace(settings_.rode, shackleAtStart_);
}

void Simulation::sumAnchorLoads() {
  const RigidMotion& motion = body_.motion();
  anchorLoad_ = weightLoad(anchor_, settings_.bed.gravity) +
                buoyancyLoad(anchor_, motion, settings_.bed.water.density, settings_.bed.gravity) +
                steel_.load().total;
  rodeLoad_ = {};
  if (!rode_.has_value()) return;
  const Vec3 shackle = worldPoint(anchor_, motion, anchor_.shackle);
  pull_ = rode_->at(time(), shackle, motion.velocityAt(shackle));
  rodeLoad_ = BodyLoad::at(pull_.force(), shackle, motion.centreOfMass);
  anchorLoad_ += rodeLoad_;
}

void Simulation::moveAnchor() {
  body_.integrate(anchorLoad_, settings_.bed.timeStep);
  const RigidMotion& motion = body_.motion();
  if (!motion.centreOfMass.allFinite() || !motion.velocity.allFinite() || !motion.spin.allFinite())
    throw SimulationError(
        fmt::format("the anchor flew apart {:.4g} s after the pull began", time()));
  rodeWork_ += body_.workOf(rodeLoad_);
}

EnergyLedger Simulation::absoluteEnergy() const {
  EnergyLedger ledger = kernel_->energy();
  steel_.addEnergy(*kernel_, body_.motion(), ledger);
  ledger.kinetic += body_.kineticEnergy();
  ledger.potential +=
      potentialEnergy(anchor_, body_.motion(), settings_.bed.water.density, settings_.bed.gravity);
  ledger.rode = rodeWork_;
  return ledger;
}

EnergyLedger Simulation::energy() const {
  EnergyLedger ledger = absoluteEnergy();
  ledger.potential -= startPotential_;
  return ledger;
}

std::uint64_t Simulation::stateHash() const {
  const RigidMotion& m = body_.motion();
  std::uint64_t hash = mixBits(kernel_->stateHash()) + mixBits(steel_.stateHash() ^ 1u);
  for (int k = 0; k < 3; ++k) {
    hash = hashBits(hash, m.centreOfMass[k]);
    hash = hashBits(hash, m.velocity[k]);
    hash = hashBits(hash, m.spin[k]);
  }
  for (int k = 0; k < 4; ++k) hash = hashBits(hash, m.orientation.coeffs()[k]);
  return hashBits(hash, step_);
}

std::vector<std::byte> Simulation::freeze() const {
  ByteWriter out;
  out.put(step_);
  out.put(rode_.has_value());
  out.putCoefficients(shackleAtStart_);
  out.put(rodeWork_);
  // The load of the last step, which is shown until the next.
  for (const Vec3* vector : {&pull_.pull, &pull_.chainWeight, &pull_.boatEnd})
    out.putCoefficients(*vector);
  for (const double value : {pull_.tension, pull_.horizontalLoad, pull_.storedEnergy})
    out.put(value);
  for (const double* term : {&start_.kinetic, &start_.elasticNormal, &start_.elasticTangential,
                             &start_.elasticRolling, &startPotential_})
    out.put(*term);
  for (const std::vector<std::byte>& part : {body_.freeze(), steel_.freeze(), kernel_->freeze()})
    out.putVector(part);
  return out.take();
}

void Simulation::thaw(std::span<const std::byte> bytes) {
  ByteReader in(bytes);
  step_ = in.get<std::uint64_t>();
  const bool pulling = in.get<bool>();
  in.getCoefficients(shackleAtStart_);
  rodeWork_ = in.get<double>();
  for (Vec3* vector : {&pull_.pull, &pull_.chainWeight, &pull_.boatEnd})
    in.getCoefficients(*vector);
  for (double* value : {&pull_.tension, &pull_.horizontalLoad, &pull_.storedEnergy})
    *value = in.get<double>();
  for (double* term : {&start_.kinetic, &start_.elasticNormal, &start_.elasticTangential,
                       &start_.elasticRolling, &startPotential_})
    *term = in.get<double>();
  std::vector<std::byte> part;
  in.getVector(part);
  body_.thaw(part);
  in.getVector(part);
  steel_.thaw(part);
  in.getVector(part);
  kernel_->thaw(part);
  rode_.reset();
  if (pulling) rode_.emplace(settings_.rode, shackleAtStart_);
}

}  // namespace holdground
