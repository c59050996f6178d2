#pragma once
// Properties of the grains of a bed and of the water over it. SI units.

#include <cstddef>
#include <span>
#include <vector>

namespace holdground {

struct GrainMaterial {
  double density = 2650.0;              ///< of the solid [kg/m^3]
  double youngModulus = 1.0e8;          ///< softened modulus of the contact law [Pa]
  double poissonRatio = 0.25;           ///< [-]
  double friction = 0.5;                ///< Coulomb coefficient grain on grain [-]
  double rollingFriction = 0.1;         ///< coefficient of rolling resistance mu_r [-]
  double restitutionCoefficient = 0.5;  ///< normal restitution of two grains [-]
  double pullOffStress = 0.0;  ///< pull-off force over diameter squared [Pa]; 0: no cohesion
  double pullOffRange = 0.1;   ///< gap over which it fades, over the diameter [-]
  double plasticity = 0.0;     ///< 1 - k1/k2 of contacts that keep a dent [-]; 0: they keep none
  double adhesiveShare = 0.0;  ///< k_adh/k1 of those, their hold on each other [-]
  /// Share of its diameter by which a grain's surface is set back toward steel [-]. Grains that
  /// stand for finer ones would otherwise meet thin steel as if it were a diameter thicker.
  double steelSetback = 0.0;
};

/// Soils that one bed may have at most.
inline constexpr std::size_t kMostSoils = 8;

/// The setback of each soil [-].
inline std::vector<double> steelSetbacks(std::span<const GrainMaterial> soils) {
  std::vector<double> shares;
  for (const GrainMaterial& soil : soils) shares.push_back(soil.steelSetback);
  return shares;
}

struct Water {
  double density = 1025.0;        ///< [kg/m^3]; 0 means no water: dry, no drag
  double dragCoefficient = 0.47;  ///< of a sphere in the quadratic regime [-]
};

}  // namespace holdground
