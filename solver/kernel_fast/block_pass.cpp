#include "solver/kernel_fast/block_pass.hpp"

#include <cstdlib>
#include <string>

#include "solver/core/errors.hpp"

namespace holdground::fast {

namespace {

const BlockPasses& chosenPasses() {
  const char* forced = std::getenv("HOLDGROUND_ISA");
  const std::string wanted = forced != nullptr ? forced : "";
  if (!wanted.empty() && wanted != "baseline" && wanted != "avx2" && wanted != "avx512")
    throw InputError("HOLDGROUND_ISA: found \"" + wanted + "\", allowed: baseline, avx2, avx512");
#if defined(__x86_64__)
  const bool avx2 = __builtin_cpu_supports("avx2") != 0;
  const bool avx512 =
      avx2 && __builtin_cpu_supports("avx512f") != 0 && __builtin_cpu_supports("avx512vl") != 0 &&
      __builtin_cpu_supports("avx512dq") != 0 && __builtin_cpu_supports("avx512bw") != 0;
  if (avx512 && (wanted.empty() || wanted == "avx512")) return kAvx512Passes;
  if (avx2 && (wanted.empty() || wanted == "avx2")) return kAvx2Passes;
#endif
  if (wanted.empty() || wanted == "baseline") return kBaselinePasses;
  throw InputError("HOLDGROUND_ISA: this machine does not have " + wanted);
}

}  // namespace

const BlockPasses& blockPasses() {
  static const BlockPasses& passes = chosenPasses();
  return passes;
}

}  // namespace holdground::fast
