#include "solver/state/grain_set.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "solver/core/errors.hpp"

namespace holdground {

void GrainSet::stop() {
  std::fill(velocity.begin(), velocity.end(), Vec3::Zero());
  std::fill(spin.begin(), spin.end(), Vec3::Zero());
  for (Stone& stone : stones) stone.velocity = stone.spin = Vec3::Zero();
}

void GrainSet::checkSoils(std::size_t soils) const {
  if (!soil.empty() && soil.size() != size())
    throw InputError(fmt::format("bed: soils of {} grains of {}", soil.size(), size()));
  const auto last = std::max_element(soil.begin(), soil.end());
  if (last != soil.end() && *last >= soils)
    throw InputError(fmt::format("bed: a grain of soil {}; there are {}", *last, soils));
  if (soils > 1 && !stones.empty())
    throw InputError("bed: stones of several spheres in a stack; allowed in a bed of one soil");
}

}  // namespace holdground
