#pragma once
// kLanes pairs at a time as their two grains make them: where and how they meet, before their
// history is looked at. Letters are those of solver/contact/hertz_mindlin.hpp.
//
// Inlined into the translation unit that is compiled for one instruction set, as lanes.hpp is;
// nothing here may have linkage.
// Checked by: tests/verification (against closed forms and the reference kernel)

#include <cstdint>

#include "solver/kernel_fast/lanes.hpp"
#include "solver/kernel_fast/packed_state.hpp"

namespace holdground::fast {
namespace {

struct Triple {
  Lanes x, y, z;
};

HG_INLINE Triple operator*(Triple a, Lanes s) { return {a.x * s, a.y * s, a.z * s}; }
HG_INLINE Lanes dot(Triple a, Triple b) { return fused(a.z, b.z, fused(a.y, b.y, a.x * b.x)); }
HG_INLINE Triple cross(Triple a, Triple b) {
  return {fusedLess(a.y * b.z, a.z, b.y), fusedLess(a.z * b.x, a.x, b.z),
          fusedLess(a.x * b.y, a.y, b.x)};
}
/// a + b s and a - b s.
HG_INLINE Triple plus(Triple a, Triple b, Lanes s) {
  return {fused(b.x, s, a.x), fused(b.y, s, a.y), fused(b.z, s, a.z)};
}
HG_INLINE Triple less(Triple a, Triple b, Lanes s) {
  return {fusedLess(a.x, b.x, s), fusedLess(a.y, b.y, s), fusedLess(a.z, b.z, s)};
}
HG_INLINE Triple select(Mask mask, Triple a, Triple b) {
  return {mask ? a.x : b.x, mask ? a.y : b.y, mask ? a.z : b.z};
}
HG_INLINE Triple loadTriple(const float p[3][kLanes]) {
  return {load(p[0]), load(p[1]), load(p[2])};
}
HG_INLINE void storeTriple(float p[3][kLanes], Triple a) {
  store(p[0], a.x);
  store(p[1], a.y);
  store(p[2], a.z);
}

/// Everything about kLanes pairs that comes from their two grains.
struct PairGeometry {
  Triple branch;      ///< from upper to lower slot [m]
  Triple velocity;    ///< of the centres, lower less upper [m/s]
  Triple spin;        ///< lower less upper [rad/s]
  Triple radiusSpin;  ///< sum [m/s]
  Lanes radiusSum, radiusDifference;
};

/// What kLanes pairs are before their history is looked at.
struct Approach {
  Triple normal;          ///< n
  Triple velocity;        ///< of the contact points, lower less upper [m/s]
  Mask touching;          ///< overlap > 0
  Lanes overlap;          ///< 0 where they do not touch [m]
  Lanes shareLower;       ///< lower radius over the sum of both
  Lanes radius;           ///< R* [m]
  Lanes normalStiffness;  ///< kn [N/m]
  Lanes rootStiffness;    ///< its square root
  Lanes attraction;       ///< A of cohesive grains, also over a gap [N]
};

/// Loads the two records of each pair, subtracts (or adds) them as they lie, then transposes.
HG_INLINE void gather(const PassConstants& c, const PackedGrain* grains, const std::uint32_t* lower,
                      const std::uint32_t* upper, PairGeometry& p) {
  Lanes first[8], second[8];  // differences; then sums from the fourth number of the second on
  const auto* base = reinterpret_cast<const char*>(grains);
  constexpr std::int32_t kFlip = INT32_MIN;
  constexpr Mask kSigns = {kFlip, kFlip, kFlip, 0, 0, 0, 0, 0};
  for (int k = 0; k < 8; ++k) {
    const auto* i = reinterpret_cast<const Mask*>(base + lower[k]);
    const auto* j = reinterpret_cast<const Mask*>(base + upper[k]);
    const UintLanes steps = reinterpret_cast<const UintLanes&>(i[0]) -
                            reinterpret_cast<const UintLanes&>(j[0]);  // wraps: minimum image
    const Lanes units = __builtin_convertvector(reinterpret_cast<const Mask&>(steps), Lanes);
    const Lanes other = reinterpret_cast<const Lanes&>(i[0]) - reinterpret_cast<const Lanes&>(j[0]);
    first[k] = __builtin_shufflevector(units, other, 0, 1, 2, 11, 12, 13, 14, 15);
    second[k] = reinterpret_cast<const Lanes&>(i[1]) +
                reinterpret_cast<Lanes>(reinterpret_cast<const Mask&>(j[1]) ^ kSigns);
  }
  transpose(first);
  transpose(second);
  p.branch = {first[0] * all(c.unit[0]), first[1] * all(c.unit[1]), first[2] * all(c.unit[2])};
  p.radiusDifference = first[3];
  p.velocity = {first[4], first[5], first[6]};
  p.spin = {second[0], second[1], second[2]};
  p.radiusSum = second[3];
  p.radiusSpin = {second[4], second[5], second[6]};
}

HG_INLINE Approach approach(const PassConstants& c, const PairGeometry& p) {
  Approach a;
  const Lanes distance = squareRoot(dot(p.branch, p.branch));
  const Lanes overlap = p.radiusSum - distance;
  a.touching = overlap > all(0);
  a.overlap = greater(overlap, all(0));
  const Lanes product = all(1) / (p.radiusSum * distance);
  const Lanes inverseSum = product * distance;
  a.normal = p.branch * (product * p.radiusSum);
  a.velocity = less(p.velocity, cross(p.radiusSpin, p.branch), inverseSum);
  const Lanes radiusLower = (p.radiusSum + p.radiusDifference) * all(0.5f);
  a.shareLower = radiusLower * inverseSum;
  a.radius = radiusLower * (all(1) - a.shareLower);
  a.normalStiffness = all(c.normalModulus) * squareRoot(a.radius * a.overlap);
  a.rootStiffness = squareRoot(a.normalStiffness);
  const Lanes pull = all(c.pullOff) * a.radius;
  const Lanes faded = pull * fused(overlap, all(c.attractionPerGap), a.radius);
  a.attraction = greater(lesser(faded, pull * a.radius), all(0));
  return a;
}

}  // namespace
}  // namespace holdground::fast
