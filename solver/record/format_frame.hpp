#pragma once
// One picture of the bed and how it is packed.
//
// A grain's place is stored as its displacement from the reference position, shortest way round
// the periodic domain, in whole units as int16. The unit of a frame is kBaseUnit times a power of
// two, the smallest with which the farthest grain fits, so nothing overflows and the error of a
// coordinate is at most half the frame's unit. A grain without a finite place is kNoPlace.
// Speeds are IEEE half floats: relative error at most 2^-11 above 6.1e-5 m/s, 3e-8 m/s below.
// Checked by: tests/unit/record/format_frame_test.cpp

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

#include "solver/core/types.hpp"

namespace holdground {

/// One frame as the program sees it. World frame, SI; entry k of every array is the k-th grain of
/// the bed description (format_run.hpp).
struct FrameData {
  double time = 0.0;                    ///< simulated time [s]
  Vec3 bodyPosition = Vec3::Zero();     ///< centre of mass of the anchor [m]
  Quat orientation = Quat::Identity();  ///< anchor frame into world
  Vec3 boatEnd = Vec3::Zero();          ///< end of the line at the boat [m]
  std::vector<Vec3> grainPosition;      ///< wrapped into the domain [m]
  std::vector<float> grainSpeed;        ///< [m/s]
};

namespace format {

inline constexpr double kBaseUnit = 2e-6;  ///< finest unit of displacement [m]
inline constexpr int kLargestCount = 32767;
inline constexpr std::int16_t kNoPlace = std::numeric_limits<std::int16_t>::min();

/// Unit of a frame [m] whose largest displacement component is `largest` [m].
inline double displacementUnit(double largest) {
  double unit = kBaseUnit;
  while (largest > unit * kLargestCount) unit *= 2.0;
  return unit;
}

/// Shortest way round a periodic length [m].
inline double nearestImage(double difference, double length) {
  return difference - length * std::round(difference / length);
}

inline std::int16_t packDisplacement(double displacement, double unit) {
  return static_cast<std::int16_t>(std::lround(displacement / unit));
}

/// Nearest half float, ties to even; above the range infinity.
inline std::uint16_t packHalf(float value) {
  const std::uint32_t bits = std::bit_cast<std::uint32_t>(value);
  const std::uint32_t sign = (bits >> 16) & 0x8000u;
  const std::uint32_t magnitude = bits & 0x7fffffffu;
  if (magnitude > 0x7f800000u) return static_cast<std::uint16_t>(sign | 0x7e00u);   // not a number
  if (magnitude >= 0x477ff000u) return static_cast<std::uint16_t>(sign | 0x7c00u);  // infinity
  if (magnitude < 0x38800000u) {  // subnormal: adding 0.5 leaves the count of 2^-24 in the low bits
    const float shifted = std::bit_cast<float>(magnitude) + 0.5f;
    return static_cast<std::uint16_t>(sign | (std::bit_cast<std::uint32_t>(shifted) - 0x3f000000u));
  }
  const std::uint32_t odd = (magnitude >> 13) & 1u;
  return static_cast<std::uint16_t>(sign | ((magnitude - 0x38000000u + 0xfffu + odd) >> 13));
}

inline float unpackHalf(std::uint16_t half) {
  const std::uint32_t sign = (half & 0x8000u) << 16;
  const std::uint32_t exponent = (half >> 10) & 0x1fu;
  const std::uint32_t fraction = half & 0x3ffu;
  if (exponent == 0) {
    const float value = static_cast<float>(fraction) * 0x1p-24f;
    return sign != 0 ? -value : value;
  }
  const std::uint32_t wide = exponent == 31 ? 0x7f800000u : (exponent + 112u) << 23;
  return std::bit_cast<float>(sign | wide | (fraction << 13));
}

}  // namespace format
}  // namespace holdground
