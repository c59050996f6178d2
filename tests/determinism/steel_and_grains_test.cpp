// A block dragged through a small bed: the same bits for any number of threads.

#include <gtest/gtest.h>
#include <omp.h>

#include "tests/support/small_bed.hpp"

namespace holdground {
namespace {

class SteelAndGrains : public ::testing::TestWithParam<KernelKind> {};

void expectSameBits(KernelKind kind, const Surface& surface) {
  std::vector<std::byte> contacts, body;
  std::uint64_t grains = 0;
  for (const int threads : {1, 2, 3, 8}) {
    ContactWorld world = blockInSmallBed(kind, surface);
    omp_set_num_threads(threads);
    for (int step = 0; step < 700; ++step) world.step(blockLoad());
    EXPECT_GT(world.contacts().candidateCount(), 32u);  // enough for the loop to go parallel
    EXPECT_GT(world.contacts().refreshCount(), 5u);
    if (threads == 1) {
      contacts = world.contacts().freeze();
      body = world.body().freeze();
      grains = world.kernel().stateHash();
    }
    EXPECT_EQ(world.contacts().freeze(), contacts) << threads << " threads";
    EXPECT_EQ(world.body().freeze(), body) << threads << " threads";
    EXPECT_EQ(world.kernel().stateHash(), grains) << threads << " threads";
  }
}

}  // namespace

TEST_P(SteelAndGrains, SameBitsForAnyNumberOfThreads) {
  expectSameBits(GetParam(), smallBedSettings(GetParam()).surface);
}

TEST_P(SteelAndGrains, SameBitsForAnyNumberOfThreadsWhenTheyStick) {
  expectSameBits(GetParam(), kStickySteel);
}

INSTANTIATE_TEST_SUITE_P(Kernels, SteelAndGrains,
                         ::testing::Values(KernelKind::kReference, KernelKind::kFast),
                         [](const auto& kind) { return kernelName(kind.param); });

}  // namespace holdground
