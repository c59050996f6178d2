#pragma once
// Puts grains in an order that keeps neighbours close in memory, cuts that order into blocks and
// lists the pairs of each block.
//
// Two lists, one drawn from the other. A pair is listed when the gap between its surfaces is less
// than the sum of its grains' slacks and of the gaps over which they attract: what each may still
// move before the list is out of date. It is a candidate when the gap is less than the sum of their
// skins, which are wider. As long as no grain has used up its skin, new lists are drawn from the
// candidates, which costs little, and only where slack is used up; then new candidates are sought.
// Skins and slacks are short for quiet grains and longer for fast ones. History follows its pair
// through both. Checked by: tests/unit/kernel_fast/pair_list_test.cpp against all pairs by brute
// force.

#include <cstdint>
#include <vector>

#include "solver/contact/soil_laws.hpp"
#include "solver/kernel_fast/packed_state.hpp"

namespace holdground::fast {

/// All the fast kernel carries from step to step.
struct PackedState {
  float unit[3] = {1, 1, 1};  ///< metres per domain unit
  float stretch = 1.0f;       ///< radii count as longer in lists: cohesive grains act over a gap
  AlignedVector<PackedGrain> grains;   ///< by slot; two far-off dummies behind the last
  AlignedVector<GrainMotion> motions;  ///< by slot
  std::vector<std::uint32_t> ids;      ///< slot to grain id
  std::vector<std::uint32_t> stones;   ///< by grain id: its stone; empty in a bed without stones
  std::vector<float> reserve;          ///< by slot: skin left besides the slack [m]
  std::vector<std::uint8_t> soils;     ///< by slot; empty in a bed of one soil
  std::vector<Block> blocks;
  std::uint64_t rebuilds = 0;  ///< of the candidates so far
  bool keepsDents = false;     ///< contacts remember how hard they were pressed

  std::size_t size() const { return ids.size(); }
  /// Index of the law of two grains.
  std::uint32_t lawOf(std::uint32_t slotA, std::uint32_t slotB) const {
    return soils.empty()
               ? 0u
               : static_cast<std::uint32_t>(SoilLaws::indexOf(soils[slotA], soils[slotB]));
  }
  /// Spheres of one stone do not touch each other.
  bool areOfOneStone(std::uint32_t slotA, std::uint32_t slotB) const {
    if (motions[slotA].moves != kOfStone || motions[slotB].moves != kOfStone) return false;
    return stones[ids[slotA]] == stones[ids[slotB]];
  }
};

struct ListSettings {
  float baseSlack = 0.0f;            ///< [m]
  float slackTime = 0.0f;            ///< a moving grain's slack grows by its speed times this [s]
  float leastSlackTime = 0.0f;       ///< a grain needs new skin at half the slack of this time [s]
  float slackShare = 0.15f;          ///< slack is at least this share of the skin left
  float baseSkin = 0.0f;             ///< [m]
  float skinTime = 0.0f;             ///< as slackTime, by the fastest grain about [s]
  float maximumSkin = 0.0f;          ///< [m]
  std::uint32_t targetBlock = 4096;  ///< grains
};

/// Gives the grains of blocks that are out of date new slack and draws the lists they stand in from
/// the candidates. False, and nothing is changed, when one of them has too little of its skin left.
bool redrawPairList(PackedState& state, const ListSettings& settings);

/// Seeks new candidates and draws the lists: order of grains, blocks, skins. Losses booked by the
/// old blocks are added up into the first new one.
void rebuildPairList(PackedState& state, const ListSettings& settings);

}  // namespace holdground::fast
