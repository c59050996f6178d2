#include "solver/state/slice_state.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <vector>

namespace holdground {
namespace {

bool holds(const Slice& slice, double z) { return z >= slice.lower && z < slice.upper; }

/// Share of a straight branch from height a to height b that lies in the slice.
double shareInside(const Slice& slice, double a, double b) {
  const double low = std::min(a, b), high = std::max(a, b);
  if (high == low) return holds(slice, low) ? 1.0 : 0.0;
  const double inside = std::min(high, slice.upper) - std::max(low, slice.lower);
  return std::max(0.0, inside) / (high - low);
}

/// A grain, or a sphere's share of its stone.
struct Mover {
  double mass, height;  ///< [kg], [m]
  Vec3 velocity;        ///< [m/s]
};

/// Mean velocity and its slope with height, by mass; then the stress of what is left.
void addMotion(const std::vector<Mover>& grains, double volume, SliceState& state) {
  double mass = 0.0, height = 0.0;
  Vec3 momentum = Vec3::Zero();
  for (const Mover& g : grains) {
    mass += g.mass;
    height += g.mass * g.height;
    momentum += g.mass * g.velocity;
  }
  if (mass == 0.0) return;
  height /= mass;
  state.velocity = momentum / mass;
  double spread = 0.0;
  Vec3 moment = Vec3::Zero();
  for (const Mover& g : grains) {
    const double arm = g.height - height;
    spread += g.mass * arm * arm;
    moment += g.mass * arm * (g.velocity - state.velocity);
  }
  if (spread > 0.0) state.shearRate = moment / spread;
  for (const Mover& g : grains) {
    const Vec3 left = g.velocity - state.velocity - (g.height - height) * state.shearRate;
    state.kineticStress += (g.mass / volume) * left * left.transpose();
  }
}

}  // namespace

double sphereVolumeBetween(double radius, double height, const Slice& slice) {
  const auto below = [&](double level) {  // volume of the sphere below a plane
    const double h = std::clamp(level - height + radius, 0.0, 2.0 * radius);
    return kPi * h * h * (radius - h / 3.0);
  };
  return below(slice.upper) - below(slice.lower);
}

SliceState sliceState(const GrainKernel& kernel, const Slice& slice) {
  SliceState state;
  const Domain& domain = kernel.domain();
  const double volume = domain.lengthX * domain.lengthY * (slice.upper - slice.lower);
  std::vector<Mover> moving;
  double inside = 0.0, ends = 0.0;
  for (std::uint32_t slot = 0; slot < kernel.size(); ++slot) {
    const GrainSample grain = kernel.sample(slot);
    const StonePart part = kernel.stonePart(slot);
    state.solidFraction +=
        part.fill * sphereVolumeBetween(grain.radius, grain.position.z(), slice) / volume;
    const double height = grain.position.z() - part.arm.z();
    if (!holds(slice, height)) continue;
    inside += part.share;
    if (grain.inverseMass > 0.0)
      moving.push_back(
          {part.share / grain.inverseMass, height, grain.velocity - grain.spin.cross(part.arm)});
  }
  kernel.visitPairs([&](const PairSample& pair) {
    const Vec3 armA = kernel.stonePart(pair.slotA).arm;
    const Vec3 branch = pair.branch - armA + kernel.stonePart(pair.slotB).arm;
    const double a = kernel.sample(pair.slotA).position.z() - armA.z();
    const double b = a - branch.z();
    state.contactStress += (shareInside(slice, a, b) / volume) * pair.force * branch.transpose();
    if (pair.overlap > 0.0) ends += (holds(slice, a) ? 1.0 : 0.0) + (holds(slice, b) ? 1.0 : 0.0);
  });
  if (inside > 0.0) state.coordination = ends / inside;
  addMotion(moving, volume, state);
  return state;
}

PrincipalStress principalStress(const Mat3& stress) {
  const Mat3 symmetric = 0.5 * (stress + stress.transpose());
  const Eigen::SelfAdjointEigenSolver<Mat3> solver(symmetric, Eigen::EigenvaluesOnly);
  const Vec3& values = solver.eigenvalues();  // ascending
  return {values[2], values[1], values[0]};
}

}  // namespace holdground
