#pragma once
// A bed of a few hundred grains with a steel block in it: enough for rebuilds, wraps and chaos.

#include <cstdint>

#include "tests/support/contact_world.hpp"

namespace holdground {

/// Loose grains of 18 to 25 mm radius on a jittered lattice over a frozen layer, in a tile of
/// 0.6 x 0.6 m; not settled, coming down at 1 m/s.
GrainSet smallBed(std::uint64_t seed = 1, int layers = 6);

/// Sand-like settings for that bed, under water.
ContactWorldSettings smallBedSettings(KernelKind kind);

/// A block of steel of 0.3 x 0.24 x 0.03 m.
TriangleMesh steelBlockMesh();
/// The block lying in the middle of the bed, in room made for it: touched on all sides as soon as
/// the grains around it come down.
ContactWorld blockInSmallBed(KernelKind kind, const Surface& surface = {0.3, 0.05});
/// Steel that grains stick to: as strong as a soft mud.
inline constexpr Surface kStickySteel{0.3, 0.05, 2000.0, 100.0};
/// What the tests let act on the block: weight, a pull along x, and a couple.
BodyLoad blockLoad();

}  // namespace holdground
