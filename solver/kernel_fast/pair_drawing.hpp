#pragma once
// Inside the pair list: how a block's list is drawn from its candidates, and the memory of contacts
// on its way from one list to the next.
// Checked by: tests/unit/kernel_fast/pair_drawing_test.cpp, pair_list_test.cpp

#include <cstdint>
#include <utility>
#include <vector>

#include "solver/kernel_fast/pair_list.hpp"

namespace holdground::fast {

/// One contact's history on its way from the old list to the new one.
struct Carried {
  std::uint32_t lower, upper;  ///< new slots
  float tangential[3], rolling[3], stiffness, dent;
};

/// History of touching pairs by new lower slot: entries of slot k are
/// contacts[starts[k]] to contacts[starts[k + 1]].
struct History {
  std::vector<std::uint32_t> starts;
  std::vector<Carried> contacts;
};

/// What a listed pair carries: its history, and its two constants.
struct PairMemory {
  float tangential[3] = {}, rolling[3] = {}, stiffness = 0.0f, rootMass = 0.0f, rootInertia = 0.0f;
  float dent = 0.0f;
};

/// Room for a list while it is drawn; it takes the place of the block's and gets that one's memory.
struct Drawing {
  AlignedVector<std::uint32_t> lower, upper;
  AlignedVector<PairGroup> history;
  AlignedVector<float> dents;
  std::vector<std::pair<SlotPair, PairMemory>> near;  ///< of the run being drawn
  std::vector<PairRun> runs;
  std::size_t count = 0;

  void begin(const Block& block, bool keepsDents);
  void beginRun(std::uint32_t law);
  void add(const SlotPair& pair, const PairMemory& memory);
  /// Adds those near, and fills the last group with pairs of two specks that never touch.
  void endRun(std::size_t grains);
  /// Takes away what is not used.
  void trim();
};

/// Draws a block's list from new candidates.
void drawNewList(PackedState& state, Block& block, const History& history, Drawing& drawing);

/// Draws it anew from the same candidates.
void redrawList(PackedState& state, Block& block, Drawing& drawing);

}  // namespace holdground::fast
