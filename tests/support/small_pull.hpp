#pragma once
// A bed of some hundred grains and a steel block on a rode: a whole pull in a fraction of a second.

#include "solver/bed/tile.hpp"
#include "solver/simulation/simulation.hpp"

namespace holdground {

/// Grains of 50 to 60 mm, a tile of half a metre; settles in about half a second.
TileRecipe smallRecipe();

/// Settled once for the whole test program.
const Tile& smallTile();

/// A 4 kg block, 0.16 x 0.10 x 0.06 m, shackled at its forward face.
Anchor blockAnchor();

/// Pulled at half a metre a second soon after it is laid down.
SimulationSettings smallPull(KernelKind kernel, const GrainSet& bed);

}  // namespace holdground
