#include "tests/support/kernels.hpp"

#include <stdexcept>

namespace holdground {

GrainSet sceneOf(const Domain& domain, const std::vector<Ball>& balls) {
  GrainSet set;
  set.domain = domain;
  for (const Ball& ball : balls) {
    set.position.push_back(ball.position);
    set.velocity.push_back(ball.velocity);
    set.spin.push_back(ball.spin);
    set.radius.push_back(ball.radius);
    set.frozen.push_back(ball.frozen ? 1 : 0);
  }
  return set;
}

bool step(GrainKernel& kernel) {
  const bool rebuilt = kernel.updateNeighbours();
  kernel.advance();
  return rebuilt;
}

int steps(GrainKernel& kernel, int count) {
  int rebuilds = 0;
  for (int k = 0; k < count; ++k) rebuilds += step(kernel) ? 1 : 0;
  return rebuilds;
}

GrainSample grainOf(const GrainKernel& kernel, std::uint32_t id) {
  for (std::uint32_t slot = 0; slot < kernel.size(); ++slot) {
    const GrainSample sample = kernel.sample(slot);
    if (sample.id == id) return sample;
  }
  throw std::out_of_range("no grain has this id");
}

double massOf(const KernelSettings& settings, double radius) {
  return settings.material.density * 4.0 / 3.0 * kPi * radius * radius * radius;
}

}  // namespace holdground
