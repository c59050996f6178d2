// Body of the inner loops; compiled once per instruction set by block_pass_<set>.cpp, which defines
// HG_PASSES (the table's name) and HG_SET (its label). No other header may be included here that
// has functions with linkage: the linker could pick the copy built for the wider set.
//
// Contact law: solver/contact/hertz_mindlin.hpp and dent.hpp, term by term; letters are the same.
// Departs: single precision.

#include "solver/kernel_fast/block_pass.hpp"
#include "solver/kernel_fast/lanes.hpp"
#include "solver/kernel_fast/pair_approach.hpp"

namespace holdground::fast {
namespace {

/// Losses over the time step of a few hundred pairs, lane by lane; flushed to double before they
/// lose digits.
struct LaneLosses {
  Lanes friction = all(0), normalDamping = all(0), tangentialDamping = all(0), rolling = all(0),
        plastic = all(0), historyArtefact = all(0);

  HG_INLINE static double sum(Lanes x) {
    double s = 0;
    for (int k = 0; k < kLanes; ++k) s += static_cast<double>(x[k]);
    return s;
  }
  HG_INLINE void flush(float timeStep, ContactLosses& to) {
    const double dt = static_cast<double>(timeStep);
    to.friction += dt * sum(friction);
    to.normalDamping += dt * sum(normalDamping);
    to.tangentialDamping += dt * sum(tangentialDamping);
    to.rolling += dt * sum(rolling);
    to.plastic += dt * sum(plastic);
    to.historyArtefact += dt * sum(historyArtefact);
    *this = LaneLosses{};
  }
};

/// Forces of a group's pairs: that on the lower grain (the upper one gets the opposite) and the
/// torques, that on the upper one with its sign turned.
struct PairLoads {
  Triple force, torqueLower, minusTorqueUpper;
};

/// Adds the loads of a group to the sums of the block's grains.
HG_INLINE void scatter(const PairLoads& l, const PairPlaces& places, ForceSum* sums) {
  const Lanes zero = {};
  const Lanes force[4] = {l.force.x, l.force.y, l.force.z, zero};
  const Lanes lower[4] = {l.torqueLower.x, l.torqueLower.y, l.torqueLower.z, zero};
  const Lanes upper[4] = {l.minusTorqueUpper.x, l.minusTorqueUpper.y, l.minusTorqueUpper.z, zero};
  Lanes f[4], t[4], row[8];
  const auto sumAt = [base = reinterpret_cast<char*>(sums)](std::uint16_t place) -> Lanes& {
    return *reinterpret_cast<Lanes*>(base + std::size_t{place} * kPlaceBytes);
  };
  interleave(force, f);
  interleave(lower, t);
  join(f, t, row);
  for (int k = 0; k < kLanes; ++k) sumAt(places.lower[k]) = sumAt(places.lower[k]) + row[k];
  interleave(upper, t);
  join(f, t, row);
  for (int k = 0; k < kLanes; ++k) sumAt(places.upper[k]) = sumAt(places.upper[k]) - row[k];
}

/// Which of a group's pairs have their lower grain in the block: it books their losses.
HG_INLINE Mask bookedHere(const std::uint32_t* lower, std::uint32_t firstSlot) {
  return (Mask)(*reinterpret_cast<const UintLanes*>(lower) >= firstSlot);
}

/// What resists in a contact besides the normal force: nothing, friction, rolling too.
enum class Grip { kSmooth, kSliding, kRolling };

/// Starts to load what a later group will need.
template <Grip kGrip>
HG_INLINE void prefetch(const PackedGrain* grains, const std::uint32_t* upper,
                        const PairGroup& group) {
  const auto* base = reinterpret_cast<const char*>(grains);
  for (int k = 0; k < kLanes; ++k) __builtin_prefetch(base + upper[k]);
  const auto* memory = reinterpret_cast<const char*>(&group);
  constexpr std::size_t kBegin = kGrip == Grip::kSmooth ? offsetof(PairGroup, stiffness) : 0;
  constexpr std::size_t kEnd =
      kGrip == Grip::kRolling ? sizeof(PairGroup) : offsetof(PairGroup, rolling);
  for (std::size_t at = kBegin; at < kEnd; at += 64) __builtin_prefetch(memory + at);
}

/// What presses a group's pairs without damping, and what holds them [N]; their sum acts.
struct Springs {
  Lanes pressing, holding;
};

/// Hertz, and the attraction of cohesive grains.
HG_INLINE Springs plainSprings(const Approach& a) {
  return {all(2.0f / 3.0f) * a.normalStiffness * a.overlap, a.attraction};
}

/// The elastic line of a dent, which is brought to the overlap; what it pressed or pulled flat is
/// lost. Pairs that do not touch have none.
HG_INLINE Springs dentedSprings(const PassConstants& c, const Approach& a, float* dents,
                                Mask booked, LaneLosses& losses) {
  const Lanes before = load(dents);
  const Lanes after =
      lesser(greater(before, all(c.pressedShare) * a.overlap), all(c.pulledShare) * a.overlap);
  store(dents, after);
  const Lanes modulus = all(c.unloadingModulus);
  const Lanes flatBefore = modulus * squareRoot(a.radius * before) * before;
  const Lanes flat = modulus * squareRoot(a.radius * after) * after;  // m H(e)
  const Lanes grown = flat * after - flatBefore * before;
  losses.plastic += keep(booked, greater(all(c.pressedLoss) * grown, -(all(c.pulledLoss) * grown)));
  const Lanes hertz = all(2.0f / 3.0f) * a.normalStiffness * a.overlap;
  const Lanes holding = all(c.adhesiveShare) * hertz;
  return {fused(all(c.stiffening), hertz, holding) - flat, a.attraction + holding};
}

/// What rolling resists with, over R*: its spring turned into the new plane and as it would be
/// loaded, and the moment of spring and dashpot; none of them cut yet.
struct Rolling {
  Triple loaded, trial;
  Lanes squareBefore, squareTurned;  ///< of the spring, over the ratio of the stiffnesses
};

HG_INLINE Rolling resistRolling(const PassConstants& c, const Approach& a, const Triple& rate,
                                const PairGroup& history, Lanes unload, Lanes stretch,
                                Lanes reducedMass) {
  const Triple n = a.normal, before = loadTriple(history.rolling);
  const Lanes normal = dot(n, before), weight = all(c.inverseRollingRatio);
  const Triple turned = less(before, n, normal) * unload;
  const Lanes rollStretch = all(c.rollingRatio) * a.radius * stretch;
  const Lanes dashpot = lesser(all(c.rollingDamping) * a.rootStiffness * load(history.rootInertia),
                               all(c.largestRollingDashpot) * (reducedMass * a.radius));
  const Lanes squareBefore = dot(before, before) * weight;
  return {less(turned, rate, rollStretch),
          less(turned, rate, fused(rollStretch, all(0.5f), dashpot)), squareBefore,
          fusedLess(squareBefore, normal * weight, normal) * (unload * unload)};
}

/// Advances the history of a group's pairs, books its losses, gives its loads. Where nothing
/// resists rolling, that spring stays zero and untouched.
template <bool kRolls>
HG_INLINE PairLoads press(const PassConstants& c, const PairGeometry& p, const Approach& a,
                          const Springs& springs, PairGroup& history, Mask booked,
                          LaneLosses& losses) {
  const Lanes zero = all(0), half = all(0.5f), one = all(1), dt = all(c.timeStep);
  const Triple n = a.normal, v = a.velocity;

  // Normal force: spring and dashpot, never tensile but for what holds. Pairs that do not touch get
  // no force and no memory of one, because their overlap is 0.
  const Lanes elastic = springs.pressing;
  const Lanes vn = dot(v, n);
  const Lanes rootMass = load(history.rootMass);
  const Lanes rootSm = a.rootStiffness * rootMass;
  const Lanes normal = greater(zero, fusedLess(elastic, all(c.normalDamping) * rootSm, vn));

  // Springs are turned into the new plane and softened when the contact unloads.
  const Lanes ktOld = load(history.stiffness);
  const Mask known = ktOld > zero;
  const Lanes kt = all(c.stiffnessRatio) * a.normalStiffness;
  const Lanes ktSafe = a.touching ? kt : one;
  const Lanes ktOldSafe = known ? ktOld : ktSafe;
  const Lanes inverseProduct = one / (ktSafe * ktOldSafe);
  const Lanes unload = lesser(ktSafe * ktSafe * inverseProduct, one);  // kt/ktOld
  const Triple springOld = loadTriple(history.tangential);
  const Lanes springNormal = dot(n, springOld);
  const Triple spring1 = less(springOld, n, springNormal) * unload;

  // A spring that holds becomes `loaded`; it acts with the mean of before and after, and its
  // dashpot.
  const Triple vt = less(v, n, vn);
  const Lanes stretch = kt * dt, reducedMass = rootMass * rootMass;
  const Lanes dashpot =
      lesser(all(c.tangentialDamping) * rootSm, all(c.largestDashpot) * reducedMass);
  const Triple loaded = less(spring1, vt, stretch);
  const Triple trial = less(spring1, vt, fused(stretch, half, dashpot));
  [[maybe_unused]] Triple rate;
  [[maybe_unused]] Rolling rolling;
  if constexpr (kRolls) {
    rate = less(p.spin, n, dot(n, p.spin));
    rolling = resistRolling(c, a, rate, history, unload, stretch, reducedMass);
  }

  // Cut to the limits, which is seldom due; one division serves both.
  const Lanes limit = all(c.friction) * normal, limitSquare = limit * limit;
  const Lanes trialSquare = dot(trial, trial);
  const Mask slides = trialSquare > limitSquare;
  Triple tangential = trial, spring2 = loaded;
  Lanes square2 = dot(loaded, loaded);
  Mask slipped = {};
  [[maybe_unused]] Triple rollForce, roll2;
  [[maybe_unused]] Lanes rollSquare2;
  // A spring has slipped when it was cut and would itself pass the limit.
  if constexpr (kRolls) {
    const Lanes rollLimit = all(c.rollingFriction) * normal,
                rollLimitSquare = rollLimit * rollLimit;
    const Lanes rollTrialSquare = dot(rolling.trial, rolling.trial);
    const Mask yields = rollTrialSquare > rollLimitSquare;
    rollForce = rolling.trial;
    roll2 = rolling.loaded;
    rollSquare2 = dot(roll2, roll2);
    if (any(slides | yields)) {
      const Lanes length = squareRoot(greater(trialSquare, all(1e-24f)));
      const Lanes rollLength = squareRoot(greater(rollTrialSquare, all(1e-24f)));
      const Lanes inverseLengths = one / (length * rollLength);
      tangential = trial * (slides ? limit * rollLength * inverseLengths : one);
      rollForce = rolling.trial * (yields ? rollLimit * length * inverseLengths : one);
      slipped = slides & (square2 > limitSquare);
      const Mask rolled = yields & (rollSquare2 > rollLimitSquare);
      spring2 = select(slipped, tangential, loaded);
      roll2 = select(rolled, rollForce, rolling.loaded);
      square2 = slipped ? limitSquare : square2;
      rollSquare2 = rolled ? rollLimitSquare : rollSquare2;
    }
    storeTriple(history.rolling, roll2);
  } else if (any(slides)) {
    tangential = trial * (slides ? limit / squareRoot(greater(trialSquare, all(1e-24f))) : one);
    slipped = slides & (square2 > limitSquare);
    spring2 = select(slipped, tangential, loaded);
    square2 = slipped ? limitSquare : square2;
  }
  storeTriple(history.tangential, spring2);
  store(history.stiffness, kt);

  // Losses over dt: work done against the contact less what its springs gained. Squares of springs:
  // of the old one, of the turned one, and of the new one, as long as the limit if it slipped.
  const Lanes halfInverseKt = all(c.halfPerStep) * ktOldSafe * inverseProduct;
  const Lanes halfInverseKtOld = all(c.halfPerStep) * ktSafe * inverseProduct;
  const Lanes square0 = dot(springOld, springOld);
  const Lanes square1 = fusedLess(square0, springNormal, springNormal) * (unload * unload);
  const Lanes slideTaken = (square1 - square2) * halfInverseKt - dot(tangential, vt);
  const Mask owned = a.touching & booked;
  losses.friction += keep(owned & slipped, slideTaken);
  losses.tangentialDamping += keep(owned & ~slipped, slideTaken);
  losses.normalDamping += keep(owned, (elastic - normal) * vn);
  Lanes before = square0, turned = square1;
  if constexpr (kRolls) {
    const Lanes rollTaken =
        fusedLess(rolling.squareTurned, rollSquare2, all(c.inverseRollingRatio)) * halfInverseKt -
        dot(rollForce, rate) * a.radius;
    losses.rolling += keep(owned, rollTaken);
    before = square0 + rolling.squareBefore;
    turned = square1 + rolling.squareTurned;
  }
  losses.historyArtefact +=
      keep(owned, fusedLess(before * halfInverseKtOld, turned, halfInverseKt));
  const Mask ended = booked & known & ~a.touching;
  if (any(ended)) {  // what the springs still hold is lost
    losses.friction += keep(ended, square0 * halfInverseKtOld);
    if constexpr (kRolls) losses.rolling += keep(ended, rolling.squareBefore * halfInverseKtOld);
  }

  // Both grains are loaded at the point of contact; the normal force has no arm.
  const Triple turn = cross(tangential, p.branch);
  const Triple force = plus(tangential, n, normal - springs.holding);
  if constexpr (kRolls) {
    const Triple moment = rollForce * a.radius;
    return {force, plus(moment, turn, a.shareLower), less(moment, turn, one - a.shareLower)};
  } else {
    return {force, turn * a.shareLower, turn * (a.shareLower - one)};
  }
}

/// The same of grains with neither friction nor rolling resistance: no spring ever holds, so that
/// only the normal force is left, and the two springs in memory stay zero and untouched.
HG_INLINE PairLoads pressSmooth(const PassConstants& c, const Approach& a, const Springs& springs,
                                PairGroup& history, Mask booked, LaneLosses& losses) {
  const Lanes zero = all(0);
  const Lanes vn = dot(a.velocity, a.normal);
  const Lanes rootSm = a.rootStiffness * load(history.rootMass);
  const Lanes normal =
      greater(zero, fusedLess(springs.pressing, all(c.normalDamping) * rootSm, vn));
  store(history.stiffness, all(c.stiffnessRatio) * a.normalStiffness);  // who touches
  losses.normalDamping += keep(a.touching & booked, (springs.pressing - normal) * vn);
  const Triple none = {zero, zero, zero};
  return {a.normal * (normal - springs.holding), none, none};
}

/// Written out for beds with dents and without, and for each grip: a bed pays for what it has.
template <bool kDented, Grip kGrip>
void pairForces(const PassConstants& c, const PackedGrain* grains, Block& block, const PairRun& run,
                ForceSum* sums) {
  const FlushTinyToZero flushTiny;
  const std::uint32_t firstSlot = block.first * kSlotBytes;
  const std::size_t begin = run.firstGroup(), end = run.endGroup();
  if (begin == end) return;
  constexpr std::size_t kAhead = 8;      // groups of pairs between the prefetch and its use
  constexpr std::size_t kPerFlush = 64;  // groups
  LaneLosses losses;
  PairGeometry geometries[2];
  gather(c, grains, block.lower.data() + begin * kLanes, block.upper.data() + begin * kLanes,
         geometries[begin % 2]);
  for (std::size_t g = begin; g < end; ++g) {
    const std::uint32_t* lower = block.lower.data() + g * kLanes;
    const std::uint32_t* upper = block.upper.data() + g * kLanes;
    if (g + kAhead < end)
      prefetch<kGrip>(grains, upper + kAhead * kLanes, block.history[g + kAhead]);
    const PairGeometry& now = geometries[g % 2];
    const Approach a = approach(c, now);
    // The next group is fetched here, while the roots of this one are under way.
    const std::size_t step = g + 1 < end ? kLanes : 0;
    gather(c, grains, lower + step, upper + step, geometries[(g + 1) % 2]);
    PairGroup& history = block.history[g];
    const Mask acts = a.touching | (a.attraction > all(0));
    if (!any(acts | (load(history.stiffness) > all(0)))) continue;  // nothing to forget
    const Mask booked = bookedHere(lower, firstSlot);
    Springs springs;
    if constexpr (kDented)
      springs = dentedSprings(c, a, block.dents.data() + g * kLanes, booked, losses);
    else
      springs = plainSprings(a);
    if constexpr (kGrip == Grip::kSmooth)
      scatter(pressSmooth(c, a, springs, history, booked, losses), block.places[g], sums);
    else
      scatter(press<kGrip == Grip::kRolling>(c, now, a, springs, history, booked, losses),
              block.places[g], sums);
    if (g % kPerFlush == kPerFlush - 1) losses.flush(c.timeStep, block.losses);
  }
  losses.flush(c.timeStep, block.losses);
}

HG_INLINE Quad splat(float x) { return Quad{x, x, x, x}; }
HG_INLINE Quad loadQuad(const float* p) { return *reinterpret_cast<const Quad*>(p); }
HG_INLINE void storeQuad(float* p, Quad x) { *reinterpret_cast<Quad*>(p) = x; }

void integrate(const PassConstants& c, const PackedGrain* grains, PackedGrain* next,
               GrainMotion* motions, Block& block, const ForceSum* sums) {
  const FlushTinyToZero flushTiny;
  const Quad dt = splat(c.timeStep), halfStep = splat(0.5f * c.timeStep);
  const Quad gravity = {0, 0, -c.gravity, 0};
  const Quad perUnit = {c.timeStep / c.unit[0], c.timeStep / c.unit[1], c.timeStep / c.unit[2], 0};
  constexpr IntQuad kVector = {-1, -1, -1, 0};  // the fourth number of a row is another quantity
  double dragWork = 0.0;
  bool outOfDate = false;
  for (std::uint32_t slot = block.first; slot < block.end; ++slot) {
    const PackedGrain& grain = grains[slot];
    PackedGrain& moved = next[slot];
    GrainMotion& motion = motions[slot];
    if (motion.moves != kFree) continue;  // held, or moved with its stone later
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
    outOfDate |= !(slack >= 0.0f);  // also when it is not a number

    // The fourth of a position, the radius, adds 0.
    *reinterpret_cast<UintQuad*>(moved.position) =
        *reinterpret_cast<const UintQuad*>(grain.position) + (UintQuad)wholeUnits;
    const Quad spinSeen = spin + angular * halfStep;
    const Quad radiusSpin = spinSeen * splat(grain.radius);
    storeQuad(moved.velocity, kVector ? velocity + acceleration * halfStep : seenBefore);
    storeQuad(moved.spin, kVector ? spinSeen : loadQuad(grain.spin));
    storeQuad(moved.radiusSpin, kVector ? radiusSpin : loadQuad(grain.radiusSpin));
    storeQuad(motion.velocity, kVector ? velocity : before);
    storeQuad(motion.spin, kVector ? spin : spinBefore);
    storeQuad(motion.remainder, remainder);
    motion.slack = slack;
  }
  block.waterDrag += dragWork;
  block.outOfDate |= outOfDate;
}

}  // namespace

const BlockPasses HG_PASSES = {
    HG_SET,
    {&pairForces<false, Grip::kRolling>, &pairForces<true, Grip::kRolling>},
    {&pairForces<false, Grip::kSliding>, &pairForces<true, Grip::kSliding>},
    {&pairForces<false, Grip::kSmooth>, &pairForces<true, Grip::kSmooth>},
    &integrate};

}  // namespace holdground::fast
