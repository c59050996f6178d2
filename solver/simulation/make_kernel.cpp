// Chooses the implementation of a grain kernel.
#include "solver/kernel_fast/fast_kernel.hpp"
#include "solver/kernel_reference/reference_kernel.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

std::unique_ptr<GrainKernel> makeKernel(KernelKind kind, const GrainSet& grains,
                                        const KernelSettings& settings) {
  if (kind == KernelKind::kReference) return std::make_unique<ReferenceKernel>(grains, settings);
  return std::make_unique<FastKernel>(grains, settings);
}

}  // namespace holdground
