// Body of the inner loops; compiled once per instruction set by block_pass_<set>.cpp, which defines
// HG_PASSES (the table's name) and HG_SET (its label). No other header may be included here that
// has functions with linkage: the linker could pick the copy built for the wider set.
//
// Contact law: solver/contact/hertz_mindlin.hpp, term by term; letters are the same.
// Departs: single precision.

#include "solver/kernel_fast/block_pass.hpp"
#include "solver/kernel_fast/lanes.hpp"

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
  return {select(mask, a.x, b.x), select(mask, a.y, b.y), select(mask, a.z, b.z)};
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

/// Loads the two records of each of eight pairs, subtracts (or adds) them as they lie, then
/// transposes.
HG_INLINE void gatherEight(const PackedGrain* grains, const std::uint32_t* lower,
                           const std::uint32_t* upper, Eight first[8], Eight second[8]) {
  const auto* base = reinterpret_cast<const char*>(grains);
  constexpr std::int32_t kFlip = INT32_MIN;
  constexpr IntEight kSigns = {kFlip, kFlip, kFlip, 0, 0, 0, 0, 0};
  constexpr IntEight kPosition = {-1, -1, -1, 0, 0, 0, 0, 0};
  for (int k = 0; k < 8; ++k) {
    const auto* i = reinterpret_cast<const IntEight*>(base + lower[k]);
    const auto* j = reinterpret_cast<const IntEight*>(base + upper[k]);
    const UintEight steps = reinterpret_cast<const UintEight&>(i[0]) -
                            reinterpret_cast<const UintEight&>(j[0]);  // wraps: minimum image
    const Eight units = __builtin_convertvector(reinterpret_cast<const IntEight&>(steps), Eight);
    const Eight other = reinterpret_cast<const Eight&>(i[0]) - reinterpret_cast<const Eight&>(j[0]);
    first[k] = kPosition ? units : other;
    second[k] = reinterpret_cast<const Eight&>(i[1]) +
                reinterpret_cast<Eight>(reinterpret_cast<const IntEight&>(j[1]) ^ kSigns);
  }
  transpose(first);
  transpose(second);
}

HG_INLINE PairGeometry gather(const PassConstants& c, const PackedGrain* grains,
                              const std::uint32_t* lower, const std::uint32_t* upper) {
  Eight first[2][8], second[2][8];
  gatherEight(grains, lower, upper, first[0], second[0]);
  gatherEight(grains, lower + 8, upper + 8, first[1], second[1]);
  const auto of = [](const Eight row[2][8], int k) { return Lanes{row[0][k], row[1][k]}; };
  PairGeometry p;
  p.branch = {of(first, 0) * all(c.unit[0]), of(first, 1) * all(c.unit[1]),
              of(first, 2) * all(c.unit[2])};
  p.radiusDifference = of(first, 3);
  p.velocity = {of(first, 4), of(first, 5), of(first, 6)};
  p.spin = {of(second, 0), of(second, 1), of(second, 2)};
  p.radiusSum = of(second, 3);
  p.radiusSpin = {of(second, 4), of(second, 5), of(second, 6)};
  return p;
}

/// Losses over the time step of a few hundred pairs, lane by lane; flushed to double before they
/// lose digits.
struct LaneLosses {
  Lanes friction = all(0), normalDamping = all(0), tangentialDamping = all(0), rolling = all(0),
        historyArtefact = all(0);

  HG_INLINE static double sum(Lanes x) {
    double s = 0;
    const Eight both = x.a + x.b;
    for (int k = 0; k < 8; ++k) s += static_cast<double>(both[k]);
    return s;
  }
  HG_INLINE void flush(float timeStep, ContactLosses& to) {
    const double dt = static_cast<double>(timeStep);
    to.friction += dt * sum(friction);
    to.normalDamping += dt * sum(normalDamping);
    to.tangentialDamping += dt * sum(tangentialDamping);
    to.rolling += dt * sum(rolling);
    to.historyArtefact += dt * sum(historyArtefact);
    *this = LaneLosses{};
  }
};

/// Forces of a group's pairs: that on the lower grain (the upper one gets the opposite) and the
/// torques, that on the upper one with its sign turned.
struct PairLoads {
  Triple force, torqueLower, minusTorqueUpper;
};

/// Half of a vector over kLanes pairs, as the first three of four rows over eight of them.
struct Rows {
  Eight row[4];
};
HG_INLINE Rows firstHalf(Triple t) { return {{t.x.a, t.y.a, t.z.a, Eight{}}}; }
HG_INLINE Rows secondHalf(Triple t) { return {{t.x.b, t.y.b, t.z.b, Eight{}}}; }

/// Adds the loads of eight pairs to the sums of the block's grains.
HG_INLINE void scatterEight(Rows force, Rows torqueLower, Rows minusTorqueUpper,
                            const std::uint16_t* lowerPlace, const std::uint16_t* upperPlace,
                            ForceSum* sums) {
  Eight f[4], t[4], row[8];
  auto* base = reinterpret_cast<char*>(sums);
  interleave(force.row, f);
  interleave(torqueLower.row, t);
  join(f, t, row);
  for (int k = 0; k < 8; ++k) {
    auto* sum = reinterpret_cast<Eight*>(base + std::size_t{lowerPlace[k]} * kPlaceBytes);
    *sum = *sum + row[k];
  }
  interleave(minusTorqueUpper.row, t);
  join(f, t, row);
  for (int k = 0; k < 8; ++k) {
    auto* sum = reinterpret_cast<Eight*>(base + std::size_t{upperPlace[k]} * kPlaceBytes);
    *sum = *sum - row[k];
  }
}

HG_INLINE void scatter(const PairLoads& l, const PairPlaces& places, ForceSum* sums) {
  scatterEight(firstHalf(l.force), firstHalf(l.torqueLower), firstHalf(l.minusTorqueUpper),
               places.lower, places.upper, sums);
  scatterEight(secondHalf(l.force), secondHalf(l.torqueLower), secondHalf(l.minusTorqueUpper),
               places.lower + 8, places.upper + 8, sums);
}

/// Which of a group's pairs have their lower grain in the block: it books their losses.
HG_INLINE Mask bookedHere(const std::uint32_t* lower, std::uint32_t firstPlace) {
  const auto* slots = reinterpret_cast<const UintEight*>(lower);
  return {(IntEight)(slots[0] >= firstPlace), (IntEight)(slots[1] >= firstPlace)};
}

/// Starts to load what a later group will need.
HG_INLINE void prefetch(const PackedGrain* grains, const std::uint32_t* upper,
                        const PairGroup& group) {
  const auto* base = reinterpret_cast<const char*>(grains);
  for (int k = 0; k < kLanes; ++k) __builtin_prefetch(base + upper[k]);
  const auto* memory = reinterpret_cast<const char*>(&group);
  for (std::size_t at = 0; at < sizeof group; at += 64) __builtin_prefetch(memory + at);
}

void pairForces(const PassConstants& c, const PackedGrain* grains, Block& block, ForceSum* sums) {
  const FlushTinyToZero flushTiny;
  const std::uint32_t size = block.size(), firstSlot = block.first * kSlotBytes;
  for (std::uint32_t k = 0; k <= size; ++k) *reinterpret_cast<Eight*>(sums + k) = Eight{};

  const Lanes dt = all(c.timeStep), zero = all(0), half = all(0.5f), one = all(1);
  const std::size_t groups = block.history.size();
  constexpr std::size_t kAhead = 4;  // groups of pairs between the prefetch and its use
  if (groups == 0) return;
  LaneLosses losses;
  PairGeometry next = gather(c, grains, block.lower.data(), block.upper.data());
  for (std::size_t g = 0; g < groups; ++g) {
    const std::uint32_t* lower = block.lower.data() + g * kLanes;
    const std::uint32_t* upper = block.upper.data() + g * kLanes;
    if (g + kAhead < groups) prefetch(grains, upper + kAhead * kLanes, block.history[g + kAhead]);
    const PairGeometry p = next;

    // Overlap.
    const Lanes distance = squareRoot(dot(p.branch, p.branch));
    const Lanes overlapSigned = p.radiusSum - distance;
    const Mask touching = overlapSigned > zero;
    PairGroup& history = block.history[g];
    const Lanes ktOld = load(history.stiffness);
    const Mask known = ktOld > zero;
    // The next group's records are fetched here, while the roots of this one are under way.
    const std::size_t following = (g + 1 < groups ? g + 1 : g) * kLanes;
    next = gather(c, grains, block.lower.data() + following, block.upper.data() + following);
    if (!any(touching | known)) continue;  // nothing touches, nothing to forget
    // Pairs that do not touch get no force and no memory of one, because their overlap is 0.
    const Lanes overlap = greater(overlapSigned, zero);
    const Lanes product = one / (p.radiusSum * distance);
    const Lanes inverseRadiusSum = product * distance;
    const Triple n = p.branch * (product * p.radiusSum);
    const Lanes radiusLower = (p.radiusSum + p.radiusDifference) * half;
    const Lanes shareLower = radiusLower * inverseRadiusSum, shareUpper = one - shareLower;
    const Lanes radius = radiusLower * shareUpper;  // R*

    // Normal force: Hertz and dashpot, never tensile.
    const Lanes contactRadius = squareRoot(radius * overlap);
    const Lanes normalStiffness = all(c.normalModulus) * contactRadius;
    const Lanes rootStiffness = squareRoot(normalStiffness);
    const Lanes elastic = all(2.0f / 3.0f) * normalStiffness * overlap;
    const Triple v = less(p.velocity, cross(p.radiusSpin, p.branch), inverseRadiusSum);
    const Lanes vn = dot(v, n);
    const Lanes rootMass = load(history.rootMass);
    const Lanes rootSm = rootStiffness * rootMass;
    const Lanes normal = greater(zero, fusedLess(elastic, all(c.normalDamping) * rootSm, vn));

    // Both springs are turned into the new plane and softened when the contact unloads.
    const Lanes kt = all(c.stiffnessRatio) * normalStiffness;
    const Lanes ktSafe = select(touching, kt, one);
    const Lanes ktOldSafe = select(known, ktOld, ktSafe);
    const Lanes inverseProduct = one / (ktSafe * ktOldSafe);
    const Lanes unload = lesser(ktSafe * ktSafe * inverseProduct, one);  // kt/ktOld
    const Triple springOld = loadTriple(history.tangential);
    const Triple rollOld = loadTriple(history.rolling);
    const Lanes springNormal = dot(n, springOld), rollNormal = dot(n, rollOld);
    const Triple spring1 = less(springOld, n, springNormal) * unload;
    const Triple roll1 = less(rollOld, n, rollNormal) * unload;

    // A spring that holds becomes `loaded`; it acts with the mean of before and after, and its
    // dashpot. Rolling in forces at R*.
    const Triple vt = less(v, n, vn);
    const Lanes stretch = kt * dt;
    const Triple loaded = less(spring1, vt, stretch);
    const Lanes reducedMass = rootMass * rootMass;
    const Lanes dashpot =
        lesser(all(c.tangentialDamping) * rootSm, all(c.largestDashpot) * reducedMass);
    const Triple trial = less(spring1, vt, fused(stretch, half, dashpot));
    const Triple roll = less(p.spin, n, dot(n, p.spin));
    const Lanes rollStretch = all(c.rollingRatio) * radius * stretch;
    const Lanes rollDashpot =
        lesser(all(c.rollingDamping) * rootStiffness * load(history.rootInertia),
               all(c.largestRollingDashpot) * (reducedMass * radius));
    const Triple rollLoaded = less(roll1, roll, rollStretch);
    const Triple rollTrial = less(roll1, roll, fused(rollStretch, half, rollDashpot));

    // Cut to the limits; one division serves both.
    const Lanes limit = all(c.friction) * normal;
    const Lanes rollLimit = all(c.rollingFriction) * normal;
    const Lanes length = squareRoot(greater(dot(trial, trial), all(1e-24f)));
    const Lanes rollLength = squareRoot(greater(dot(rollTrial, rollTrial), all(1e-24f)));
    const Mask slides = length > limit;
    const Mask yields = rollLength > rollLimit;
    const Lanes inverseLengths = one / (length * rollLength);
    const Triple tangential = trial * select(slides, limit * rollLength * inverseLengths, one);
    const Triple rollForce = rollTrial * select(yields, rollLimit * length * inverseLengths, one);
    // A spring has slipped when it was cut and would itself pass the limit.
    const Lanes loadedSquare = dot(loaded, loaded), limitSquare = limit * limit;
    const Lanes rollLoadedSquare = dot(rollLoaded, rollLoaded);
    const Lanes rollLimitSquare = rollLimit * rollLimit;
    const Mask slipped = slides & (loadedSquare > limitSquare);
    const Mask rolled = yields & (rollLoadedSquare > rollLimitSquare);
    storeTriple(history.tangential, select(slipped, tangential, loaded));
    storeTriple(history.rolling, select(rolled, rollForce, rollLoaded));
    store(history.stiffness, kt);

    // Losses over dt: work done against the contact less what its springs gained. Squares of
    // springs: of the old one, of the turned one, and of the new one, as long as the limit if it
    // slipped.
    const Lanes halfInverseKt = all(c.halfPerStep) * ktOldSafe * inverseProduct;
    const Lanes halfInverseKtOld = all(c.halfPerStep) * ktSafe * inverseProduct;
    const Lanes rollWeight = all(c.inverseRollingRatio), unloadSquare = unload * unload;
    const Lanes square0 = dot(springOld, springOld);
    const Lanes rollSquare0 = dot(rollOld, rollOld) * rollWeight;
    const Lanes square1 = fusedLess(square0, springNormal, springNormal) * unloadSquare;
    const Lanes rollSquare1 =
        fusedLess(rollSquare0, rollNormal * rollWeight, rollNormal) * unloadSquare;
    const Lanes square2 = select(slipped, limitSquare, loadedSquare);
    const Lanes rollSquare2 = select(rolled, rollLimitSquare, rollLoadedSquare);
    const Lanes slideTaken = (square1 - square2) * halfInverseKt - dot(tangential, vt);
    const Lanes rollTaken = fusedLess(rollSquare1, rollSquare2, rollWeight) * halfInverseKt -
                            dot(rollForce, roll) * radius;
    const Mask booked = bookedHere(lower, firstSlot);
    const Mask owned = touching & booked;
    losses.friction += keep(owned & slipped, slideTaken);
    losses.tangentialDamping += keep(owned & ~slipped, slideTaken);
    losses.normalDamping += keep(owned, (elastic - normal) * vn);
    losses.rolling += keep(owned, rollTaken);
    losses.historyArtefact += keep(owned, fusedLess((square0 + rollSquare0) * halfInverseKtOld,
                                                    square1 + rollSquare1, halfInverseKt));
    const Mask ended = booked & known & ~touching;
    if (any(ended)) {  // what the springs still hold is lost
      losses.friction += keep(ended, square0 * halfInverseKtOld);
      losses.rolling += keep(ended, rollSquare0 * halfInverseKtOld);
    }
    if (g % 32 == 31) losses.flush(c.timeStep, block.losses);

    // Both grains are loaded at the point of contact; the normal force has no arm.
    const Triple turn = cross(tangential, p.branch);
    const Triple moment = rollForce * radius;
    scatter({plus(tangential, n, normal), plus(moment, turn, shareLower),
             less(moment, turn, shareUpper)},
            block.places[g], sums);
  }
  losses.flush(c.timeStep, block.losses);
}

HG_INLINE Quad splat(float x) { return Quad{x, x, x, x}; }
HG_INLINE Quad loadQuad(const float* p) { return *reinterpret_cast<const Quad*>(p); }
HG_INLINE void storeQuad(float* p, Quad x) { *reinterpret_cast<Quad*>(p) = x; }

void integrate(const PassConstants& c, PackedGrain* grains, GrainMotion* motions, Block& block,
               const ForceSum* sums) {
  const FlushTinyToZero flushTiny;
  const Quad dt = splat(c.timeStep), halfStep = splat(0.5f * c.timeStep);
  const Quad gravity = {0, 0, -c.gravity, 0};
  const Quad perUnit = {c.timeStep / c.unit[0], c.timeStep / c.unit[1], c.timeStep / c.unit[2], 0};
  constexpr IntQuad kVector = {-1, -1, -1, 0};  // the fourth number of a row is another quantity
  double dragWork = 0.0;
  float leastSlack = 0.0f;
  for (std::uint32_t slot = block.first; slot < block.end; ++slot) {
    PackedGrain& grain = grains[slot];
    GrainMotion& motion = motions[slot];
    if (motion.moves == 0.0f) continue;
    const ForceSum& sum = sums[slot - block.first];

    const Quad before = loadQuad(motion.velocity), seenBefore = loadQuad(grain.velocity);
    Quad acceleration = loadQuad(sum.force) * splat(grain.inverseMass) + gravity;
    Quad velocity = before + acceleration * dt;
    if (motion.dragPerSpeed != 0.0f) {
      // Implicit in the speed before, so that drag can stop a grain but never turn it round.
      const float speed =
          __builtin_sqrtf(before[0] * before[0] + before[1] * before[1] + before[2] * before[2]);
      const float retain = 1.0f / (1.0f + c.timeStep * motion.dragPerSpeed * speed);
      const Quad undragged = velocity;
      velocity = undragged * splat(retain);
      const Quad lost = (undragged - velocity) * (before + velocity);
      dragWork += 0.5 * static_cast<double>(lost[0] + lost[1] + lost[2]) /
                  static_cast<double>(grain.inverseMass);
      acceleration = (velocity - before) * splat(1.0f / c.timeStep);
    }
    const Quad angular = loadQuad(sum.torque) * splat(grain.inverseInertia);
    const Quad spinBefore = loadQuad(motion.spin);
    const Quad spin = spinBefore + angular * dt;

    const Quad remainderBefore = loadQuad(motion.remainder);  // its fourth is the slack
    const Quad advance = velocity * perUnit + remainderBefore;
    const IntQuad wholeUnits = __builtin_convertvector(advance, IntQuad) & kVector;
    const Quad remainder = advance - __builtin_convertvector(wholeUnits, Quad);
    const Quad path = velocity < splat(0) ? splat(0) - velocity : velocity;
    const float slack = motion.slack - c.timeStep * (path[0] + path[1] + path[2]);
    leastSlack = slack < leastSlack ? slack : leastSlack;

    auto& position =
        *reinterpret_cast<UintQuad*>(grain.position);  // its fourth, the radius, adds 0
    position = position + (UintQuad)wholeUnits;
    const Quad spinSeen = spin + angular * halfStep;
    const Quad radiusSpin = spinSeen * splat(grain.radius);
    storeQuad(grain.velocity, kVector ? velocity + acceleration * halfStep : seenBefore);
    storeQuad(grain.spin, kVector ? spinSeen : loadQuad(grain.spin));
    storeQuad(grain.radiusSpin, kVector ? radiusSpin : loadQuad(grain.radiusSpin));
    storeQuad(motion.velocity, kVector ? velocity : before);
    storeQuad(motion.spin, kVector ? spin : spinBefore);
    storeQuad(motion.remainder, remainder);
    motion.slack = slack;
  }
  block.waterDrag += dragWork;
  block.outOfDate |= leastSlack < 0.0f;
}

}  // namespace

const BlockPasses HG_PASSES = {HG_SET, &pairForces, &integrate};

}  // namespace holdground::fast
