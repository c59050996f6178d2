#include "solver/anchor/extents.hpp"

#include "solver/anchor/attitude.hpp"
#include "solver/geometry/bounds.hpp"

namespace holdground {

namespace {

template <typename Counts>
Vec3 extentsOf(const Anchor& anchor, Counts counts) {
  const Mat3 toChord = chordFrame(anchor).transpose();
  Bounds bounds;
  for (const AnchorPart& part : anchor.parts) {
    if (!counts(part)) continue;
    for (const Vec3& v : part.mesh.vertices) bounds.add(toChord * v);
  }
  return bounds.isEmpty() ? Vec3::Zero() : bounds.size();
}

}  // namespace

Vec3 extents(const Anchor& anchor) {
  return extentsOf(anchor, [](const AnchorPart&) { return true; });
}

Vec3 extents(const Anchor& anchor, PartRole role) {
  return extentsOf(anchor, [role](const AnchorPart& part) { return part.role == role; });
}

}  // namespace holdground
