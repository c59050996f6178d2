#pragma once
// Pairs of grains that touch or may touch before the list is next rebuilt, in blocks of grains.
//
// Each block of slots is one thread's work. A pair inside a block is listed once; a pair across two
// blocks is listed in both, each keeps its own copy of the contact's history, and both evaluate the
// same numbers. So blocks never write to each other, and the bits don't depend on threads.
// In every pair i is the grain of the lower id: a pair looks the same wherever its grains lie.
// Checked by: tests/unit/kernel_reference/pair_list_test.cpp,
//   tests/verification/grains/neighbour_list_test.cpp

#include <cstdint>
#include <vector>

#include "solver/contact/hertz_mindlin.hpp"
#include "solver/contact/sphere_pair.hpp"
#include "solver/kernel_reference/cell_grid.hpp"
#include "solver/kernel_reference/grain.hpp"

namespace holdground {

struct Pair {
  std::uint32_t i;  ///< slot of the grain of lower id
  std::uint32_t j;  ///< slot of the other
  PairConstants constants;
  ContactHistory history;
};

struct alignas(64) Block {
  std::uint32_t begin = 0, end = 0;  ///< slots
  std::vector<Pair> pairs;
  ContactDissipation dissipation;  ///< of the pairs it books
  double waterDrag = 0.0;          ///< energy lost to the water by its grains [J]
  bool outgrown = false;           ///< one of its grains moved too far for the list
  std::uint32_t lostSlot = kNone;  ///< a grain that left the domain

  static constexpr std::uint32_t kNone = 0xffffffffu;

  bool owns(std::uint32_t slot) const { return slot >= begin && slot < end; }
  /// A pair across blocks is booked by one of them only.
  bool books(const Pair& pair) const { return owns(pair.i); }
};

/// Histories of touching pairs, found by id while slots move.
class RememberedContacts {
 public:
  explicit RememberedContacts(std::size_t grains) : starts_(grains + 2, 0) {}

  /// From a list whose slots still stand for `grains`.
  RememberedContacts(const std::vector<Block>& blocks, const std::vector<Grain>& grains);
  explicit RememberedContacts(const GrainSet& set);

  /// History of a pair, id low < high; a blank one when it has none.
  ContactHistory find(std::uint32_t low, std::uint32_t high) const;

 private:
  struct Entry {
    std::uint32_t low, high;
    ContactHistory history;
  };
  void file(std::vector<Entry> entries, std::size_t grains);

  std::vector<std::uint32_t> starts_;  ///< by low id
  std::vector<Entry> entries_;
};

/// Cuts `count` slots into blocks; depends on the count alone.
std::vector<Block> cutIntoBlocks(std::size_t count);

/// The stone of a grain that belongs to none.
inline constexpr std::uint32_t kNoStone = 0xffffffffu;

/// How near grains must be to be listed.
struct ListReach {
  const std::vector<GrainMotion>& motions;   ///< their skins
  double attraction = 0.0;                   ///< share of the radii by which any attract farther
  const std::vector<std::uint32_t>& stones;  ///< by grain id: its stone; empty: no stones
};

/// Lists the pairs of every block: gap < skin_i + skin_j + attraction (R_i + R_j), not both frozen,
/// not of one stone.
void listPairs(const CellGrid& grid, const PeriodicPlane& plane, const ListReach& within,
               const RememberedContacts& remembered, const std::vector<Grain>& grains,
               std::vector<Block>& blocks);

}  // namespace holdground
