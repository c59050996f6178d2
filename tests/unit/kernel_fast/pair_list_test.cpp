// The pair list against all pairs by brute force: on random beds, in boxes of a few cells, through
// rebuilds, periodic wraps and slots that change.

#include "solver/kernel_fast/pair_list.hpp"

#include <gtest/gtest.h>

#include <map>
#include <set>

#include "solver/kernel_fast/fast_kernel.hpp"
#include "tests/support/random_grains.hpp"

namespace holdground {
namespace {

using SlotPair = std::pair<std::uint32_t, std::uint32_t>;

// The list works in single precision on positions of about 1 m: a gap this close to the limit may
// fall either way. Four roundings of 2^-24 on squares of at most (0.1 m)^2, over 0.03 m: 1e-7 m.
constexpr double kBand = 1e-6;

/// Every listed pair with the blocks that list it.
std::map<SlotPair, std::vector<std::size_t>> listedPairs(const fast::PackedState& state) {
  std::map<SlotPair, std::vector<std::size_t>> listed;
  for (std::size_t b = 0; b < state.blocks.size(); ++b) {
    const fast::Block& block = state.blocks[b];
    block.forPairs([&](std::size_t p) {
      listed[{block.lower[p] / fast::kSlotBytes, block.upper[p] / fast::kSlotBytes}].push_back(b);
    });
  }
  return listed;
}

std::vector<std::size_t> blocksOf(const fast::PackedState& state, const SlotPair& pair) {
  std::vector<std::size_t> found;
  for (std::size_t b = 0; b < state.blocks.size(); ++b) {
    const fast::Block& block = state.blocks[b];
    const auto owns = [&block](std::uint32_t s) { return s >= block.first && s < block.end; };
    if (owns(pair.first) || owns(pair.second)) found.push_back(b);
  }
  return found;
}

std::vector<GrainSample> samplesOf(const FastKernel& kernel) {
  std::vector<GrainSample> samples;
  for (std::uint32_t slot = 0; slot < kernel.size(); ++slot) samples.push_back(kernel.sample(slot));
  return samples;
}

/// Compares a fresh list with brute force; returns how many pairs it should hold.
std::size_t expectFreshListRight(const FastKernel& kernel) {
  const fast::PackedState& state = kernel.state();
  const auto listed = listedPairs(state);
  const std::vector<GrainSample> grains = samplesOf(kernel);
  std::size_t expected = 0;
  for (std::uint32_t i = 0; i < kernel.size(); ++i) {
    for (std::uint32_t j = i + 1; j < kernel.size(); ++j) {
      const GrainSample &a = grains[i], &b = grains[j];
      const double gap = nearestImage(kernel.domain(), a.position, b.position).norm() - a.radius -
                         b.radius - state.motions[i].slack - state.motions[j].slack -
                         (state.stretch - 1.0) * (a.radius + b.radius);
      const bool bothFrozen = a.inverseMass == 0.0 && b.inverseMass == 0.0;
      const auto found = listed.find({i, j});
      if (bothFrozen || gap > kBand) {
        EXPECT_TRUE(found == listed.end()) << "ids " << a.id << ", " << b.id << " gap " << gap;
      } else if (gap < -kBand) {
        ++expected;
        EXPECT_TRUE(found != listed.end()) << "ids " << a.id << ", " << b.id << " gap " << gap;
        if (found == listed.end()) continue;
        EXPECT_EQ(found->second, blocksOf(state, {i, j})) << "ids " << a.id << ", " << b.id;
      }
    }
  }
  return expected;
}

/// Every pair that touches is in the list of each block it stands in, however old that is.
void expectNoTouchingPairMissed(const FastKernel& kernel) {
  const auto listed = listedPairs(kernel.state());
  const std::vector<GrainSample> grains = samplesOf(kernel);
  for (std::uint32_t i = 0; i < kernel.size(); ++i) {
    for (std::uint32_t j = i + 1; j < kernel.size(); ++j) {
      const GrainSample &a = grains[i], &b = grains[j];
      if (a.inverseMass == 0.0 && b.inverseMass == 0.0) continue;
      const double gap =
          nearestImage(kernel.domain(), a.position, b.position).norm() - a.radius - b.radius;
      if (gap < -kBand) {
        const auto found = listed.find({i, j});
        ASSERT_TRUE(found != listed.end()) << "ids " << a.id << ", " << b.id << " gap " << gap;
        EXPECT_EQ(found->second, blocksOf(kernel.state(), {i, j})) << "gap " << gap;
      }
    }
  }
}

KernelSettings dilute() {
  KernelSettings settings;
  settings.material.youngModulus = 1e6;
  settings.gravity = 0.0;
  settings.water.density = 0.0;
  settings.timeStep = 5e-5;
  return settings;
}

}  // namespace

TEST(PairList, FindsSamePairsAsBruteForce) {
  for (std::uint32_t seed = 1; seed <= 5; ++seed) {
    RandomGrains request;
    request.count = 1500;
    request.largestRadius = 0.05;
    request.speed = 1.0;
    request.seed = seed;
    FastKernel kernel(randomGrains(request), dilute());
    ASSERT_TRUE(kernel.updateNeighbours());
    EXPECT_GT(kernel.state().blocks.size(), 1U);
    EXPECT_GT(expectFreshListRight(kernel), 1000U);
  }
}

TEST(PairList, FindsPairsThatAttractOverAGap) {
  RandomGrains request;
  request.count = 1500;
  request.largestRadius = 0.05;
  request.speed = 1.0;
  KernelSettings settings = dilute();
  FastKernel loose(randomGrains(request), settings);
  settings.material.pullOffStress = 1e3;
  settings.material.pullOffRange = 0.2;
  FastKernel sticky(randomGrains(request), settings);
  ASSERT_TRUE(loose.updateNeighbours());
  ASSERT_TRUE(sticky.updateNeighbours());
  EXPECT_GT(expectFreshListRight(sticky), expectFreshListRight(loose) + 300U);
}

// A stack lists the same pairs, by law: each run's pairs join its two soils, and runs fill whole
// groups one after the other.
TEST(PairList, ListsPairsOfAStackByLaw) {
  RandomGrains request;
  request.count = 1500;
  request.largestRadius = 0.05;
  request.speed = 1.0;
  KernelSettings settings = dilute();
  settings.lowerSoils = {settings.material, settings.material};
  settings.lowerSoils[1].pullOffStress = 1e3;
  GrainSet grains = randomGrains(request);
  for (std::size_t k = 0; k < grains.size(); ++k)
    grains.soil.push_back(static_cast<std::uint8_t>(k % 3));
  FastKernel kernel(grains, settings);
  ASSERT_TRUE(kernel.updateNeighbours());
  EXPECT_GT(expectFreshListRight(kernel), 1000U);
  for (int k = 0; k < 60; ++k) {
    kernel.updateNeighbours();
    kernel.advance();
  }
  expectNoTouchingPairMissed(kernel);
  const fast::PackedState& state = kernel.state();
  for (const fast::Block& block : state.blocks) {
    EXPECT_EQ(block.runs.size(), 6U);
    std::size_t next = 0;
    for (const fast::PairRun& run : block.runs) {
      EXPECT_EQ(run.first, next);
      next = std::size_t{run.endGroup()} * fast::kLanes;
      for (std::size_t p = run.first; p < run.end; ++p) {
        const std::uint32_t a = block.lower[p] / fast::kSlotBytes;
        const std::uint32_t b = block.upper[p] / fast::kSlotBytes;
        ASSERT_EQ(SoilLaws::indexOf(kernel.sample(a).soil, kernel.sample(b).soil), run.law);
        ASSERT_EQ(kernel.sample(a).soil, kernel.sample(a).id % 3);
      }
    }
    EXPECT_EQ(next, block.lower.size());
  }
}

TEST(PairList, FindsSamePairsInBoxesOfAFewCells) {
  for (const double width : {0.13, 0.21, 0.27, 0.35, 0.6}) {
    SCOPED_TRACE(width);
    RandomGrains request;
    request.domain = {width, 2.3 * width, -0.2, 0.4};
    request.count = 500;
    request.speed = 0.5;
    FastKernel kernel(randomGrains(request), dilute());
    kernel.updateNeighbours();
    EXPECT_GT(expectFreshListRight(kernel), 50U);
  }
}

// Lists are renewed only where slack is used up. Grains that lie still beside another block are
// kicked toward a grain there which no list names yet: before they touch, both blocks' lists must.
TEST(PairList, NamesAPairAcrossBlocksInBothThoughOnlyOneIsOutOfDate) {
  RandomGrains request;
  request.count = 12000;
  request.domain = {1.6, 1.6, -0.8, 0.8};
  request.speed = 0.0;
  request.largestOverlap = 0.0;
  const KernelSettings settings = dilute();
  FastKernel kernel(randomGrains(request), settings);
  kernel.updateNeighbours();
  std::set<std::uint32_t> busy;
  std::vector<SlotPair> kicked;
  const auto listedBefore = listedPairs(kernel.state());
  for (const fast::Block& block : kernel.state().blocks) {
    for (const fast::SlotPair& pair : block.candidates) {
      const std::uint32_t i = pair.lower / fast::kSlotBytes, j = pair.upper / fast::kSlotBytes;
      if (i < block.first || j < block.end || listedBefore.contains({i, j})) continue;
      if (busy.contains(i) || busy.contains(j)) continue;
      const GrainSample a = kernel.sample(i), b = kernel.sample(j);
      const Vec3 way = nearestImage(kernel.domain(), a.position, b.position);
      if (way.norm() - a.radius - b.radius > 0.8 * kernel.state().reserve[i]) continue;
      busy.insert({i, j});
      kicked.emplace_back(i, j);
      const double push = 0.1 / (a.inverseMass * settings.timeStep);  // to 0.1 m/s
      kernel.addForce(i, push * way.normalized(), Vec3::Zero());
    }
  }
  kernel.advance();
  ASSERT_GT(kernel.state().blocks.size(), 3U);
  ASSERT_GT(kicked.size(), 3U);
  std::set<SlotPair> met;
  while (met.size() < kicked.size() && !kernel.updateNeighbours()) {
    const auto listed = listedPairs(kernel.state());
    for (const SlotPair& pair : kicked) {
      const GrainSample a = kernel.sample(pair.first), b = kernel.sample(pair.second);
      const double gap =
          nearestImage(kernel.domain(), a.position, b.position).norm() - a.radius - b.radius;
      if (gap > -kBand) continue;
      met.insert(pair);
      ASSERT_TRUE(listed.contains(pair));
      EXPECT_EQ(listed.at(pair), blocksOf(kernel.state(), pair));
    }
    kernel.advance();
  }
  EXPECT_GT(met.size(), 3U);
}

TEST(PairList, MissesNothingThroughRebuildsWrapsAndSwaps) {
  RandomGrains request;
  request.domain = {0.5, 0.4, -0.5, 0.9};
  request.margin = 0.5;
  request.count = 400;
  request.speed = 2.0;
  request.largestOverlap = 0.0;
  request.largestRadius = 0.015;
  const GrainSet before = randomGrains(request);
  FastKernel kernel(before, dilute());
  int rebuilds = 0, swaps = 0, wraps = 0;
  std::vector<std::uint32_t> ids;
  std::vector<double> lastX(kernel.size(), 0.0);
  for (int step = 0; step < 600; ++step) {
    if (kernel.updateNeighbours()) {
      ++rebuilds;
      if (ids != kernel.state().ids) ++swaps;
      ids = kernel.state().ids;
      if (rebuilds % 5 == 0) expectFreshListRight(kernel);
    }
    kernel.advance();
    if (step % 10 == 0) {
      expectNoTouchingPairMissed(kernel);
      for (std::uint32_t slot = 0; slot < kernel.size(); ++slot) {
        const GrainSample grain = kernel.sample(slot);
        if (step > 0 && std::abs(grain.position.x() - lastX[grain.id]) > 0.25) ++wraps;
        lastX[grain.id] = grain.position.x();
      }
    }
    if (testing::Test::HasFailure()) break;
  }
  EXPECT_GT(rebuilds, 10);
  EXPECT_GT(swaps, 2);  // grains are sorted at every fourth rebuild
  EXPECT_GT(wraps, 5);
}

TEST(PairList, CarriesTheHistoryOfAContactByIdAndSign) {
  RandomGrains request;
  request.count = 1500;
  request.largestRadius = 0.04;
  request.frozenShare = 0.0;
  request.largestOverlap = 0.3;
  GrainSet grains = randomGrains(request);
  // Every touching pair remembers numbers made from its ids, in either order of the ids.
  std::map<SlotPair, Vec3> told;
  for (std::uint32_t i = 0; i < grains.size(); ++i) {
    for (std::uint32_t j = i + 1; j < grains.size(); ++j) {
      const double distance =
          nearestImage(grains.domain, grains.position[i], grains.position[j]).norm();
      if (distance > grains.radius[i] + grains.radius[j] - kBand) continue;
      ContactMemory memory;
      memory.a = (i + j) % 2 == 0 ? i : j;
      memory.b = memory.a == i ? j : i;
      memory.tangentialForce = Vec3(i + 1.0, j + 1.0, -3.0);
      memory.rollingMoment = Vec3(0.0, 0.5, j + 2.0);
      memory.tangentialStiffness = 100.0 + i;
      grains.contacts.push_back(memory);
      told[{memory.a, memory.b}] = memory.tangentialForce;
    }
  }
  ASSERT_GT(told.size(), 50U);
  FastKernel kernel(grains, dilute());
  ASSERT_TRUE(kernel.updateNeighbours());
  const GrainSet stored = kernel.store();
  EXPECT_EQ(stored.contacts.size(), told.size());
  for (const ContactMemory& memory : stored.contacts) {
    const auto same = told.find({memory.a, memory.b});
    const auto swapped = told.find({memory.b, memory.a});
    ASSERT_TRUE(same != told.end() || swapped != told.end()) << memory.a << ", " << memory.b;
    const Vec3 force = same != told.end() ? same->second : Vec3(-swapped->second);
    EXPECT_EQ(memory.tangentialForce, force) << memory.a << ", " << memory.b;
    EXPECT_EQ(memory.tangentialStiffness, 100.0 + std::min(memory.a, memory.b));
    // The moment is kept over R*: two roundings of 2^-24.
    const Vec3 moment =
        (same != told.end() ? 1.0 : -1.0) * Vec3(0.0, 0.5, std::max(memory.a, memory.b) + 2.0);
    EXPECT_LT((memory.rollingMoment - moment).norm(), 2.5e-7 * moment.norm());
  }
}

}  // namespace holdground
