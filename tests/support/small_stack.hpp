#pragma once
// A stack of two soils small enough to settle in seconds, and the pan it may lie on.

#include "solver/bed/tile.hpp"

namespace holdground {

/// Sticky lumps on loose sand, some 0.2 m of each, 36 to 44 mm.
TileRecipe smallStackRecipe();
/// Settled once.
const Tile& smallStack();

/// Loose sand on a hard pan.
TileRecipe sandOnPanRecipe();
const Tile& sandOnPan();

}  // namespace holdground
