#include "solver/state/select_grains.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace holdground {

namespace {

/// A stone goes as a whole.
std::vector<char> staying(const GrainSet& grains, const std::function<bool(std::size_t)>& stays) {
  std::vector<char> result(grains.size());
  for (std::size_t k = 0; k < grains.size(); ++k) result[k] = stays(k) ? 1 : 0;
  for (const Stone& stone : grains.stones) {
    const auto first = result.begin() + stone.firstSphere, end = first + stone.sphereCount();
    if (std::find(first, end, 0) != end) std::fill(first, end, 0);
  }
  return result;
}

}  // namespace

GrainSet selectGrains(const GrainSet& grains, const std::function<bool(std::size_t)>& stays) {
  constexpr std::uint32_t kGone = 0xffffffffu;
  GrainSet kept;
  kept.domain = grains.domain;
  const std::vector<char> remains = staying(grains, stays);
  std::vector<std::uint32_t> newId(grains.size(), kGone);
  for (std::size_t k = 0; k < grains.size(); ++k) {
    if (remains[k] == 0) continue;
    newId[k] = static_cast<std::uint32_t>(kept.size());
    kept.position.push_back(grains.position[k]);
    kept.velocity.push_back(grains.velocity[k]);
    kept.spin.push_back(grains.spin[k]);
    kept.radius.push_back(grains.radius[k]);
    kept.frozen.push_back(grains.frozen[k]);
    if (!grains.soil.empty()) kept.soil.push_back(grains.soil[k]);
  }
  for (ContactMemory contact : grains.contacts) {
    contact.a = newId[contact.a];
    contact.b = newId[contact.b];
    if (contact.a != kGone && contact.b != kGone) kept.contacts.push_back(contact);
  }
  for (Stone stone : grains.stones) {
    if (newId[stone.firstSphere] == kGone) continue;
    stone.firstSphere = newId[stone.firstSphere];
    kept.stones.push_back(std::move(stone));
  }
  return kept;
}

}  // namespace holdground
