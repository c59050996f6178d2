// Every instruction set this machine has gives the same bits.

#include "solver/kernel_fast/block_pass.hpp"

#include <gtest/gtest.h>

#include <cstring>

#include "solver/contact/hertz_mindlin.hpp"
#include "solver/kernel_fast/fast_kernel.hpp"
#include "tests/support/random_grains.hpp"

namespace holdground {
namespace {

/// Contact forces, histories and moved grains after one pass over every block.
std::vector<std::byte> onePass(const fast::BlockPasses& passes, FastKernel kernel,
                               const fast::PassConstants& constants) {
  fast::PackedState state = kernel.state();
  std::vector<std::byte> bits;
  const auto keep = [&bits](const void* from, std::size_t size) {
    const auto* bytes = static_cast<const std::byte*>(from);
    bits.insert(bits.end(), bytes, bytes + size);
  };
  std::vector<fast::AlignedVector<fast::ForceSum>> sums(state.blocks.size());
  for (const auto pairForces : {passes.smoothPairForces[0], passes.pairForces[0]})
    for (std::size_t b = 0; b < state.blocks.size(); ++b) {
      fast::Block& block = state.blocks[b];
      sums[b].assign(block.size() + 1, fast::ForceSum{});
      for (const fast::PairRun& run : block.runs)
        pairForces(constants, state.grains.data(), block, run, sums[b].data());
      keep(sums[b].data(), block.size() * sizeof(fast::ForceSum));
      keep(block.history.data(), block.history.size() * sizeof(fast::PairGroup));
      keep(&block.losses, sizeof block.losses);
    }
  fast::AlignedVector<fast::PackedGrain> next = state.grains;
  for (std::size_t b = 0; b < state.blocks.size(); ++b) {
    passes.integrate(constants, state.grains.data(), next.data(), state.motions.data(),
                     state.blocks[b], sums[b].data());
  }
  keep(next.data(), kernel.size() * sizeof(fast::PackedGrain));
  keep(state.motions.data(), kernel.size() * sizeof(fast::GrainMotion));
  return bits;
}

FastKernel crowdedKernel() {
  RandomGrains request;
  request.count = 1000;
  request.speed = 0.3;
  request.largestOverlap = 0.05;
  FastKernel kernel(randomGrains(request), KernelSettings{});
  for (int step = 0; step < 5; ++step) {
    kernel.updateNeighbours();
    kernel.advance();
  }
  return kernel;
}

fast::PassConstants someConstants(const FastKernel& kernel) {
  fast::PassConstants constants{};
  for (int k = 0; k < 3; ++k) constants.unit[k] = kernel.state().unit[k];
  constants.timeStep = 1e-4f;
  constants.halfPerStep = 0.5f / 1e-4f;
  constants.normalModulus = 1e8f;
  constants.stiffnessRatio = 0.8f;
  constants.normalDamping = 0.4f;
  constants.tangentialDamping = 0.35f;
  constants.friction = 0.5f;
  constants.rollingFriction = 0.1f;
  constants.rollingRatio = 0.028f;
  constants.inverseRollingRatio = 1.0f / 0.028f;
  constants.rollingDamping = 0.09f;
  // Those of a shorter step, so that some dashpots are cut and others are not.
  constants.largestDashpot = static_cast<float>(kLargestDashpot / 0.5e-4);
  constants.largestRollingDashpot = static_cast<float>(kLargestRollingDashpot / 0.33e-4);
  constants.gravity = 6.0f;
  return constants;
}

}  // namespace

TEST(BlockPass, IsSeenWithSomeDashpotsCutAndOthersNot) {
  const FastKernel kernel = crowdedKernel();
  const fast::PassConstants constants = someConstants(kernel);
  const std::vector<std::byte> bits = onePass(fast::kBaselinePasses, kernel, constants);
  const auto changes = [&](float fast::PassConstants::*constant, float factor) {
    fast::PassConstants other = constants;
    other.*constant *= factor;
    return onePass(fast::kBaselinePasses, kernel, other) != bits;
  };
  EXPECT_TRUE(changes(&fast::PassConstants::largestDashpot, 1e6f)) << "none is cut";
  EXPECT_TRUE(changes(&fast::PassConstants::tangentialDamping, 0.99f)) << "all are cut";
  EXPECT_TRUE(changes(&fast::PassConstants::largestRollingDashpot, 1e6f)) << "none is cut";
  EXPECT_TRUE(changes(&fast::PassConstants::rollingDamping, 0.99f)) << "all are cut";
}

TEST(BlockPass, GivesTheSameBitsOnEveryInstructionSet) {
#if defined(__x86_64__)
  const FastKernel kernel = crowdedKernel();
  const fast::PassConstants constants = someConstants(kernel);
  const std::vector<std::byte> baseline = onePass(fast::kBaselinePasses, kernel, constants);
  ASSERT_GT(baseline.size(), 100000U);
  if (__builtin_cpu_supports("avx2") != 0) {
    EXPECT_TRUE(onePass(fast::kAvx2Passes, kernel, constants) == baseline);
  }
  if (__builtin_cpu_supports("avx512f") != 0 && __builtin_cpu_supports("avx512vl") != 0 &&
      __builtin_cpu_supports("avx512dq") != 0 && __builtin_cpu_supports("avx512bw") != 0) {
    EXPECT_TRUE(onePass(fast::kAvx512Passes, kernel, constants) == baseline);
  }
#else
  GTEST_SKIP() << "one instruction set only on this machine";
#endif
}

}  // namespace holdground
