#pragma once
// Puts grains in an order that keeps neighbours close in memory, cuts that order into blocks and
// lists the pairs of each block.
//
// A pair is listed when the gap between its surfaces is less than the sum of its grains' skins. A
// skin is what a grain may move before the list is out of date: short for quiet grains, longer for
// fast ones, so that quiet ground carries few spare pairs. History follows its pair by grain id.
// Checked by: tests/unit/kernel_fast/pair_list_test.cpp against all pairs by brute force.

#include <cstdint>
#include <vector>

#include "solver/kernel_fast/packed_state.hpp"

namespace holdground::fast {

/// All the fast kernel carries from step to step.
struct PackedState {
  float unit[3] = {1, 1, 1};           ///< metres per domain unit
  AlignedVector<PackedGrain> grains;   ///< by slot; two far-off dummies behind the last
  AlignedVector<GrainMotion> motions;  ///< by slot
  std::vector<std::uint32_t> ids;      ///< slot to grain id
  std::vector<Block> blocks;
  std::uint64_t rebuilds = 0;  ///< of the pair list so far

  std::size_t size() const { return ids.size(); }
};

struct ListSettings {
  float baseSkin = 0.0f;             ///< [m]
  float skinTime = 0.0f;             ///< a moving grain's skin grows by its speed times this [s]
  float maximumSkin = 0.0f;          ///< [m]
  float dragFactor = 0.0f;           ///< 1/2 water density, drag coefficient and pi [kg/m^3]
  std::uint32_t targetBlock = 4096;  ///< grains
};

/// Rebuilds order, blocks, pairs, skins and the exposure of grains to the water. Losses booked by
/// the old blocks are added up into the first new one.
void rebuildPairList(PackedState& state, const ListSettings& settings);

}  // namespace holdground::fast
