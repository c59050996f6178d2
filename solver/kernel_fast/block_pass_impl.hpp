// Body of the inner loops; compiled once per instruction set by block_pass_<set>.cpp, which defines
// HG_PASSES (the table's name) and HG_SET (its label). No other header may be included here that
// has functions with linkage: the linker could pick the copy built for the wider set.
//
// Contact law: solver/contact/hertz_mindlin.hpp, term by term; letters are the same.
// Departs: single precision; a spring slips when the force that acts (the mean of before and after,
// with damping) passes the limit, decided once instead of at each of the law's three cuts: the same
// to first order in the step, and the energy identity stays exact.

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
  Lanes radiusSum, radiusDifference, inverseMass, inverseRolling;
};

/// Loads the two records of each pair, subtracts (or adds) them as they lie, then transposes.
HG_INLINE PairGeometry gather(const PassConstants& c, const PackedGrain* grains,
                              const std::uint32_t* lower, const std::uint32_t* upper) {
  constexpr std::int32_t kFlip = INT32_MIN;
  constexpr IntLanes kSignFirst = {0, 0, 0, 0, kFlip, kFlip, kFlip, 0};
  constexpr IntLanes kSignSecond = {kFlip, kFlip, kFlip, kFlip, 0, 0, 0, 0};
  constexpr IntLanes kPosition = {-1, -1, -1, 0, 0, 0, 0, 0};
  const Lanes unit = {c.unit[0], c.unit[1], c.unit[2], 0, 0, 0, 0, 0};
  Lanes first[8], second[8];
  for (int k = 0; k < kLanes; ++k) {
    const auto* i = reinterpret_cast<const IntLanes*>(grains + lower[k]);
    const auto* j = reinterpret_cast<const IntLanes*>(grains + upper[k]);
    const UintLanes steps = reinterpret_cast<const UintLanes&>(i[0]) -
                            reinterpret_cast<const UintLanes&>(j[0]);  // wraps: minimum image
    const Lanes metres =
        __builtin_convertvector(reinterpret_cast<const IntLanes&>(steps), Lanes) * unit;
    const Lanes other =
        reinterpret_cast<const Lanes&>(i[0]) +
        reinterpret_cast<Lanes>(reinterpret_cast<const IntLanes&>(j[0]) ^ kSignFirst);
    first[k] = kPosition ? metres : other;
    second[k] = reinterpret_cast<const Lanes&>(i[1]) +
                reinterpret_cast<Lanes>(reinterpret_cast<const IntLanes&>(j[1]) ^ kSignSecond);
  }
  transpose(first);
  transpose(second);
  PairGeometry p;
  p.branch = {first[0], first[1], first[2]};
  p.radiusSum = first[3];
  p.velocity = {first[4], first[5], first[6]};
  p.inverseMass = first[7];
  p.spin = {second[0], second[1], second[2]};
  p.radiusDifference = second[3];
  p.radiusSpin = {second[4], second[5], second[6]};
  p.inverseRolling = second[7];
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

/// Adds the rows of one grain of each pair to the sums of the block's grains.
HG_INLINE void scatter(Lanes row[8], const std::uint32_t* slots, std::uint32_t first,
                       std::uint32_t size, ForceSum* sums) {
  transpose(row);
  for (int k = 0; k < kLanes; ++k) {
    const std::uint32_t local = slots[k] - first;  // another block's grain wraps to a large number
    auto* sum = reinterpret_cast<Lanes*>(sums + (local < size ? local : size));
    *sum = *sum + row[k];
  }
}

void pairForces(const PassConstants& c, const PackedGrain* grains, Block& block, ForceSum* sums) {
  const FlushTinyToZero flushTiny;
  const std::uint32_t size = block.size();
  for (std::uint32_t k = 0; k <= size; ++k) *reinterpret_cast<Lanes*>(sums + k) = all(0);

  const Lanes dt = all(c.timeStep), zero = all(0), half = all(0.5f), one = all(1);
  const std::size_t groups = block.history.size();
  constexpr std::size_t kAhead = 6;  // groups of pairs between the prefetch and its use
  LaneLosses losses;
  for (std::size_t g = 0; g < groups; ++g) {
    const std::uint32_t* lower = block.lower.data() + g * kLanes;
    const std::uint32_t* upper = block.upper.data() + g * kLanes;
    if (g + kAhead < groups)
      for (int k = 0; k < kLanes; ++k) __builtin_prefetch(grains + upper[kAhead * kLanes + k]);
    const PairGeometry p = gather(c, grains, lower, upper);

    // Overlap. One division serves four reciprocals.
    const Lanes distanceSquared = dot(p.branch, p.branch);
    const Lanes distance = squareRoot(distanceSquared);
    const Lanes overlapSigned = p.radiusSum - distance;
    const IntLanes touching = overlapSigned > zero;
    PairGroup& history = block.history[g];
    const Lanes ktOld = load(history.stiffness);
    const IntLanes known = ktOld > zero;
    if (!any(touching | known)) continue;  // nothing touches, nothing to forget
    const Lanes overlap = keep(touching, overlapSigned);
    const Lanes inverseDistance = one / distance;
    const Lanes product = one / (p.radiusSum * p.inverseMass);
    const Lanes inverseRadiusSum = product * p.inverseMass;
    const Lanes mass = product * p.radiusSum;  // m*
    const Triple n = p.branch * inverseDistance;
    const Lanes radiusLower = (p.radiusSum + p.radiusDifference) * half;
    const Lanes radiusUpper = (p.radiusSum - p.radiusDifference) * half;
    const Lanes radius = radiusLower * radiusUpper * inverseRadiusSum;  // R*

    // Normal force: Hertz and dashpot, never tensile.
    const Lanes contactRadius = squareRoot(radius * overlap);
    const Lanes normalStiffness = all(c.normalModulus) * contactRadius;
    const Lanes elastic = all(2.0f / 3.0f) * normalStiffness * overlap;
    const Triple v = p.velocity - cross(p.radiusSpin, p.branch) * inverseRadiusSum;
    const Lanes vn = dot(v, n);
    const Lanes rootSm = squareRoot(normalStiffness * mass);
    const Lanes normal = greater(zero, elastic - all(c.normalDamping) * rootSm * vn);

    // Tangential spring: carried to the new plane, softened when the contact unloads.
    const Lanes kt = all(c.stiffnessRatio) * normalStiffness;
    const Lanes ktSafe = touching ? kt : one;
    const Lanes ktOldSafe = known ? ktOld : ktSafe;
    const Lanes inverseProduct = one / (ktSafe * ktOldSafe);
    const Lanes ratio = ktSafe * ktSafe * inverseProduct;  // kt / ktOld
    const Lanes inverseKt = ktOldSafe * inverseProduct;
    const Lanes unload = lesser(ratio, one);
    const Triple springOld = loadTriple(history.tangential);
    const Triple spring1 = (springOld - n * dot(n, springOld)) * unload;
    const Triple vt = v - n * vn;
    const Triple increment = vt * (kt * dt);
    const Lanes ct = all(c.tangentialDamping) * rootSm;
    const Triple trial = spring1 - increment * half - vt * ct;
    const Lanes limit = all(c.friction) * normal;
    const Lanes trialSquared = dot(trial, trial);
    const IntLanes slides = trialSquared > limit * limit;
    const Lanes cut = slides ? limit / squareRoot(trialSquared) : one;
    const Triple tangential = trial * cut;
    const Triple spring2 = keep(touching, select(slides, tangential, spring1 - increment));

    // Rolling: the same scheme with the relative spin across the normal.
    const Lanes kr = all(c.rollingRatio) * kt * (radius * radius);
    const Triple rollOld = loadTriple(history.rolling);
    const Triple roll1 = (rollOld - n * dot(n, rollOld)) * unload;
    const Triple roll = p.spin - n * dot(n, p.spin);
    const Triple rollIncrement = roll * (kr * dt);
    const Lanes inertia = one / p.inverseRolling;
    const Lanes cr = all(c.rollingDamping) * squareRoot(kr * inertia);
    const Triple rollTrial = roll1 - rollIncrement * half - roll * cr;
    const Lanes rollLimit = all(c.rollingFriction) * radius * normal;
    const Lanes rollSquared = dot(rollTrial, rollTrial);
    const IntLanes yields = rollSquared > rollLimit * rollLimit;
    const Lanes rollCut = yields ? rollLimit / squareRoot(rollSquared) : one;
    const Triple moment = keep(touching, rollTrial * rollCut);
    const Triple roll2 = keep(touching, select(yields, moment, roll1 - rollIncrement));

    storeTriple(history.tangential, spring2);
    storeTriple(history.rolling, roll2);
    store(history.stiffness, keep(touching, kt));

    // Losses: work done against the contact less what its springs gained. k_r is k_t times a number
    // of the pair, so both springs are reckoned in 1/k_t.
    const Lanes rollWeight = one / greater(all(c.rollingRatio) * (radius * radius), all(1e-30f));
    const Lanes halfInverseKt = half * inverseKt;
    const Lanes slideEnergy1 = dot(spring1, spring1) * halfInverseKt;
    const Lanes rollEnergy1 = dot(roll1, roll1) * rollWeight * halfInverseKt;
    const Lanes slideGain = dot(spring2, spring2) * halfInverseKt - slideEnergy1;
    const Lanes rollGain = dot(roll2, roll2) * rollWeight * halfInverseKt - rollEnergy1;
    const Lanes halfInverseKtOld = half * ktSafe * inverseProduct;
    const Lanes slideOld = dot(springOld, springOld) * halfInverseKtOld;
    const Lanes rollOldEnergy = dot(rollOld, rollOld) * rollWeight * halfInverseKtOld;
    const Lanes slideTaken = zero - dot(tangential, vt) * dt - slideGain;
    const Lanes rollTaken = zero - dot(moment, roll) * dt - rollGain;
    const UintLanes lowerSlots = *reinterpret_cast<const UintLanes*>(lower);
    const IntLanes counted = (IntLanes)((lowerSlots - block.first) < size);
    const IntLanes owned = touching & counted;
    const IntLanes ended = counted & ~touching;  // what the springs still hold is lost
    losses.friction += keep(owned & slides, slideTaken) + keep(ended, slideOld);
    losses.tangentialDamping += keep(owned & ~slides, slideTaken);
    losses.normalDamping += keep(owned, (elastic - normal) * vn * dt);
    losses.rolling += keep(owned, rollTaken) + keep(ended, rollOldEnergy);
    losses.historyArtefact +=
        keep(owned, (slideOld - slideEnergy1) + (rollOldEnergy - rollEnergy1));
    if (g % 64 == 63) losses.flush(block.losses);

    // Forces on the lower grain; the upper one gets the opposite. Torque over radius: see ForceSum.
    const Triple force = keep(touching, n * normal + tangential);
    const Triple turn = cross(force, p.branch) * inverseRadiusSum;
    const Lanes perRadii = one / (radiusLower * radiusUpper);
    const Triple rollLower = moment * (radiusUpper * perRadii);
    const Triple rollUpper = moment * (radiusLower * perRadii);
    const Triple turnLower = turn + rollLower, turnUpper = turn - rollUpper;
    Lanes row[8] = {force.x, force.y, force.z, zero, turnLower.x, turnLower.y, turnLower.z, zero};
    scatter(row, lower, block.first, size, sums);
    Lanes opposite[8] = {zero - force.x, zero - force.y, zero - force.z, zero,
                         turnUpper.x,    turnUpper.y,    turnUpper.z,    zero};
    scatter(opposite, upper, block.first, size, sums);
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
  double dragWork = 0.0;
  bool outOfDate = false;
  for (std::uint32_t slot = block.first; slot < block.end; ++slot) {
    PackedGrain& grain = grains[slot];
    GrainMotion& motion = motions[slot];
    if (motion.moves == 0.0f) continue;
    const ForceSum& sum = sums[slot - block.first];

    Quad acceleration = loadQuad(sum.force) * splat(grain.inverseMass) + gravity;
    const Quad before = loadQuad(motion.velocity) * Quad{1, 1, 1, 0};
    Quad velocity = before + acceleration * dt;
    if (motion.dragPerSpeed != 0.0f) {
      // Implicit in the speed before, so that drag can stop a grain but never turn it round.
      const float speed =
          __builtin_sqrtf(before[0] * before[0] + before[1] * before[1] + before[2] * before[2]);
      const float retain = 1.0f / (1.0f + c.timeStep * motion.dragPerSpeed * speed);
      const Quad undragged = velocity;
      velocity = undragged * splat(retain);
      const Quad lost = (undragged - velocity) * (before + velocity);  // m (v'-v).(mean v) * 2
      dragWork += 0.5 * static_cast<double>(lost[0] + lost[1] + lost[2]) /
                  static_cast<double>(grain.inverseMass);
      acceleration = (velocity - before) * splat(1.0f / c.timeStep);
    }
    // 2.5 / (m R^2) times the torque R * turn.
    const Quad angular = loadQuad(sum.turn) * splat(2.5f * grain.inverseMass / grain.radius);
    const Quad spin = loadQuad(motion.spin) * Quad{1, 1, 1, 0} + angular * dt;

    const Quad advance = velocity * perUnit + loadQuad(motion.remainder) * Quad{1, 1, 1, 0};
    const IntQuad wholeSteps = __builtin_convertvector(advance, IntQuad);
    const Quad remainder = advance - __builtin_convertvector(wholeSteps, Quad);
    const float path =
        c.timeStep * __builtin_sqrtf(velocity[0] * velocity[0] + velocity[1] * velocity[1] +
                                     velocity[2] * velocity[2]);
    const float slack = motion.slack - path;
    outOfDate |= slack < 0.0f;

    for (int k = 0; k < 3; ++k)
      grain.position[k] = static_cast<std::int32_t>(static_cast<std::uint32_t>(grain.position[k]) +
                                                    static_cast<std::uint32_t>(wholeSteps[k]));
    const Quad seen = velocity + acceleration * halfStep;
    const Quad spinSeen = spin + angular * halfStep;
    const Quad radiusSpin = spinSeen * splat(grain.radius);
    for (int k = 0; k < 3; ++k) {
      grain.velocity[k] = seen[k];
      grain.spin[k] = spinSeen[k];
      grain.radiusSpin[k] = radiusSpin[k];
      motion.velocity[k] = velocity[k];
      motion.spin[k] = spin[k];
      motion.remainder[k] = remainder[k];
    }
    motion.slack = slack;
  }
  block.waterDrag += dragWork;
  block.outOfDate |= outOfDate;
}

}  // namespace

const BlockPasses HG_PASSES = {HG_SET, &pairForces, &integrate};

}  // namespace holdground::fast
