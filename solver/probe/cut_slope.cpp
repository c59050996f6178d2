#include "solver/probe/cut_slope.hpp"

#include <algorithm>
#include <cmath>

#include "solver/state/select_grains.hpp"

namespace holdground {
namespace {

constexpr double kRestShare = 0.01;  // of sqrt(g d): rms speed of a bed at rest
constexpr double kRestTime = 0.2;    // for which it stays there [s]
constexpr int kStepsPerLook = 50;
constexpr double kEndShare = 0.05;  // of the length over which crest and trench are averaged

double rmsSpeed(const GrainKernel& kernel) {
  double squares = 0.0;
  std::size_t moving = 0;
  for (std::uint32_t slot = 0; slot < kernel.size(); ++slot) {
    const GrainSample grain = kernel.sample(slot);
    if (grain.inverseMass == 0.0) continue;
    squares += grain.velocity.squaredNorm();
    ++moving;
  }
  return std::sqrt(squares / static_cast<double>(std::max<std::size_t>(1, moving)));
}

/// Mean surface over the places for which `within` is true [m].
template <typename Within>
double meanHeight(const HeightMap& surface, Within&& within) {
  double sum = 0.0;
  int seen = 0;
  for (int k = 0; k < surface.countX; ++k) {
    const std::optional<double> h = surface.meanAcross(k);
    if (!h || !within(surface.placeX(k))) continue;
    sum += *h;
    ++seen;
  }
  return sum / std::max(1, seen);
}

/// Angle of one side: `side` is 1 for x > 0 and -1 for x < 0.
double sideAngle(const HeightMap& surface, int side, double low, double high) {
  double n = 0.0, sx = 0.0, sz = 0.0, sxx = 0.0, sxz = 0.0;
  // From the trench inward, until the surface is first as high as the upper end.
  for (int step = 0; step < surface.countX / 2; ++step) {
    const int k = side > 0 ? surface.countX - 1 - step : step;
    const std::optional<double> h = surface.meanAcross(k);
    if (!h || *h < low) continue;
    if (*h > high) break;
    const double x = surface.placeX(k);
    n += 1.0;
    sx += x;
    sz += *h;
    sxx += x * x;
    sxz += x * *h;
  }
  const double spread = n * sxx - sx * sx;
  if (n < 2.0 || spread <= 0.0) return 0.5 * kPi;  // a wall
  return std::atan(std::abs((n * sxz - sx * sz) / spread));
}

}  // namespace

CutSlope fitSlopes(const HeightMap& surface) {
  const double length = surface.countX * surface.stepX;
  const double crest =
      meanHeight(surface, [&](double x) { return std::abs(x) < kEndShare * length; });
  const double trench =
      meanHeight(surface, [&](double x) { return std::abs(x) > (0.5 - kEndShare) * length; });
  CutSlope slope;
  slope.relief = crest - trench;
  const double low = trench + 0.25 * slope.relief, high = trench + 0.75 * slope.relief;
  slope.left = sideAngle(surface, -1, low, high);
  slope.right = sideAngle(surface, 1, low, high);
  return slope;
}

CutSlope cutSlope(const GrainSet& bed, const SlopeSettings& settings,
                  const ProbeProgress& progress) {
  double floor = 0.0;
  for (const Vec3& position : bed.position) floor = std::min(floor, position.z());
  const double level = 0.5 * floor, half = 0.5 * settings.blockShare * bed.domain.lengthX;
  const GrainSet cut = selectGrains(bed, [&](std::size_t k) {
    return bed.position[k].z() < level || std::abs(bed.position[k].x()) < half;
  });
  auto kernel = makeKernel(settings.kernel, cut, settings.bed);
  const double limit =
      kRestShare *
      std::sqrt(settings.bed.gravity * meanVolumeDiameter(bed, settings.bed.material.density));
  const double look = kStepsPerLook * settings.bed.timeStep;
  double time = 0.0, quiet = 0.0;
  while (quiet < kRestTime && time < settings.longestTime) {
    for (int k = 0; k < kStepsPerLook; ++k) {
      kernel->updateNeighbours();
      kernel->advance();
    }
    time += look;
    quiet = rmsSpeed(*kernel) < limit ? quiet + look : 0.0;
    if (progress)
      progress(
          time / settings.longestTime,
          static_cast<std::uint64_t>(std::lround(time / settings.bed.timeStep)) * kernel->size());
  }
  CutSlope slope = fitSlopes(heightMap(kernel->store()));
  slope.cut = -level;
  slope.time = time;
  slope.isAtRest = quiet >= kRestTime;
  return slope;
}

}  // namespace holdground
