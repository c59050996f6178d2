#include "solver/anchor/extents.hpp"

#include <limits>

#include "solver/anchor/attitude.hpp"

namespace holdground {

namespace {

template <typename Counts>
Vec3 extentsOf(const Anchor& anchor, Counts counts) {
  const Mat3 toChord = chordFrame(anchor).transpose();
  Vec3 lower = Vec3::Constant(std::numeric_limits<double>::infinity()), upper = -lower;
  for (const AnchorPart& part : anchor.parts) {
    if (!counts(part)) continue;
    for (const Vec3& v : part.mesh.vertices) {
      const Vec3 place = toChord * v;
      lower = lower.cwiseMin(place);
      upper = upper.cwiseMax(place);
    }
  }
  return lower.x() <= upper.x() ? Vec3(upper - lower) : Vec3::Zero();
}

}  // namespace

Vec3 extents(const Anchor& anchor) {
  return extentsOf(anchor, [](const AnchorPart&) { return true; });
}

Vec3 extents(const Anchor& anchor, PartRole role) {
  return extentsOf(anchor, [role](const AnchorPart& part) { return part.role == role; });
}

}  // namespace holdground
