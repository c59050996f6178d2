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

HG_INLINE Triple operator+(Triple a, Triple b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
HG_INLINE Triple operator-(Triple a, Triple b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
HG_INLINE Triple operator*(Triple a, Lanes s) { return {a.x * s, a.y * s, a.z * s}; }
HG_INLINE Lanes dot(Triple a, Triple b) { return (a.x * b.x + a.y * b.y) + a.z * b.z; }
HG_INLINE Triple cross(Triple a, Triple b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
HG_INLINE Triple keep(IntLanes mask, Triple a) {
  return {keep(mask, a.x), keep(mask, a.y), keep(mask, a.z)};
}
HG_INLINE Triple select(IntLanes mask, Triple a, Triple b) {
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

/// Loads the two records of each pair, subtracts (or adds) them as they lie, then transposes.
HG_INLINE PairGeometry gather(const PassConstants& c, const PackedGrain* grains,
                              const std::uint32_t* lower, const std::uint32_t* upper) {
  const auto* base = reinterpret_cast<const char*>(grains);
  constexpr std::int32_t kFlip = INT32_MIN;
  constexpr IntLanes kSignFirst = {0, 0, 0, 0, kFlip, kFlip, kFlip, 0};
  constexpr IntLanes kSignSecond = {kFlip, kFlip, kFlip, kFlip, 0, 0, 0, 0};
  constexpr IntLanes kPosition = {-1, -1, -1, 0, 0, 0, 0, 0};
  Lanes first[8], second[8];
  for (int k = 0; k < kLanes; ++k) {
    const auto* i = reinterpret_cast<const IntLanes*>(base + lower[k]);
    const auto* j = reinterpret_cast<const IntLanes*>(base + upper[k]);
    const UintLanes steps = reinterpret_cast<const UintLanes&>(i[0]) -
                            reinterpret_cast<const UintLanes&>(j[0]);  // wraps: minimum image
    const Lanes units = __builtin_convertvector(reinterpret_cast<const IntLanes&>(steps), Lanes);
    const Lanes other =
        reinterpret_cast<const Lanes&>(i[0]) +
        reinterpret_cast<Lanes>(reinterpret_cast<const IntLanes&>(j[0]) ^ kSignFirst);
    first[k] = kPosition ? units : other;
    second[k] = reinterpret_cast<const Lanes&>(i[1]) +
                reinterpret_cast<Lanes>(reinterpret_cast<const IntLanes&>(j[1]) ^ kSignSecond);
  }
  transpose(first);
  transpose(second);
  PairGeometry p;
  p.branch = {first[0] * all(c.unit[0]), first[1] * all(c.unit[1]), first[2] * all(c.unit[2])};
  p.radiusSum = first[3];
  p.velocity = {first[4], first[5], first[6]};
  p.spin = {second[0], second[1], second[2]};
  p.radiusDifference = second[3];
  p.radiusSpin = {second[4], second[5], second[6]};
  return p;
}

/// Losses of a few thousand pairs, lane by lane; flushed to double before they lose digits.
struct LaneLosses {
  Lanes friction = all(0), normalDamping = all(0), tangentialDamping = all(0), rolling = all(0),
        historyArtefact = all(0);

  HG_INLINE static double sum(Lanes x) {
    double s = 0;
    for (int k = 0; k < kLanes; ++k) s += static_cast<double>(x[k]);
    return s;
  }
  HG_INLINE void flush(ContactLosses& to) {
    to.friction += sum(friction);
    to.normalDamping += sum(normalDamping);
    to.tangentialDamping += sum(tangentialDamping);
    to.rolling += sum(rolling);
    to.historyArtefact += sum(historyArtefact);
    *this = LaneLosses{};
  }
};

/// Adds the rows of one grain of each pair to the sums of the block's grains; rows of grains of
/// other blocks go to the spill row behind the last.
HG_INLINE void scatter(Lanes row[8], const std::uint32_t* slots, std::uint32_t firstPlace,
                       std::uint32_t spill, ForceSum* sums) {
  static_assert(sizeof(ForceSum) * 2 == kSlotBytes);
  transpose(row);
  const UintLanes local =
      *reinterpret_cast<const UintLanes*>(slots) - firstPlace;  // below first: huge
  alignas(32) std::uint32_t place[kLanes];
  *reinterpret_cast<UintLanes*>(place) = (local < spill ? local : spill + UintLanes{}) >> 1;
  for (int k = 0; k < kLanes; ++k) {
    auto* sum = reinterpret_cast<Lanes*>(reinterpret_cast<char*>(sums) + place[k]);
    *sum = *sum + row[k];
  }
}

void pairForces(const PassConstants& c, const PackedGrain* grains, Block& block, ForceSum* sums) {
  const FlushTinyToZero flushTiny;
  const std::uint32_t size = block.size(), firstPlace = block.first * kSlotBytes,
                      spill = size * kSlotBytes;
  for (std::uint32_t k = 0; k <= size; ++k) *reinterpret_cast<Lanes*>(sums + k) = all(0);

  const Lanes dt = all(c.timeStep), zero = all(0), half = all(0.5f), one = all(1);
  const std::size_t groups = block.history.size();
  constexpr std::size_t kAhead = 6;  // groups of pairs between the prefetch and its use
  LaneLosses losses;
  for (std::size_t g = 0; g < groups; ++g) {
    const std::uint32_t* lower = block.lower.data() + g * kLanes;
    const std::uint32_t* upper = block.upper.data() + g * kLanes;
    if (g + kAhead < groups)
      for (int k = 0; k < kLanes; ++k)
        __builtin_prefetch(reinterpret_cast<const char*>(grains) + upper[kAhead * kLanes + k]);
    const PairGeometry p = gather(c, grains, lower, upper);

    // Overlap.
    const Lanes distance = squareRoot(dot(p.branch, p.branch));
    const Lanes overlapSigned = p.radiusSum - distance;
    const IntLanes touching = overlapSigned > zero;
    PairGroup& history = block.history[g];
    const Lanes ktOld = load(history.stiffness);
    const IntLanes known = ktOld > zero;
    if (!any(touching | known)) continue;  // nothing touches, nothing to forget
    const Lanes overlap = keep(touching, overlapSigned);
    const Lanes product = one / (p.radiusSum * distance);
    const Lanes inverseRadiusSum = product * distance;
    const Triple n = p.branch * (product * p.radiusSum);
    const Lanes radiusLower = (p.radiusSum + p.radiusDifference) * half;
    const Lanes radiusUpper = (p.radiusSum - p.radiusDifference) * half;
    const Lanes radius = radiusLower * radiusUpper * inverseRadiusSum;  // R*

    // Normal force: Hertz and dashpot, never tensile.
    const Lanes contactRadius = squareRoot(radius * overlap);
    const Lanes normalStiffness = all(c.normalModulus) * contactRadius;
    const Lanes rootStiffness = squareRoot(normalStiffness);
    const Lanes elastic = all(2.0f / 3.0f) * normalStiffness * overlap;
    const Triple v = p.velocity - cross(p.radiusSpin, p.branch) * inverseRadiusSum;
    const Lanes vn = dot(v, n);
    const Lanes rootMass = load(history.rootMass);
    const Lanes rootSm = rootStiffness * rootMass;
    const Lanes normal = greater(zero, elastic - all(c.normalDamping) * rootSm * vn);

    // Both springs are turned into the new plane and softened when the contact unloads.
    const Lanes kt = all(c.stiffnessRatio) * normalStiffness;
    const Lanes ktSafe = touching ? kt : one;
    const Lanes ktOldSafe = known ? ktOld : ktSafe;
    const Lanes inverseProduct = one / (ktSafe * ktOldSafe);
    const Lanes unload = lesser(ktSafe * ktSafe * inverseProduct, one);  // kt/ktOld
    const Triple springOld = loadTriple(history.tangential);
    const Triple rollOld = loadTriple(history.rolling);
    const Triple spring1 = (springOld - n * dot(n, springOld)) * unload;
    const Triple roll1 = (rollOld - n * dot(n, rollOld)) * unload;

    // Trial forces, rolling in forces at R*.
    const Triple vt = v - n * vn;
    const Triple increment = vt * (kt * dt);
    const Lanes reducedMass = rootMass * rootMass;
    const Lanes dashpot =
        lesser(all(c.tangentialDamping) * rootSm, all(c.largestDashpot) * reducedMass);
    const Triple trial = spring1 - increment * half - vt * dashpot;
    const Triple roll = p.spin - n * dot(n, p.spin);
    const Triple rollIncrement = roll * (all(c.rollingRatio) * kt * radius * dt);
    const Lanes rollDashpot =
        lesser(all(c.rollingDamping) * rootStiffness * load(history.rootInertia),
               all(c.largestRollingDashpot) * (reducedMass * radius));
    const Triple rollTrial = roll1 - rollIncrement * half - roll * rollDashpot;

    // Cut to the limits; one division serves both.
    const Lanes limit = all(c.friction) * normal;
    const Lanes rollLimit = all(c.rollingFriction) * normal;
    const Lanes length = squareRoot(greater(dot(trial, trial), all(1e-24f)));
    const Lanes rollLength = squareRoot(greater(dot(rollTrial, rollTrial), all(1e-24f)));
    const IntLanes slides = length > limit;
    const IntLanes yields = rollLength > rollLimit;
    const Lanes inverseLengths = one / (length * rollLength);
    const Lanes cut = slides ? limit * rollLength * inverseLengths : one;
    const Lanes rollCut = yields ? rollLimit * length * inverseLengths : one;
    const Triple tangential = trial * cut;
    const Triple rollForce = keep(touching, rollTrial * rollCut);
    // A spring has slipped when it was cut and would itself pass the limit; otherwise it holds.
    const Triple loaded = spring1 - increment, rollLoaded = roll1 - rollIncrement;
    const IntLanes slipped = slides & (dot(loaded, loaded) > limit * limit);
    const IntLanes rolled = yields & (dot(rollLoaded, rollLoaded) > rollLimit * rollLimit);
    const Triple spring2 = keep(touching, select(slipped, tangential, loaded));
    const Triple roll2 = keep(touching, select(rolled, rollForce, rollLoaded));
    storeTriple(history.tangential, spring2);
    storeTriple(history.rolling, roll2);
    store(history.stiffness, keep(touching, kt));

    // Losses: work done against the contact less what its springs gained.
    const Lanes halfInverseKt = half * (ktOldSafe * inverseProduct);
    const Lanes halfInverseKtOld = half * (ktSafe * inverseProduct);
    const Lanes rollWeight = all(c.inverseRollingRatio);
    const Lanes slideEnergyOld = dot(springOld, springOld) * halfInverseKtOld;
    const Lanes rollEnergyOld = dot(rollOld, rollOld) * rollWeight * halfInverseKtOld;
    const Lanes slideEnergy1 = dot(spring1, spring1) * halfInverseKt;
    const Lanes rollEnergy1 = dot(roll1, roll1) * rollWeight * halfInverseKt;
    const Lanes slideEnergy2 = dot(spring2, spring2) * halfInverseKt;
    const Lanes rollEnergy2 = dot(roll2, roll2) * rollWeight * halfInverseKt;
    const Lanes slideTaken = (slideEnergy1 - slideEnergy2) - dot(tangential, vt) * dt;
    const Lanes rollTaken = (rollEnergy1 - rollEnergy2) - dot(rollForce, roll) * (radius * dt);
    const IntLanes counted =
        (IntLanes)((*reinterpret_cast<const UintLanes*>(lower) - firstPlace) < spill);
    const IntLanes owned = touching & counted;
    const IntLanes ended = counted & ~touching;  // what the springs still hold is lost
    losses.friction += keep(owned & slipped, slideTaken) + keep(ended, slideEnergyOld);
    losses.tangentialDamping += keep(owned & ~slipped, slideTaken);
    losses.normalDamping += keep(owned, (elastic - normal) * vn * dt);
    losses.rolling += keep(owned, rollTaken) + keep(ended, rollEnergyOld);
    losses.historyArtefact +=
        keep(owned, (slideEnergyOld - slideEnergy1) + (rollEnergyOld - rollEnergy1));
    if (g % 64 == 63) losses.flush(block.losses);

    // Forces on the lower grain; the upper one gets the opposite, both at the point of contact.
    const Triple force = keep(touching, n * normal + tangential);
    const Triple turn = cross(force, p.branch) * inverseRadiusSum;
    const Triple moment = rollForce * radius;
    const Triple torqueLower = turn * radiusLower + moment;
    const Triple torqueUpper = turn * radiusUpper - moment;
    Lanes row[8] = {force.x,       force.y,       force.z,       zero,
                    torqueLower.x, torqueLower.y, torqueLower.z, zero};
    scatter(row, lower, firstPlace, spill, sums);
    Lanes opposite[8] = {zero - force.x, zero - force.y, zero - force.z, zero,
                         torqueUpper.x,  torqueUpper.y,  torqueUpper.z,  zero};
    scatter(opposite, upper, firstPlace, spill, sums);
  }
  losses.flush(block.losses);
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
