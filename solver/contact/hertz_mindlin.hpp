#pragma once
// The contact law of spheres: Hertz, damped, with tangential and rolling springs that slip.
//
// Source: normal Hertz 1882; tangential Mindlin 1949 (no-slip stiffness 8 G* a), Johnson 1985;
//   damping Tsuji et al. 1992, Antypov & Elliott 2011; rolling model C of Ai, Chen, Rotter & Ooi
//   2011, Powder Technol. 206:269; unloading rule after Walton & Braun 1986 and Thornton (memory).
// Departs: never tensile; a holding spring enters as the mean of its old and new force; no
// twisting. Symbols: n unit normal from j to i; force and moment act on i, j gets the opposite; the
// equations
//   stand at evaluateContact, those of two spheres in sphere_pair.hpp.
// Frame: any; a world frame in use. SI units. Promises: no allocation, pure functions.
// Checked by: tests/unit/contact/hertz_mindlin_test.cpp, tests/verification/contact/

#include <algorithm>
#include <cmath>

#include "solver/contact/dent.hpp"
#include "solver/contact/pull_off.hpp"
#include "solver/core/types.hpp"
#include "solver/material/effective_moduli.hpp"
#include "solver/material/restitution.hpp"
#include "solver/state/grain_material.hpp"

namespace holdground {

/// Damping of the rolling spring over its critical damping while it holds [-]. Small: it only calms
/// a grain that has come to rest (Ai et al. 2011 use 0.3).
inline constexpr double kRollingDampingRatio = 0.3;

/// Largest dashpots: tangential over m*/dt, rolling over m* R*^2/dt [-]. Spins see velocities
/// extrapolated to the full step, and chatter at the step once all dashpots together slow a spin at
/// 1/dt. Twelve contacts fit around a grain. Among its equals, all turning against each other, each
/// gives 2.5 (2/3) 2 c/m, so 0.625/dt with this bound; rolling gives most among larger ones, each
/// 2.5 (2/3) c/(m R^2), so 0.25/dt. Pressed contacts in a bed reach the bounds; both fade as the
/// step shrinks.
inline constexpr double kLargestDashpot = 1.0 / 32.0;
inline constexpr double kLargestRollingDashpot = 1.0 / 80.0;

/// What two surfaces in contact bring to the law.
struct ContactLaw {
  double effectiveYoung = 0.0;   ///< E* [Pa]
  double effectiveShear = 0.0;   ///< G* [Pa]
  double friction = 0.0;         ///< mu [-]
  double rollingFriction = 0.0;  ///< mu_r [-]
  double damping = 0.0;          ///< gamma = alpha sqrt(2/3) = 2 sqrt(5/6) beta [-]
  PullOff pullOff;
  DentLaw dents;
  /// Least rolling friction that the stiffness of the rolling spring is taken from [-]: a grain
  /// that is stuck to steel does not roll even where rolling friction is 0.
  double stuckRolling = 0.0;

  /// Nothing but the normal force, ever: no spring is needed.
  bool isSmooth() const { return friction == 0.0 && rollingFriction == 0.0; }
  bool isRolling() const { return rollingFriction != 0.0; }  ///< resists rolling
};

/// Rolling friction whose spring a grain stuck to steel has: kr = 0.2 kn R*^2 [-].
inline constexpr double kStuckRolling = 0.3;

/// Two bodies of given effective moduli; the restitution is what comes out of a normal impact.
inline ContactLaw contactLaw(const EffectiveModuli& moduli, double friction, double rollingFriction,
                             double restitution) {
  return {moduli.young,
          moduli.shear,
          friction,
          rollingFriction,
          dampingOfRestitution(restitution) * std::sqrt(2.0 / 3.0),
          {},
          {}};
}

/// Grain on grain.
inline ContactLaw contactLaw(const GrainMaterial& grain) {
  ContactLaw law = contactLaw(effectiveModuli(grain.youngModulus, grain.poissonRatio,
                                              grain.youngModulus, grain.poissonRatio),
                              grain.friction, grain.rollingFriction, grain.restitutionCoefficient);
  law.pullOff = {grain.pullOffStress, grain.pullOffRange};
  law.dents = DentLaw(grain.plasticity, grain.adhesiveShare);
  return law;
}

/// How far apart two grains still attract each other [m].
inline double attractionGap(const ContactLaw& law, double reducedRadius) {
  return law.pullOff.stress > 0.0 ? law.pullOff.gap(reducedRadius) : 0.0;
}

/// How two bodies touch.
struct ContactGeometry {
  Vec3 normal;            ///< n, from j to i [-]
  double overlap;         ///< delta > 0 [m]
  double reducedRadius;   ///< R*; also the rolling radius [m]
  double reducedMass;     ///< m* [kg]
  double rollingInertia;  ///< I_r: 1/I_r = sum over the two of 1/(I + m R^2) [kg m^2]
};

/// I_r [kg m^2] of two solid spheres, I + m R^2 = 7/5 m R^2; inverse masses [1/kg] may be 0.
inline double rollingInertia(double inverseMass1, double radius1, double inverseMass2,
                             double radius2) {
  return 1.4 / (inverseMass1 / (radius1 * radius1) + inverseMass2 / (radius2 * radius2));
}

/// How steel holds a grain beyond the law of two grains.
struct SteelGrip {
  double adhesion = 0.0;  ///< C, carried along the steel at no normal force [N]
  double tension = 0.0;   ///< Q, pull toward the steel, which friction does not feel [N]
};

/// How i moves against j at the contact, at the full step.
struct ContactMotion {
  Vec3 velocity;  ///< of i's contact point less that of j's [m/s]
  Vec3 spin;      ///< w_i - w_j [rad/s]
};

/// What the contact remembers, seen from i.
struct ContactHistory {
  Vec3 tangentialForce = Vec3::Zero();  ///< spring S [N]
  Vec3 rollingMoment = Vec3::Zero();    ///< spring M [N m]
  double tangentialStiffness = 0.0;     ///< kt of the last step [N/m]; 0 for a new contact
  double dent = 0.0;                    ///< [m]
};

/// Energy [J] that one step of one contact took out of the system, by where it went.
struct ContactDissipation {
  double friction = 0.0;
  double normalDamping = 0.0;
  double tangentialDamping = 0.0;
  double rolling = 0.0;
  double plastic = 0.0;
  double historyArtefact = 0.0;

  ContactDissipation& operator+=(const ContactDissipation& other) {
    friction += other.friction;
    normalDamping += other.normalDamping;
    tangentialDamping += other.tangentialDamping;
    rolling += other.rolling;
    plastic += other.plastic;
    historyArtefact += other.historyArtefact;
    return *this;
  }
};

/// Force and moment on i; j gets the opposite of both, each at the contact point.
struct ContactForce {
  double normal = 0.0;             ///< F_n - A - Q [N]; below 0 it pulls
  Vec3 tangential = Vec3::Zero();  ///< T, |T| <= mu F_n [N]; on steel mu max(0, F_n - Q) + C
  Vec3 rolling = Vec3::Zero();     ///< [N m]
};

/// kt = 8 G* a [N/m], a = sqrt(R* delta).
inline double tangentialStiffness(const ContactLaw& law, double reducedRadius, double overlap) {
  return 8.0 * law.effectiveShear * std::sqrt(reducedRadius * overlap);
}

/// kr = 2.25 mu_r^2 R*^2 kn [N m/rad], from kt by kn = kt E*/(4 G*); mu_r at least stuckRolling.
inline double rollingStiffness(const ContactLaw& law, double reducedRadius,
                               double tangentialStiffness) {
  const double arm = std::max(law.rollingFriction, law.stuckRolling) * reducedRadius;
  return 2.25 * arm * arm * tangentialStiffness * law.effectiveYoung / (4.0 * law.effectiveShear);
}

/// A spring in the tangent plane that slips at a limit: the common core of friction and rolling.
/// Units in brackets are for friction; read moment, rate of rotation, N m/rad for rolling.
struct SlippingSpring {
  double stiffness;       ///< k now [N/m]
  double damping;         ///< c while it holds [N s/m]
  double limit;           ///< largest force [N]
  double stiffnessRatio;  ///< min(1, k/k of the last step)
  double compliance;      ///< 1/k [m/N]; 0 for a spring that is not there
  double oldCompliance;   ///< 1/k of the last step [m/N]; 0 for a new contact
};

struct SpringStep {
  Vec3 applied;     ///< T [N]
  double loss;      ///< energy lost to slip or, while it holds, to damping [J]
  double artefact;  ///< energy lost to turning and rescaling the spring [J]
  bool slipped;
};

/// Energy [J] of a spring of force S; none when it has no stiffness.
inline double springEnergy(const Vec3& force, double stiffness) {
  return stiffness > 0.0 ? 0.5 * force.squaredNorm() / stiffness : 0.0;
}

/// Advances a spring one step: S its force (the memory), k stiffness, L limit, v the rate, dt step.
///   S1 = (S0 - (S0.n) n) min(1, k/k0)   turned into the tangent plane; unloaded with the
///                                       stiffness, kept on loading (incremental law)
///   S2 = S1 - k v dt                    loaded
///   T  = (S1 + S2)/2 - c v, cut to L    acts over the step
///   S  = T if T was cut and |S2| > L    the spring has slipped,
///        S2 otherwise                   or it holds (damping alone never loads it)
/// S2 is the spring half a step after the positions, because v is the velocity at the full step and
/// so moves the spring from n-1/2 to n+1/2: the mean is the force at n, to second order in dt.
///
/// Energy, exact for every step of every contact with U(S, k) = S^2/(2k):
///   -T.v dt = [U(S,k) - U(S0,k0)] + artefact + loss
///   artefact = U(S0,k0) - U(S1,k)          >= 0
///   loss     = U(S1,k) - U(S,k) - T.v dt   >= 0; friction when it slipped, damping when it held
/// Projection alone loses (angle turned in a step)^2/2 of a spring's length, about 1e-5 of it for
/// every radian turned in a bed: it is not scaled back. The twist about n is ignored.
///
/// `force` is the memory S; `rate` lies in the tangent plane of `normal`.
[[gnu::always_inline]] inline SpringStep advance(Vec3& force, const SlippingSpring& spring,
                                                 const Vec3& normal, const Vec3& rate,
                                                 double timeStep) {
  SpringStep step;
  const double halfCompliance = 0.5 * spring.compliance;
  const double limitSquared = spring.limit * spring.limit;
  const Vec3 turned = (force - force.dot(normal) * normal) * spring.stiffnessRatio;  // S1
  const Vec3 loaded = turned - (spring.stiffness * timeStep) * rate;                 // S2
  step.applied = 0.5 * (turned + loaded) - spring.damping * rate;                    // T
  const double squared = step.applied.squaredNorm();
  const bool cut = squared > limitSquared;
  if (cut) step.applied *= spring.limit / std::sqrt(squared);
  step.slipped = cut && loaded.squaredNorm() > limitSquared;

  const double start = halfCompliance * turned.squaredNorm();
  step.artefact = 0.5 * spring.oldCompliance * force.squaredNorm() - start;
  force = step.slipped ? step.applied : loaded;
  step.loss = start - halfCompliance * force.squaredNorm() - step.applied.dot(rate) * timeStep;
  return step;
}

/// What presses a touching pair before damping, F_e, and what then holds it, P [N].
struct NormalSpring {
  double elastic, held;
};

/// Brings the contact's dent, where it keeps one, to its overlap; kn of Hertz [N/m].
inline NormalSpring normalSpring(const ContactLaw& law, const ContactGeometry& geometry, double kn,
                                 ContactHistory& history, ContactDissipation& dissipation) {
  const double hertz = (2.0 / 3.0) * kn * geometry.overlap;
  if (!law.dents.act()) return {hertz, 0.0};
  const double k1 = hertzConstant(law.effectiveYoung, geometry.reducedRadius);
  dissipation.plastic += advanceDent(law.dents, k1, geometry.overlap, history.dent);
  const double held = law.dents.adhesiveShare * hertz;
  return {dentedForce(law.dents, k1, geometry.overlap, history.dent) + held, held};
}

/// Forces of a touching pair over one step. With v the relative velocity at the contact, split into
/// v_n = v.n (positive when parting) and v_t = v - v_n n, and w the relative spin less its twist:
///   a = sqrt(R* delta), kn = 2 E* a, kt = 8 G* a, kr = 2.25 mu_r^2 R*^2 kn
///   F_e = (2/3) kn delta                        (= 4/3 E* sqrt(R*) delta^(3/2))
///   F_n = max(0, F_e - gamma sqrt(kn m*) v_n)   never tensile; damping booked is what was applied:
///                                               -(F_n - F_e) v_n dt >= 0
///   A   = attraction of cohesive grains (pull_off.hpp); the limits of both springs follow F_n
/// Where contacts keep a dent, F_e is the force of dent.hpp less that of letting go, -P, P =
/// (k_adh/k1) times Hertz, so that the dashpot never pulls harder than that; P comes off again.
///   T   = slipping spring (kt, gamma sqrt(kt m*) but at most kLargestDashpot m*/dt, mu F_n) on v_t
///   M   = slipping spring (kr, 2 eta_r sqrt(I_r kr), bounded too, mu_r R* F_n) on w
/// On steel (grip) both limits follow max(0, F_n - Q) in place of F_n, and adhesion adds C to the
/// one, R* C to the other: what sticks does not roll away either. gamma: in m x'' + alpha sqrt(m k)
/// x^(1/4) x' + k x^(3/2) = 0 with k = 4/3 E* sqrt(R*), kn is (3/2) k sqrt(x), so alpha sqrt(m k)
/// x^(1/4) = alpha sqrt(2/3) sqrt(kn m), gamma = alpha sqrt(2/3), the usual 2 sqrt(5/6) beta with
/// alpha = sqrt(5) beta.
///
/// Updates the history and adds what the step dissipates.
inline ContactForce evaluateContact(const ContactLaw& law, const ContactGeometry& geometry,
                                    const ContactMotion& motion, double timeStep,
                                    ContactHistory& history, ContactDissipation& dissipation,
                                    const SteelGrip& grip = {}) {
  const Vec3& n = geometry.normal;
  const double radius = geometry.reducedRadius;
  const double contactRadius = std::sqrt(radius * geometry.overlap);
  const double kn = 2.0 * law.effectiveYoung * contactRadius;
  const double kt = 8.0 * law.effectiveShear * contactRadius;

  ContactForce result;
  const double approach = motion.velocity.dot(n);
  const auto [elastic, held] = normalSpring(law, geometry, kn, history, dissipation);
  const double damped = elastic - law.damping * std::sqrt(kn * geometry.reducedMass) * approach;
  const double pressing = std::max(0.0, damped);  // F_n
  result.normal =
      pressing - held - attraction(law.pullOff, radius, geometry.overlap) - grip.tension;
  const double rubbing = std::max(0.0, pressing - grip.tension);
  dissipation.normalDamping -= (pressing - elastic) * approach * timeStep;

  const double ktOld = history.tangentialStiffness;
  const double oldCompliance = ktOld > 0.0 ? 1.0 / ktOld : 0.0;
  const double compliance = 1.0 / kt;
  const double massPerStep = geometry.reducedMass / timeStep;
  const double ratio = kt < ktOld ? kt * oldCompliance : 1.0;
  const SlippingSpring sliding{
      kt,
      std::min(law.damping * std::sqrt(kt * geometry.reducedMass), kLargestDashpot * massPerStep),
      law.friction * rubbing + grip.adhesion,
      ratio,
      compliance,
      oldCompliance};
  const SpringStep slide =
      advance(history.tangentialForce, sliding, n, motion.velocity - approach * n, timeStep);
  result.tangential = slide.applied;
  (slide.slipped ? dissipation.friction : dissipation.tangentialDamping) += slide.loss;
  dissipation.historyArtefact += slide.artefact;

  if (law.rollingFriction > 0.0 || law.stuckRolling > 0.0) {
    const double kr = rollingStiffness(law, radius, kt);
    const double toRolling = kt / kr;
    const SlippingSpring rolling{
        kr,
        std::min(2.0 * kRollingDampingRatio * std::sqrt(kr * geometry.rollingInertia),
                 kLargestRollingDashpot * massPerStep * radius * radius),
        law.rollingFriction * radius * rubbing + radius * grip.adhesion,
        ratio,
        compliance * toRolling,
        oldCompliance * toRolling};
    const SpringStep roll =
        advance(history.rollingMoment, rolling, n, motion.spin - motion.spin.dot(n) * n, timeStep);
    result.rolling = roll.applied;
    dissipation.rolling += roll.loss;
    dissipation.historyArtefact += roll.artefact;
  }
  history.tangentialStiffness = kt;
  return result;
}

/// Ends a contact: what its springs still hold is lost to slip, and it forgets.
inline void endContact(const ContactLaw& law, double reducedRadius, ContactHistory& history,
                       ContactDissipation& dissipation) {
  const double kt = history.tangentialStiffness;
  dissipation.friction += springEnergy(history.tangentialForce, kt);
  dissipation.rolling +=
      springEnergy(history.rollingMoment, rollingStiffness(law, reducedRadius, kt));
  dissipation.plastic +=
      advanceDent(law.dents, hertzConstant(law.effectiveYoung, reducedRadius), 0.0, history.dent);
  history = ContactHistory{};
}

/// Energy [J] of the Hertz spring, (2/5) F delta, and of the attraction; the overlap may be a gap.
/// Of a contact with a dent, on its elastic line.
inline double normalElasticEnergy(const ContactLaw& law, double reducedRadius, double overlap,
                                  double dent = 0.0) {
  return dentedEnergy(law.dents, hertzConstant(law.effectiveYoung, reducedRadius),
                      std::max(0.0, overlap), dent) +
         attractionEnergy(law.pullOff, reducedRadius, overlap);
}

}  // namespace holdground
