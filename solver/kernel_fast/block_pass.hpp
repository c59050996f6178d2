#pragma once
// The two inner loops of the fast kernel, chosen once for the widest instruction set this machine
// has. All choices give the same bits.
//
// Promises: no allocation; blocks may run on different threads at the same time.
// Checked by: tests/verification (against closed forms and the reference kernel),
//             tests/determinism (threads, instruction sets).

#include "solver/kernel_fast/packed_state.hpp"

namespace holdground::fast {

struct BlockPasses {
  const char* instructionSet;
  /// Adds the contact forces of the block's grains in one run of pairs to `sums` (one per grain of
  /// the block, then one spill row), advances the pairs' history and books the losses.
  using PairForces = void (*)(const PassConstants&, const PackedGrain* grains, Block&,
                              const PairRun&, ForceSum* sums);
  PairForces pairForces[2];         ///< of contacts that keep no dent, and of those that do
  PairForces slidingPairForces[2];  ///< the same without rolling resistance
  PairForces smoothPairForces[2];   ///< the same without friction either
  /// Moves the block's grains by one step under `sums`, gravity less buoyancy and drag, from
  /// `grains` to `next`, where what never changes of a grain stands already.
  void (*integrate)(const PassConstants&, const PackedGrain* grains, PackedGrain* next,
                    GrainMotion* motions, Block&, const ForceSum* sums);
};

extern const BlockPasses kBaselinePasses;
extern const BlockPasses kAvx2Passes;    // present on x86-64 only
extern const BlockPasses kAvx512Passes;  // present on x86-64 only

/// The passes for this machine. HOLDGROUND_ISA=baseline|avx2|avx512 in the environment forces a
/// narrower set.
const BlockPasses& blockPasses();

}  // namespace holdground::fast
