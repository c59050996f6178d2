#include "solver/state/select_grains.hpp"

namespace holdground {

GrainSet selectGrains(const GrainSet& grains, const std::function<bool(std::size_t)>& stays) {
  constexpr std::uint32_t kGone = 0xffffffffu;
  GrainSet kept;
  kept.domain = grains.domain;
  std::vector<std::uint32_t> newId(grains.size(), kGone);
  for (std::size_t k = 0; k < grains.size(); ++k) {
    if (!stays(k)) continue;
    newId[k] = static_cast<std::uint32_t>(kept.size());
    kept.position.push_back(grains.position[k]);
    kept.velocity.push_back(grains.velocity[k]);
    kept.spin.push_back(grains.spin[k]);
    kept.radius.push_back(grains.radius[k]);
    kept.frozen.push_back(grains.frozen[k]);
  }
  for (ContactMemory contact : grains.contacts) {
    contact.a = newId[contact.a];
    contact.b = newId[contact.b];
    if (contact.a != kGone && contact.b != kGone) kept.contacts.push_back(contact);
  }
  return kept;
}

}  // namespace holdground
