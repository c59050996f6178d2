#pragma once
// A sphere that meets a plane at an angle, by a plain integration of the contact's springs in the
// plane of motion: scalars, one contact, many small steps. Written apart from the solver's law, to
// check it where no closed form is known.
// Source: Hertz 1882; Mindlin 1949 (kt = 8 G* a); Tsuji et al. 1992 (damping); unloading as stated
// at evaluateContact in solver/contact/hertz_mindlin.hpp.

#include <algorithm>
#include <cmath>

namespace holdground {

struct PlanarImpact {
  double effectiveYoung, effectiveShear;  ///< E*, G* [Pa]
  double reducedRadius;                   ///< of the pair [m]
  double radius;                          ///< of the sphere, the arm of its spin [m]
  double mass;                            ///< [kg]
  double friction;                        ///< [-]
  double damping;                         ///< c = damping sqrt(k m) [-]
};

struct PlanarRebound {
  double normal;      ///< velocity of parting [m/s]
  double tangential;  ///< [m/s]
  double spin;        ///< in the sense of rolling along [rad/s]
};

inline PlanarRebound integrate(const PlanarImpact& p, double approach, double along, double step) {
  double overlap = 0.0, v = approach, u = along, spin = 0.0, spring = 0.0, oldStiffness = 0.0;
  do {
    overlap += v * step;  // the velocities stand half a step behind the places
    if (overlap <= 0.0) break;
    const double a = std::sqrt(p.reducedRadius * overlap);
    const double kn = 2.0 * p.effectiveYoung * a, kt = 8.0 * p.effectiveShear * a;
    const double push = std::max(0.0, kn * overlap / 1.5 + p.damping * std::sqrt(kn * p.mass) * v);
    const double slide = u - spin * p.radius;
    if (kt < oldStiffness) spring *= kt / oldStiffness;
    oldStiffness = kt;
    spring += kt * slide * step;
    double drag = spring + p.damping * std::sqrt(kt * p.mass) * slide;
    const double limit = p.friction * push;
    if (std::abs(drag) > limit) {
      drag = std::copysign(limit, drag);
      if (std::abs(spring) > limit) spring = drag;
    }
    v -= push / p.mass * step;
    u -= drag / p.mass * step;
    spin += drag * p.radius / (0.4 * p.mass * p.radius * p.radius) * step;
  } while (true);
  return {-v, u, spin};
}

}  // namespace holdground
