// What each contact with the steel can hold at no normal force.
#include "solver/contact/grain_mesh_contacts.hpp"

namespace holdground {

void GrainMeshContacts::shareAdhesion() {
  using enum StickyContact::State;
  sticky_.clear();
  for (std::size_t c = 0; c < candidates_.size(); ++c) {
    const Outcome& outcome = outcomes_[c];
    const double diameter = 2.0 * candidates_[c].memory.radius;
    for (int k = 0; k < outcome.found.size; ++k) {
      const SurfaceMinimum& minimum = outcome.found.items[static_cast<std::size_t>(k)];
      sticky_.push_back({minimum.point, minimum.normal, diameter,
                         k < outcome.touching ? kTouching : kNear, candidates_[c].memory.soil});
    }
  }
  shares_.share(sticky_);
  auto share = sticky_.begin();
  for (Outcome& outcome : outcomes_)
    for (int k = 0; k < outcome.found.size; ++k, ++share)
      outcome.adhesion[static_cast<std::size_t>(k)] = share->force;
}

}  // namespace holdground
