#include "tests/support/random_grains.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <stdexcept>

namespace holdground {

Vec3 nearestImage(const Domain& domain, const Vec3& a, const Vec3& b) {
  Vec3 d = b - a;
  d.x() -= domain.lengthX * std::round(d.x() / domain.lengthX);
  d.y() -= domain.lengthY * std::round(d.y() / domain.lengthY);
  return d;
}

GrainSet randomGrains(const RandomGrains& request) {
  std::mt19937 engine(request.seed);
  const auto between = [&engine](double low, double high) {
    return low + (high - low) * (engine() / 4294967296.0);
  };
  const Domain& box = request.domain;
  const double margin = request.margin;
  GrainSet set;
  set.domain = box;
  for (int attempts = 0; set.size() < request.count; ++attempts) {
    if (attempts > 1000000) throw std::runtime_error("no room for so many grains");
    const double radius = between(request.smallestRadius, request.largestRadius);
    const Vec3 place(between(-0.5, 0.5) * box.lengthX, between(-0.5, 0.5) * box.lengthY,
                     between(box.floorZ + margin, box.ceilingZ - margin));
    bool free = true;
    for (std::size_t k = 0; free && k < set.size() && request.largestOverlap < 1.0; ++k) {
      const double smaller = 2.0 * std::min(radius, set.radius[k]);
      free = nearestImage(box, place, set.position[k]).norm() >
             radius + set.radius[k] - request.largestOverlap * smaller;
    }
    if (!free) continue;
    const double v = request.speed;
    const bool frozen = between(0.0, 1.0) < request.frozenShare;
    const Vec3 velocity(between(-v, v), between(-v, v), between(-v, v));
    set.position.push_back(place);
    set.velocity.push_back(frozen ? Vec3::Zero() : velocity);
    set.spin.push_back(Vec3::Zero());
    set.radius.push_back(radius);
    set.frozen.push_back(frozen ? 1 : 0);
  }
  return set;
}

}  // namespace holdground
