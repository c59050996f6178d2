#include "solver/contact/grain_mesh_contacts.hpp"

#include <omp.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "solver/contact/grain_mesh_view.hpp"

namespace holdground {

GrainMeshContacts::GrainMeshContacts(std::span<const ContactPart> parts, const Vec3& centreOfMass,
                                     const BodyCompliance& compliance,
                                     std::span<const GrainMaterial> soils, double largestRadius)
    : soils_(soils.begin(), soils.end()),
      compliance_(compliance),
      largestRadius_(largestRadius),
      bodyAllowance_(0.1 * largestRadius) {
  std::vector<const TriangleMesh*> meshes;
  std::vector<double> adhesion;
  for (const ContactPart& part : parts) {
    meshes.push_back(part.mesh);
    for (std::size_t s = 0; s < soils_.size(); ++s) {
      const GrainMaterial& soil = soils_[s];
      const Surface& surface =
          s == 0 || part.onLowerSoils.empty() ? part.surface : part.onLowerSoils.at(s - 1);
      laws_.push_back(contactLaw(effectiveModuliOnRigid(soil.youngModulus, soil.poissonRatio),
                                 surface.friction, surface.rollingFriction,
                                 soil.restitutionCoefficient));
      if (surface.adhesion > 0.0) laws_.back().stuckRolling = kStuckRolling;
      adhesion.push_back(surface.adhesion);
      // On steel 4 R* is two diameters: a quarter of the stress and half of the range.
      pulls_.push_back({0.25 * surface.tension, 0.5 * soil.pullOffRange});
      if (surface.tension > 0.0) gapShare_ = std::max(gapShare_, 2.0 * soil.pullOffRange);
    }
  }
  const bool isSticky = *std::max_element(adhesion.begin(), adhesion.end()) > 0.0;
  sightShare_ = std::max(gapShare_, isSticky ? 2.0 * AdhesiveShares::kNearness : 0.0);
  ContactSurface surface = joinSurfaces(meshes);
  for (Vec3& vertex : surface.mesh.vertices) {
    vertex -= centreOfMass;
    bounds_.add(vertex);
  }
  slidingWork_.assign(surface.mesh.triangles.size(), 0.0);
  shares_ = AdhesiveShares(surface, adhesion, 2.0 * largestRadius, soils_.size());
  minima_ = SurfaceMinima(std::move(surface));
  load_.part.resize(parts.size());
}

Vec3 GrainMeshContacts::centreFromBody(const Vec3& position, const RigidMotion& motion,
                                       const Domain& domain) {
  return motion.orientation.conjugate() *
         View::offsetFromBody(position, motion, domain, Vec3::Zero());
}

/// Between two refreshes a candidate is seen at the image it was listed with: its triangles are
/// those near that one, also when another image comes nearer to the body.
GrainMeshContacts::View GrainMeshContacts::viewOf(const Candidate& candidate,
                                                  const GrainKernel& kernel,
                                                  const RigidMotion& motion,
                                                  const Mat3& rotation) const {
  const GrainSample grain = kernel.sample(candidate.slot);
  return View(grain,
              View::offsetFromBody(grain.position, motion, kernel.domain(), candidate.offset),
              motion, rotation, soils_[grain.soil]);
}

// ---- which grains are near -------------------------------------------------------------------

Bounds GrainMeshContacts::boxAround(const RigidMotion& motion, double margin) const {
  const Mat3 rotation = motion.orientation.toRotationMatrix();
  const Vec3 middle = motion.centreOfMass + rotation * bounds_.middle();
  const Vec3 half = rotation.cwiseAbs() * (0.5 * bounds_.size()) + Vec3::Constant(margin);
  return {middle - half, middle + half};
}

bool GrainMeshContacts::hasComeTooFar(const RigidMotion& motion) const {
  const double travel = (motion.centreOfMass - refreshedAt_.centreOfMass).norm();
  const double turn = (refreshedAt_.orientation.conjugate() * motion.orientation).vec().norm();
  // A chord of 2 sin(angle/2) radii is all that a vertex can have moved by turning.
  return travel + 2.0 * turn * minima_.extent() > bodyAllowance_;
}

void GrainMeshContacts::update(const GrainKernel& kernel, const RigidMotion& motion, bool rebuilt) {
  if (rebuilt || needsRefresh_ || hasComeTooFar(motion)) refresh(kernel, motion);
}

std::vector<GrainMeshContacts::Memory> GrainMeshContacts::memories() const {
  if (!thawed_.empty()) return thawed_;
  std::vector<Memory> result;
  for (const Candidate& candidate : candidates_)
    if (candidate.memory.size > 0) result.push_back(candidate.memory);
  return result;
}

// Between two refreshes a grain moves at most twice the kernel's travel limit (there and back
// across the place where the kernel saw it last) and the body at most its allowance: triangles
// within that skin of a grain are all that it can meet.
void GrainMeshContacts::refresh(const GrainKernel& kernel, const RigidMotion& motion) {
  skin_ = 2.0 * kernel.travelLimit() + bodyAllowance_;
  const double largestSight = largestRadius_ * (1.0 + sightShare_);
  if (largestSight + skin_ > grid_.reach())  // with room, so that a growing skin seldom asks
    grid_ = TriangleGrid(surface().mesh, largestSight + 1.5 * skin_);
  const std::vector<Memory> old = memories();
  thawed_.clear();
  needsRefresh_ = false;
  refreshedAt_ = motion;
  ++refreshCount_;

  const Mat3 rotation = motion.orientation.toRotationMatrix();
  const Bounds box = boxAround(motion, largestSight + skin_);
  slots_.clear();
  kernel.collectSlotsInBox(box.lower, box.upper, slots_);

  candidates_.clear();
  nearTriangles_.clear();
  for (const std::uint32_t slot : slots_) {
    const GrainSample grain = kernel.sample(slot);
    Candidate candidate;
    candidate.slot = slot;
    candidate.offset = View::offsetFromBody(grain.position, motion, kernel.domain(), Vec3::Zero());
    const View view(grain, candidate.offset, motion, rotation, soils_[grain.soil]);
    candidate.memory.id = grain.id;
    candidate.memory.radius = grain.radius;
    candidate.memory.soil = grain.soil;
    candidate.firstTriangle = static_cast<std::uint32_t>(nearTriangles_.size());
    for (const std::uint32_t triangle : grid_.candidates(view.centre))
      if (minima_.mayTouch(triangle, view.centre, view.reach() + sightShare_ * view.radius, skin_))
        nearTriangles_.push_back(triangle);
    candidate.triangleCount =
        static_cast<std::uint32_t>(nearTriangles_.size()) - candidate.firstTriangle;
    if (candidate.triangleCount > 0) candidates_.push_back(candidate);
  }
  std::sort(candidates_.begin(), candidates_.end(),
            [](const Candidate& a, const Candidate& b) { return a.memory.id < b.memory.id; });

  auto candidate = candidates_.begin();
  for (Memory memory : old) {
    while (candidate != candidates_.end() && candidate->memory.id < memory.id) ++candidate;
    if (candidate != candidates_.end() && candidate->memory.id == memory.id) {
      candidate->memory = memory;
    } else {
      remember(MinimumList{}, nullptr, memory, dissipated_);
    }
  }
}

// ---- forces ----------------------------------------------------------------------------------

void GrainMeshContacts::findContacts(const Candidate& candidate, const View& view,
                                     MinimumList& found) const {
  std::array<std::uint32_t, kMaxContacts> guess{};
  for (int k = 0; k < candidate.memory.size; ++k)
    guess[static_cast<std::size_t>(k)] =
        candidate.memory.contacts[static_cast<std::size_t>(k)].triangle;
  minima_.find(view.centre, view.reach() + sightShare_ * view.radius,
               {nearTriangles_.data() + candidate.firstTriangle, candidate.triangleCount},
               {guess.data(), static_cast<std::size_t>(candidate.memory.size)}, found);
  found.size = std::min(found.size, kMaxContacts);
}

// Which old contact each new one continues: one on the same patch (the nearest of them), else one
// close by in place and direction; -1 when it is new.
std::array<int, GrainMeshContacts::kMaxContacts> GrainMeshContacts::sourcesOf(
    const MinimumList& found, const Memory& memory) const {
  std::array<bool, kMaxContacts> used{};
  std::array<int, kMaxContacts> source;
  source.fill(-1);
  for (const bool byPatch : {true, false}) {
    for (int k = 0; k < found.size; ++k) {
      int& from = source[static_cast<std::size_t>(k)];
      if (from >= 0) continue;
      const SurfaceMinimum& minimum = found.items[static_cast<std::size_t>(k)];
      double nearest = byPatch ? 1e300 : 0.5 * memory.radius;
      for (int j = 0; j < memory.size; ++j) {
        const Contact& contact = memory.contacts[static_cast<std::size_t>(j)];
        const bool related = byPatch ? contact.patches.sharesWith(minimum.patches)
                                     : contact.normal.dot(minimum.normal) > 0.5;
        const double distance = (contact.point - minimum.point).norm();
        if (used[static_cast<std::size_t>(j)] || !related || distance >= nearest) continue;
        nearest = distance;
        from = j;
      }
      if (from >= 0) used[static_cast<std::size_t>(from)] = true;
    }
  }
  return source;
}

// A contact in front of the surface is lost for one of two reasons: the grain has gone out of
// reach, or its centre has come behind the surface. A step is short, so the old place tells which.
bool GrainMeshContacts::hasPassed(const View& view, const Contact& contact) const {
  const Vec3 away = view.centre - contact.point;
  const Vec3& face = surface().topology.normals[contact.triangle];
  return away.norm() < view.reach() && away.dot(contact.normal) <= 0.0 && away.dot(face) <= 0.0;
}

// Hands each new contact the history of the old one that it continues. What is left over has ended:
// returns how many of these ended because the grain passed into the steel.
// @param view null for a grain that is no longer near
std::uint64_t GrainMeshContacts::remember(const MinimumList& found, const View* view,
                                          Memory& memory, ContactDissipation& dissipation) const {
  std::array<Contact, kMaxContacts> old = memory.contacts;
  const std::array<int, kMaxContacts> source = sourcesOf(found, memory);
  std::uint64_t passages = 0;
  for (int j = 0; j < memory.size; ++j) {
    if (std::find(source.begin(), source.end(), j) != source.end()) continue;
    Contact& contact = old[static_cast<std::size_t>(j)];
    if (view != nullptr && hasPassed(*view, contact)) ++passages;
    endContact(laws_[lawOf(minima_.part(contact.triangle), memory.soil)], memory.radius,
               contact.history, dissipation);
  }
  memory.size = found.size;
  for (int k = 0; k < found.size; ++k) {
    const SurfaceMinimum& minimum = found.items[static_cast<std::size_t>(k)];
    const int from = source[static_cast<std::size_t>(k)];
    Contact& contact = memory.contacts[static_cast<std::size_t>(k)];
    contact.history = from >= 0 ? old[static_cast<std::size_t>(from)].history : ContactHistory{};
    contact.point = minimum.point;
    contact.normal = minimum.normal;
    contact.triangle = minimum.triangle;
    contact.patches = minimum.patches;
  }
  return passages;
}

void GrainMeshContacts::look(const Candidate& candidate, const View& view, Outcome& outcome) const {
  findContacts(candidate, view, outcome.found);
  const double pulled = view.reach() + gapShare_ * view.radius;
  outcome.touching = outcome.size = 0;
  for (const SurfaceMinimum& minimum : outcome.found) {
    if (minimum.distance < view.reach()) ++outcome.touching;
    if (minimum.distance < view.reach() || minimum.distance < pulled) ++outcome.size;
  }
  outcome.adhesion.fill(0.0);
}

void GrainMeshContacts::touch(Candidate& candidate, GrainKernel& kernel, const View& view,
                              const Mat3& rotation, double timeStep, Outcome& outcome) {
  Memory& memory = candidate.memory;
  MinimumList found = outcome.found;
  found.size = outcome.touching;
  outcome.dissipation = {};
  outcome.largestOverlapRatio = 0.0;
  outcome.normalForce = 0.0;
  outcome.passages = 0;
  if (outcome.size == 0 && memory.size == 0) return;
  outcome.passages = remember(found, &view, memory, outcome.dissipation);

  Vec3 force = Vec3::Zero(), torque = Vec3::Zero();
  for (int k = 0; k < outcome.size; ++k) {
    const auto at = static_cast<std::size_t>(k);
    const SurfaceMinimum& minimum = found.items[at];
    const std::size_t law = lawOf(minima_.part(minimum.triangle), view.soil);
    const double overlap = view.reach() - minimum.distance;
    const Vec3 point = minimum.point - view.setback * minimum.normal;
    const double tension = attraction(pulls_[law], view.radius, overlap);
    ContactDissipation dissipation;
    ContactForce contact;
    if (k < found.size) {
      const double mass = 1.0 / (1.0 / view.mass + compliance_.along(minimum.normal, point));
      const ContactGeometry geometry{
          minimum.normal, overlap, view.radius, mass,
          rollingInertia(1.0 / view.mass, view.radius, 0.0, view.radius)};
      const ContactMotion relative{view.velocityAt(point), view.spin - view.bodySpin};
      contact =
          evaluateContact(laws_[law], geometry, relative, timeStep, memory.contacts[at].history,
                          dissipation, {outcome.adhesion[at], tension});
    } else {
      contact.normal = -tension;
    }
    const Vec3 push = contact.normal * minimum.normal + contact.tangential;
    force += push;
    outcome.normalForce += contact.normal;
    torque += (point - view.centre).cross(push) + contact.rolling;
    outcome.load[at] = {-push, -point.cross(push) - contact.rolling};
    outcome.triangle[at] = minimum.triangle;
    outcome.slidingWork[at] = dissipation.friction;
    outcome.dissipation += dissipation;
    outcome.largestOverlapRatio =
        std::max(outcome.largestOverlapRatio, overlap / (2.0 * view.radius));
  }
  if (outcome.size > 0) kernel.addForce(candidate.slot, rotation * force, rotation * torque);
}

const MeshLoad& GrainMeshContacts::computeForces(GrainKernel& kernel, const RigidMotion& motion,
                                                 double timeStep) {
  const Mat3 rotation = motion.orientation.toRotationMatrix();
  const auto count = static_cast<std::int64_t>(candidates_.size());
  outcomes_.resize(candidates_.size());
  // Adhesion is shared by where all contacts are now, so they are found before any acts.
  const bool isSticky = !shares_.empty();
  if (isSticky) {
#pragma omp parallel for schedule(static) if (count > 32)
    for (std::int64_t k = 0; k < count; ++k) {
      const auto at = static_cast<std::size_t>(k);
      look(candidates_[at], viewOf(candidates_[at], kernel, motion, rotation), outcomes_[at]);
    }
    shareAdhesion();
  }
#pragma omp parallel for schedule(static) if (count > 32)
  for (std::int64_t k = 0; k < count; ++k) {
    Candidate& candidate = candidates_[static_cast<std::size_t>(k)];
    Outcome& outcome = outcomes_[static_cast<std::size_t>(k)];
    const View view = viewOf(candidate, kernel, motion, rotation);
    if (!isSticky) look(candidate, view, outcome);
    touch(candidate, kernel, view, rotation, timeStep, outcome);
  }
  sum(rotation);
  return load_;
}

void GrainMeshContacts::sum(const Mat3& rotation) {
  load_.contacts = 0;
  load_.largestOverlapRatio = 0.0;
  load_.normalForce = 0.0;
  load_.total = {};
  std::fill(load_.part.begin(), load_.part.end(), BodyLoad{});
  for (std::size_t k = 0; k < outcomes_.size(); ++k) {
    const Outcome& outcome = outcomes_[k];
    dissipated_ += outcome.dissipation;
    load_.contacts += static_cast<std::size_t>(outcome.touching);
    load_.largestOverlapRatio = std::max(load_.largestOverlapRatio, outcome.largestOverlapRatio);
    load_.normalForce += outcome.normalForce;
    penetration_.passages += outcome.passages;
    for (int j = 0; j < outcome.size; ++j) {
      const auto at = static_cast<std::size_t>(j);
      const std::uint32_t triangle = outcome.triangle[at];
      load_.part[minima_.part(triangle)] += outcome.load[at];
      slidingWork_[triangle] += outcome.slidingWork[at];
    }
  }
  penetration_.largestOverlapRatio =
      std::max(penetration_.largestOverlapRatio, load_.largestOverlapRatio);
  for (BodyLoad& part : load_.part) {
    part = {rotation * part.force, rotation * part.torque};
    load_.total += part;
  }
}

// ---- books ------------------------------------------------------------------------------------

void GrainMeshContacts::addEnergy(const GrainKernel& kernel, const RigidMotion& motion,
                                  EnergyLedger& ledger) const {
  ledger.friction += dissipated_.friction;
  ledger.normalDamping += dissipated_.normalDamping;
  ledger.tangentialDamping += dissipated_.tangentialDamping;
  ledger.rolling += dissipated_.rolling;
  ledger.historyArtefact += dissipated_.historyArtefact;
  const Mat3 rotation = motion.orientation.toRotationMatrix();
  for (const Candidate& candidate : candidates_) {
    const View view = viewOf(candidate, kernel, motion, rotation);
    MinimumList found;
    findContacts(candidate, view, found);
    for (const SurfaceMinimum& minimum : found) {
      const std::size_t law = lawOf(minima_.part(minimum.triangle), view.soil);
      const double overlap = view.reach() - minimum.distance;
      ledger.elasticNormal += normalElasticEnergy(laws_[law], view.radius, overlap) +
                              attractionEnergy(pulls_[law], view.radius, overlap);
    }
    for (int k = 0; k < candidate.memory.size; ++k) {
      const Contact& contact = candidate.memory.contacts[static_cast<std::size_t>(k)];
      const ContactLaw& law = laws_[lawOf(minima_.part(contact.triangle), view.soil)];
      const double kt = contact.history.tangentialStiffness;
      ledger.elasticTangential += springEnergy(contact.history.tangentialForce, kt);
      ledger.elasticRolling +=
          springEnergy(contact.history.rollingMoment, rollingStiffness(law, view.radius, kt));
    }
  }
}

}  // namespace holdground
