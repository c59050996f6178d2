#include "solver/state/grain_set.hpp"

#include <algorithm>

namespace holdground {

void GrainSet::stop() {
  std::fill(velocity.begin(), velocity.end(), Vec3::Zero());
  std::fill(spin.begin(), spin.end(), Vec3::Zero());
  for (Stone& stone : stones) stone.velocity = stone.spin = Vec3::Zero();
}

}  // namespace holdground
