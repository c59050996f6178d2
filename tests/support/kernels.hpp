#pragma once
// Runs one test body on every grain kernel: derive from KernelTest, end the file with
// HOLDGROUND_ON_EVERY_KERNEL(Suite).

#include <gtest/gtest.h>
#include <omp.h>

#include <memory>
#include <string>
#include <vector>

#include "solver/state/grain_kernel.hpp"

namespace holdground {

inline std::string kernelName(KernelKind kind) {
  return kind == KernelKind::kFast ? "fast" : "reference";
}

class KernelTest : public testing::TestWithParam<KernelKind> {
 protected:
  /// One thread unless a test asks for more: beds of a few hundred grains gain nothing from two,
  /// and lose much on a busy machine.
  KernelTest() { omp_set_num_threads(1); }
  static bool isReference() { return GetParam() == KernelKind::kReference; }
  static std::unique_ptr<GrainKernel> kernelOf(const GrainSet& grains,
                                               const KernelSettings& settings) {
    return makeKernel(GetParam(), grains, settings);
  }
};

#define HOLDGROUND_ON_EVERY_KERNEL(Suite)                                                       \
  INSTANTIATE_TEST_SUITE_P(, Suite, testing::Values(KernelKind::kReference, KernelKind::kFast), \
                           [](const auto& kernel) { return kernelName(kernel.param); })

/// One sphere of a small scene.
struct Ball {
  Vec3 position = Vec3::Zero();
  Vec3 velocity = Vec3::Zero();
  Vec3 spin = Vec3::Zero();
  double radius = 0.01;
  bool frozen = false;
};

/// A scene of a few spheres, ids in their order.
GrainSet sceneOf(const Domain& domain, const std::vector<Ball>& balls);

/// One step as the simulation takes it, without a body. True when the pair list was rebuilt.
bool step(GrainKernel& kernel);

/// Several steps; returns how many pair lists were rebuilt.
int steps(GrainKernel& kernel, int count);

/// The grain of an id, wherever its slot is.
GrainSample grainOf(const GrainKernel& kernel, std::uint32_t id);

/// Mass [kg] of a sphere of the settings' material.
double massOf(const KernelSettings& settings, double radius);

}  // namespace holdground
