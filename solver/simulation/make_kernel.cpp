// Chooses the implementation of a grain kernel.
#include "solver/core/errors.hpp"
#include "solver/kernel_reference/reference_kernel.hpp"
#include "solver/state/grain_kernel.hpp"

namespace holdground {

std::unique_ptr<GrainKernel> makeKernel(KernelKind kind, const GrainSet& grains,
                                        const KernelSettings& settings) {
  switch (kind) {
    case KernelKind::kReference:
      return std::make_unique<ReferenceKernel>(grains, settings);
    case KernelKind::kFast:
      break;
  }
  throw InputError("the fast kernel is not part of this build; the reference kernel is");
}

}  // namespace holdground
