#include "postprocess/picture/depth_shading.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "solver/core/types.hpp"

namespace holdground {
namespace {

// The pattern of neighbours is turned from pixel to pixel with this period; averaging over one
// period afterwards removes the grain it leaves.
constexpr int kPatternPeriod = 4;

struct Offset {
  int dx, dy;
};

// Neighbours on a spiral that fills a disc evenly (golden angle), turned by `phase`.
std::vector<Offset> spiral(double radius, int samples, double phase) {
  constexpr double kGoldenAngle = 2.39996322972865332;
  std::vector<Offset> offsets;
  for (int k = 0; k < samples; ++k) {
    const double distance = radius * std::sqrt((k + 0.5) / samples);
    const double angle = kGoldenAngle * k + phase;
    offsets.push_back({static_cast<int>(std::lround(distance * std::cos(angle))),
                       static_cast<int>(std::lround(distance * std::sin(angle)))});
  }
  return offsets;
}

// Mean over one period of the pattern, of pixels at about the same depth only.
std::vector<float> averagedOverPattern(const std::vector<float>& light,
                                       const std::vector<float>& depth, int width, int height,
                                       float reach) {
  std::vector<float> mean(light.size());
#pragma omp parallel for
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const std::size_t here = static_cast<std::size_t>(y) * width + x;
      float sum = 0.0f;
      int count = 0;
      for (int dy = -kPatternPeriod / 2; dy < kPatternPeriod / 2; ++dy) {
        for (int dx = -kPatternPeriod / 2; dx < kPatternPeriod / 2; ++dx) {
          const int nx = std::clamp(x + dx, 0, width - 1);
          const int ny = std::clamp(y + dy, 0, height - 1);
          const std::size_t there = static_cast<std::size_t>(ny) * width + nx;
          if (std::abs(depth[there] - depth[here]) > 0.25f * reach) continue;
          sum += light[there];
          ++count;
        }
      }
      mean[here] = sum / static_cast<float>(count);  // the pixel itself always counts
    }
  }
  return mean;
}

}  // namespace

std::vector<float> openness(const std::vector<float>& depth, int width, int height,
                            const DepthShading& shading) {
  assert(depth.size() == static_cast<std::size_t>(width) * height);
  const double radius = std::max(2.0, shading.reach / shading.metresPerPixel);
  std::vector<std::vector<Offset>> patterns;
  for (int k = 0; k < kPatternPeriod * kPatternPeriod; ++k) {
    // 7 and 16 share no factor: neighbouring pixels get well separated phases.
    const int order = 7 * k % (kPatternPeriod * kPatternPeriod);
    patterns.push_back(
        spiral(radius, shading.samples, 2.0 * kPi * order / (kPatternPeriod * kPatternPeriod)));
  }
  const auto reach = static_cast<float>(shading.reach);
  const auto strength = static_cast<float>(shading.strength);
  std::vector<float> light(depth.size());
#pragma omp parallel for schedule(dynamic, 16)
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const std::size_t here = static_cast<std::size_t>(y) * width + x;
      const auto& pattern = patterns[static_cast<std::size_t>(y % kPatternPeriod * kPatternPeriod +
                                                              x % kPatternPeriod)];
      float hidden = 0.0f;
      for (const Offset& offset : pattern) {
        const int nx = std::clamp(x + offset.dx, 0, width - 1);
        const int ny = std::clamp(y + offset.dy, 0, height - 1);
        const float nearer = depth[here] - depth[static_cast<std::size_t>(ny) * width + nx];
        if (nearer <= 0.0f) continue;
        // Full at half the reach, fading with the distance of what stands in front.
        const float part = std::min(1.0f, 2.0f * nearer / reach);
        hidden += nearer < reach ? part : part * reach / nearer;
      }
      light[here] = 1.0f - strength * hidden / static_cast<float>(shading.samples);
    }
  }
  return averagedOverPattern(light, depth, width, height, reach);
}

void shade(Raster& raster, const std::vector<float>& light) {
  assert(light.size() == raster.pixels());
  const auto count = static_cast<std::ptrdiff_t>(light.size());
#pragma omp parallel for
  for (std::ptrdiff_t k = 0; k < count; ++k) {
    const float left = light[static_cast<std::size_t>(k)];
    for (int c = 0; c < 3; ++c) {
      std::uint8_t& value = raster.rgb[static_cast<std::size_t>(3 * k + c)];
      value = static_cast<std::uint8_t>(std::lround(value * left));
    }
  }
}

}  // namespace holdground
