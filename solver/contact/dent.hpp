#pragma once
// Spheres that keep the dent they were pressed into and hold each other by it: the elasto-plastic
// adhesive law as the kernels apply it, with Hertz for loading.
//
// Source: Thakur et al. 2014, Granular Matter 16:383 (from memory), n = 3/2, k1 = 4/3 E* sqrt(R*);
// f0 is pull_off.hpp. Remembers the dent itself, e = dp, overlap at which the elastic line carries
// nothing. With H(x) =
//   k1 x^(3/2), m = k2/k1 = 1/(1 - lambda), kappa = k_adh/k1 all three branches are one:
//     F = m (H(d) - H(e)),  e kept between c1 d and c2 d,  c1 = lambda^(2/3), c2 = (1 +
//     kappa/m)^(2/3)
//   for m (H(d) - H(c1 d)) = H(d) loads and m (H(d) - H(c2 d)) = -kappa H(d) lets go.
// Loss: dU/de = m H'(e) (e - d) at fixed d, with e = c1 d or c2 d while e changes; so it is (1/c1 -
//   1) or (1 - 1/c2) times the change of integral e m H'(e) de = (3/5) m H(e) e, exact for any
//   step.
// lambda, kappa have no scale: at one stress over E* grains of all sizes dent alike.
// Symbols: d overlap, e dent [m]. Checked by: tests/unit/contact/dent_test.cpp,
//   tests/verification/contact/dented_pair_test.cpp

#include <algorithm>
#include <cmath>

namespace holdground {

struct DentLaw {
  double plasticity = 0.0;     ///< lambda = 1 - k1/k2, below 1 [-]; 0: no dents
  double adhesiveShare = 0.0;  ///< kappa = k_adh/k1 >= 0 [-]
  double stiffening = 1.0;     ///< m = k2/k1 [-]
  double pressedShare = 0.0;   ///< c1 [-]
  double pulledShare = 1.0;    ///< c2 [-]

  DentLaw() = default;
  DentLaw(double lambda, double kappa) {
    if (lambda <= 0.0) return;
    plasticity = lambda;
    adhesiveShare = kappa;
    stiffening = 1.0 / (1.0 - lambda);
    pressedShare = std::cbrt(lambda * lambda);
    pulledShare = std::pow(1.0 + kappa / stiffening, 2.0 / 3.0);
  }
  bool act() const { return plasticity > 0.0; }
  /// 1/c1 - 1 and 1 - 1/c2 [-]: loss over the change of (3/5) m H(e) e, deeper and flatter.
  double pressedLoss() const { return act() ? 1.0 / pressedShare - 1.0 : 0.0; }
  double pulledLoss() const { return 1.0 - 1.0 / pulledShare; }
};

/// k1 [N/m^1.5] of Hertz.
inline double hertzConstant(double effectiveYoung, double reducedRadius) {
  return 4.0 / 3.0 * effectiveYoung * std::sqrt(reducedRadius);
}

/// H [N] at an overlap >= 0 [m].
inline double hertzForce(double hertzConstant, double overlap) {
  return hertzConstant * overlap * std::sqrt(overlap);
}

/// F [N] of a dent that has been advanced to the overlap; below 0 it pulls.
inline double dentedForce(const DentLaw& law, double hertzConstant, double overlap, double dent) {
  return law.stiffening * (hertzForce(hertzConstant, overlap) - hertzForce(hertzConstant, dent));
}

/// Brings a dent to an overlap >= 0 [m]; returns the energy [J] that this costs. A law without
/// dents leaves none.
inline double advanceDent(const DentLaw& law, double hertzConstant, double overlap, double& dent) {
  const double before = dent;
  dent = std::clamp(before, law.pressedShare * overlap, law.pulledShare * overlap);
  if (!law.act()) dent = 0.0;
  if (!law.act() || dent == before) return 0.0;
  const double grown =
      0.6 * law.stiffening *
      (hertzForce(hertzConstant, dent) * dent - hertzForce(hertzConstant, before) * before);
  return grown > 0.0 ? law.pressedLoss() * grown : -law.pulledLoss() * grown;
}

/// Energy [J] on the elastic line, 0 where it carries nothing: m ((2/5) (H(d) d - H(e) e) - H(e) (d
/// - e)). None when apart.
inline double dentedEnergy(const DentLaw& law, double hertzConstant, double overlap, double dent) {
  if (overlap <= 0.0) return 0.0;
  const double atDent = hertzForce(hertzConstant, dent);
  return law.stiffening * (0.4 * (hertzForce(hertzConstant, overlap) * overlap - atDent * dent) -
                           atDent * (overlap - dent));
}

}  // namespace holdground
