#pragma once
// Normal force of two grains that keep a dent and stick by it: the more, the harder they were
// pressed. The law as published, to hold solver/contact/dent.hpp against.
//
// Source: Thakur, Morrissey, Sun, Chen & Ooi 2014, Granular Matter 16:383, with the exponent of
//   adhesion equal to that of loading (formulas from memory); with n = 1 the branches of Luding
//   2008, Granular Matter 10:235, at a fixed k2.
//   F = f0 + k1 d^n            loading           where k2 (d^n - p) >= k1 d^n
//   F = f0 + k2 (d^n - p)      elastic           between
//   F = f0 - k_adh d^n         letting go        where -k_adh d^n >= k2 (d^n - p)
// Departs: remembers p = dp^n, dp the dent, in place of the greatest overlap dmax: p = (1 - k1/k2)
//   dmax^n. Loading raises p; letting go lowers it to d^n (1 + k_adh/k2), so that the elastic line
//   runs through where the contact is. Only changes of p dissipate, by a function of p alone.
// Symbols: d overlap [m]; k1, k2, k_adh [N/m^n]; f0 <= 0 [N]; n [-]. F > 0 pushes.
// Checked by: tests/unit/contact/elasto_plastic_test.cpp

#include <algorithm>
#include <cmath>

#include "solver/core/types.hpp"

namespace holdground {

struct ElastoPlastic {
  double loading = 0.0;          ///< k1 > 0 [N/m^n]
  double unloading = 0.0;        ///< k2 >= k1 [N/m^n]
  double adhesive = 0.0;         ///< k_adh >= 0 [N/m^n]
  double constantPullOff = 0.0;  ///< f0 <= 0 [N]
  double exponent = 1.5;         ///< n; 1 linear, 1.5 as Hertz

  /// lambda = 1 - k1/k2 [-]: 0 elastic.
  double plasticity() const { return 1.0 - loading / unloading; }
  /// p of a contact that was pressed by dmax [m^n].
  double memoryOf(double largestOverlap) const {
    return plasticity() * std::pow(largestOverlap, exponent);
  }
  /// dmax that gives p [m]; 0 for an elastic contact.
  double largestOverlap(double memory) const {
    return plasticity() > 0.0 ? std::pow(memory / plasticity(), 1.0 / exponent) : 0.0;
  }
  /// dp [m]: overlap at which F = f0.
  double dent(double memory) const { return std::pow(memory, 1.0 / exponent); }
  /// d_min [m]: overlap of the strongest pull, where letting go begins.
  double weakestOverlap(double memory) const {
    return std::pow(memory * unloading / (unloading + adhesive), 1.0 / exponent);
  }
};

/// F [N] at an overlap [m]; none when apart, and the memory p [m^n] is forgotten then.
inline double elastoPlasticForce(const ElastoPlastic& law, double overlap, double& memory) {
  if (overlap <= 0.0) {
    memory = 0.0;
    return 0.0;
  }
  const double x = std::pow(overlap, law.exponent);
  const double elastic = law.unloading * (x - memory);
  if (elastic >= law.loading * x) {
    memory = law.plasticity() * x;
    return law.constantPullOff + law.loading * x;
  }
  if (elastic <= -law.adhesive * x) {
    memory = x * (1.0 + law.adhesive / law.unloading);
    return law.constantPullOff - law.adhesive * x;
  }
  return law.constantPullOff + elastic;
}

/// Energy [J] that the contact gives back on its elastic line, and that of f0: a state function.
///   U = k2 [(d^(n+1) - dp^(n+1))/(n+1) - p (d - dp)] + f0 d
inline double elastoPlasticEnergy(const ElastoPlastic& law, double overlap, double memory) {
  if (overlap <= 0.0) return 0.0;
  const double power = law.exponent + 1.0, dent = law.dent(memory);
  return law.unloading * ((std::pow(overlap, power) - std::pow(dent, power)) / power -
                          memory * (overlap - dent)) +
         law.constantPullOff * overlap;
}

/// Energy [J] >= 0 lost while the memory went from one value to another, one way: work of the
/// branch less what the elastic line holds at either end.
inline double elastoPlasticLoss(const ElastoPlastic& law, double before, double after) {
  const double power = law.exponent + 1.0;
  const auto loaded = [&](double memory) {  // on the way up, from nothing to this
    const double overlap = law.largestOverlap(memory);
    return law.loading * std::pow(overlap, power) / power -
           (elastoPlasticEnergy(law, overlap, memory) - law.constantPullOff * overlap);
  };
  const auto letGo = [&](double memory) {  // on the way down, from this to nothing
    const double overlap = law.weakestOverlap(memory);
    return law.adhesive * std::pow(overlap, power) / power +
           (elastoPlasticEnergy(law, overlap, memory) - law.constantPullOff * overlap);
  };
  return after >= before ? loaded(after) - loaded(before) : letGo(before) - letGo(after);
}

/// What friction and rolling limits follow in place of the normal force [N] >= 0: F + k_adh d^n -
/// f0, so that a contact on its way to letting go has none left.
inline double elastoPlasticGrip(const ElastoPlastic& law, double overlap, double force) {
  const double pulled = law.adhesive * std::pow(std::max(0.0, overlap), law.exponent);
  return overlap > 0.0 ? std::abs(force + pulled - law.constantPullOff) : 0.0;
}

/// Dashpot [N s/m] on the normal velocity: sqrt(4 m* k1/(1 + (pi/ln e)^2)), for n = 1; e
/// restitution of the dashpot alone, in (0, 1].
inline double elastoPlasticDashpot(const ElastoPlastic& law, double reducedMass,
                                   double restitution) {
  if (restitution >= 1.0) return 0.0;
  const double ratio = kPi / std::log(restitution);
  return std::sqrt(4.0 * reducedMass * law.loading / (1.0 + ratio * ratio));
}

}  // namespace holdground
