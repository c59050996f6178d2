#pragma once
// A plate to which the uppermost grains of a bed are glued: a lid that grips what it lies on.
//
// Each glued grain keeps its place under the plate by a spring and a dashpot and does not roll:
//   F = -k (x - X - o) - c (v - V),  torque = -c_r w;  the plate gets the opposite forces.
// k is the normal stiffness of a grain pressed by 0.5 % of its diameter, so that the glue is about
// as stiff as the bed; c is 0.2 of critical, c_r a tenth of (moment of inertia)/dt.
// Symbols: X, V of the plate; o the grain's place under it; x, v, w of the grain. Frame: world.
// Promises: the same bits for any number of threads.
// Checked by: tests/verification/probe/shear_cell_test.cpp

#include <vector>

#include "solver/probe/driven_body.hpp"
#include "solver/state/grain_kernel.hpp"
#include "solver/state/grain_set.hpp"

namespace holdground {

class GluedPlate {
 public:
  /// Glues all grains with centres above `lowest` [m]. The plate starts at the origin and weighs
  /// twice its grains. InputError when there are none.
  GluedPlate(const GrainSet& bed, double lowest, const GrainMaterial& material,
             const BodyDrive& drive);

  /// Adds the glue's forces; between updateNeighbours, which may have moved slots, and advance.
  void hold(GrainKernel& kernel, bool slotsMoved, double timeStep);
  /// Moves the plate one step under what its grains did to it.
  void move(double timeStep) { body_.integrate({reaction_, Vec3::Zero()}, timeStep); }

  DrivenBody& body() { return body_; }
  const DrivenBody& body() const { return body_; }
  std::size_t glued() const { return grains_.size(); }
  /// Of the glued grains on the plate, in the last step [N].
  const Vec3& reaction() const { return reaction_; }
  /// Mean height of the undersides of the glued grains [m].
  double underside() const { return undersideAtStart_ + body_.motion().pivot.z(); }

 private:
  struct Glued {
    std::uint32_t id, slot;
    Vec3 place;  ///< under the plate at the origin [m]
    double stiffness, damping;
  };

  static std::vector<Glued> choose(const GrainSet& bed, double lowest,
                                   const GrainMaterial& material);
  static double massOf(const std::vector<Glued>& grains, const GrainSet& bed, double density);

  std::vector<Glued> grains_;  ///< ascending id
  DrivenBody body_;
  Vec3 reaction_ = Vec3::Zero();
  double undersideAtStart_ = 0.0;
};

}  // namespace holdground
