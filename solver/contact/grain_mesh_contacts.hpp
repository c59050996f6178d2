#pragma once
// Grains against the steel: finds touching grains, applies the contact law, keeps the memory.
//
// Law: hertz_mindlin against a rigid plane: R* = grain radius, moduli of the grain alone, friction
//   and rolling resistance of the part's surface; 1/m* = 1/(grain mass) + what the body yields
//   along the normal at the point of contact, so that a light body rebounds as the restitution
//   says. A contact acts at p, on the line from the grain's centre x through the nearest point of
//   the surface and |p - x| = distance + setback away: arm p - x on the grain, p - (centre of mass)
//   on the body, and the relative velocity is taken with the same arms, so momentum, angular
//   momentum and power balance exactly. With no setback p is that nearest point.
// Adhesion: what a part holds along itself at no normal force is shared among the grains on it
//   (adhesive_shares.hpp). Tension pulls each
//   grain by stress d^2 (a wall's dense layer has a grain on 0.96 d^2: discs packed at random fill
//   0.82) over a gap as two grains pull each other (pull_off.hpp).
// Memory lives in the body's frame, keyed by grain id; it follows the grain from triangle to
//   triangle, over a crease, and through slot changes: by patch first, else by nearest point.
// Frames: body frame = anchor frame moved to the centre of mass; all results world.
// Promises: same bits for any number of threads (results per grain, summed in order of grain id).
// Checked by tests/unit/contact/grain_mesh_contacts_test.cpp, tests/verification/contact/.

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "solver/contact/adhesive_shares.hpp"
#include "solver/contact/hertz_mindlin.hpp"
#include "solver/contact/surface_minima.hpp"
#include "solver/geometry/bounds.hpp"
#include "solver/geometry/triangle_grid.hpp"
#include "solver/state/energy_ledger.hpp"
#include "solver/state/grain_kernel.hpp"
#include "solver/state/rigid_motion.hpp"
#include "solver/state/surface.hpp"

namespace holdground {

struct ContactPart {
  const TriangleMesh* mesh = nullptr;   ///< closed, or an open sheet that is touched from its front
  Surface surface;                      ///< on soil 0, and on those below where not said
  std::vector<Surface> onLowerSoils{};  ///< on soils 1, 2, ...; empty: alike on all
};

/// What all grains do to a body at one instant.
struct MeshLoad {
  BodyLoad total;
  std::vector<BodyLoad> part;        ///< of each part, torque about the body's centre of mass
  std::size_t contacts = 0;          ///< grain-patch contacts
  double largestOverlapRatio = 0.0;  ///< overlap over grain diameter [-]
  double normalForce = 0.0;          ///< sum of the contacts' normal forces [N]
};

/// What went too far into the steel since the beginning.
struct SteelPenetration {
  double largestOverlapRatio = 0.0;  ///< overlap over grain diameter [-]
  /// Contacts that ended because the grain's centre passed through the surface: the steel then
  /// holds it no longer, or from the other side.
  std::uint64_t passages = 0;
};

/// Grains that touch each other though steel lies between their centres.
struct PairsThroughSteel {
  std::uint64_t pairs = 0;
  double normalForce = 0.0;   ///< sum of their elastic normal forces [N]
  double shareOfSteel = 0.0;  ///< over the sum of the normal forces on the steel, of the last step
};

class GrainMeshContacts {
 public:
  /// @param parts meshes in one common frame. @param centreOfMass of the body in that frame [m].
  /// @param largestRadius of any grain it may meet [m].
  GrainMeshContacts(std::span<const ContactPart> parts, const Vec3& centreOfMass,
                    const BodyCompliance& compliance, std::span<const GrainMaterial> soils,
                    double largestRadius);
  /// In a bed of one soil.
  GrainMeshContacts(std::span<const ContactPart> parts, const Vec3& centreOfMass,
                    const BodyCompliance& compliance, const GrainMaterial& material,
                    double largestRadius)
      : GrainMeshContacts(parts, centreOfMass, compliance, std::span(&material, 1), largestRadius) {
  }

  /// Brings the list of near grains up to date when the kernel has rebuilt its own (slots moved) or
  /// the body has come too far. Call every step, after kernel.updateNeighbours().
  void update(const GrainKernel& kernel, const RigidMotion& motion, bool rebuilt);

  /// Adds contact forces to the grains, advances memories, books dissipation. Call
  /// before kernel.advance(). Against a periodic bed each grain is seen at the image that was
  /// nearest to the body's centre of mass when it was listed.
  const MeshLoad& computeForces(GrainKernel& kernel, const RigidMotion& motion, double timeStep);

  const MeshLoad& load() const { return load_; }
  const SteelPenetration& penetration() const { return penetration_; }
  /// Costs a search among the grains about the body.
  PairsThroughSteel pairsThroughSteel(const GrainKernel& kernel, const RigidMotion& motion) const;

  /// Adds the path integrals so far and the elastic energy at the present positions.
  void addEnergy(const GrainKernel& kernel, const RigidMotion& motion, EnergyLedger& ledger) const;

  /// Frictional work done on each triangle so far [J]; triangles of `surface()`.
  const std::vector<double>& slidingWork() const { return slidingWork_; }
  /// The joined surface, body frame.
  const ContactSurface& surface() const { return minima_.surface(); }

  /// Hash of all memories, by grain id.
  std::uint64_t stateHash() const;
  std::vector<std::byte> freeze() const;
  void thaw(std::span<const std::byte> bytes);

  /// Grains near enough to be tested each step.
  std::size_t candidateCount() const { return candidates_.size(); }
  std::size_t refreshCount() const { return refreshCount_; }

 private:
  static constexpr int kMaxContacts = 6;

  struct Contact {  ///< body frame
    ContactHistory history;
    Vec3 point = Vec3::Zero();
    Vec3 normal = Vec3::Zero();
    std::uint32_t triangle = 0;
    PatchSet patches;
  };
  struct Memory {  ///< of one grain
    std::uint32_t id = 0;
    double radius = 0.0;  ///< [m]
    std::uint8_t soil = 0;
    int size = 0;
    std::array<Contact, kMaxContacts> contacts;
  };
  struct Candidate {
    std::uint32_t slot = 0;
    Vec3 offset = Vec3::Zero();       ///< from the body's centre of mass when it was listed [m]
    std::uint32_t firstTriangle = 0;  ///< into nearTriangles_
    std::uint32_t triangleCount = 0;
    Memory memory;
  };
  struct Outcome {                              ///< of one candidate in one step
    MinimumList found;                          ///< nearest first
    int touching = 0;                           ///< the first of those
    int size = 0;                               ///< with those that are only pulled, over a gap
    std::array<double, kMaxContacts> adhesion;  ///< its share [N]
    std::array<BodyLoad, kMaxContacts> load;    ///< on the body, body frame
    std::array<std::uint32_t, kMaxContacts> triangle;
    std::array<double, kMaxContacts> slidingWork;
    ContactDissipation dissipation;
    double largestOverlapRatio = 0.0;
    double normalForce = 0.0;
    std::uint64_t passages = 0;
  };
  struct View;  ///< a grain seen from the body

  /// Of the image nearest to the body, body frame [m].
  static Vec3 centreFromBody(const Vec3& position, const RigidMotion& motion, const Domain& domain);
  /// World box that holds all within `margin` of the mesh.
  Bounds boxAround(const RigidMotion& motion, double margin) const;
  void refresh(const GrainKernel& kernel, const RigidMotion& motion);
  bool hasComeTooFar(const RigidMotion& motion) const;
  std::vector<Memory> memories() const;
  View viewOf(const Candidate& candidate, const GrainKernel& kernel, const RigidMotion& motion,
              const Mat3& rotation) const;
  void findContacts(const Candidate& candidate, const View& view, MinimumList& found) const;
  void look(const Candidate& candidate, const View& view, Outcome& outcome) const;
  /// Says what each contact can hold along the steel at no normal force.
  void shareAdhesion();
  void touch(Candidate& candidate, GrainKernel& kernel, const View& view, const Mat3& rotation,
             double timeStep, Outcome& outcome);
  std::array<int, kMaxContacts> sourcesOf(const MinimumList& found, const Memory& memory) const;
  std::uint64_t remember(const MinimumList& found, const View* view, Memory& memory,
                         ContactDissipation& dissipation) const;
  /// Place of the law of a part with a soil.
  std::size_t lawOf(std::size_t part, std::size_t soil) const {
    return part * soils_.size() + soil;
  }
  bool hasPassed(const View& view, const Contact& contact) const;
  void sum(const Mat3& rotation);

  SurfaceMinima minima_;
  TriangleGrid grid_;
  std::vector<GrainMaterial> soils_;
  std::vector<ContactLaw> laws_;  ///< of each part with each soil, part by part
  std::vector<PullOff> pulls_;    ///< tension, alike
  double gapShare_ = 0.0;         ///< over which it pulls, over the grain's radius [-]
  double sightShare_ = 0.0;       ///< up to which a grain matters to the steel, alike
  AdhesiveShares shares_;
  std::vector<StickyContact> sticky_;  ///< scratch
  BodyCompliance compliance_;
  double largestRadius_ = 0.0;
  double bodyAllowance_ = 0.0;  ///< the body may move this far between refreshes [m]
  double skin_ = 0.0;           ///< of the present lists [m]
  Bounds bounds_;               ///< of the mesh, body frame [m]

  std::vector<Candidate> candidates_;  ///< ascending grain id
  std::vector<std::uint32_t> nearTriangles_;
  std::vector<Memory> thawed_;  ///< waiting for the next refresh
  std::vector<std::uint32_t> slots_;
  RigidMotion refreshedAt_;
  bool needsRefresh_ = true;
  std::size_t refreshCount_ = 0;

  std::vector<Outcome> outcomes_;
  MeshLoad load_;
  SteelPenetration penetration_;
  ContactDissipation dissipated_;
  std::vector<double> slidingWork_;
};

}  // namespace holdground
