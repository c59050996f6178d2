#pragma once
// Moduli, radius and mass of a contact seen as one spring between one body and a rigid half space.
//
// Source: Hertz 1882; Mindlin 1949; Johnson 1985, Contact Mechanics, ch. 4 and 7.
//   1/E* = (1-nu1^2)/E1 + (1-nu2^2)/E2      1/G* = (2-nu1)/G1 + (2-nu2)/G2
//   1/R* = 1/R1 + 1/R2                      1/m* = 1/m1 + 1/m2
// Symbols: E Young's modulus [Pa], G = E/(2(1+nu)) shear modulus [Pa], nu Poisson's ratio [-],
//   R radius [m], m mass [kg].
// Checked by: tests/unit/material/effective_moduli_test.cpp

namespace holdground {

struct EffectiveModuli {
  double young;  ///< E* [Pa]
  double shear;  ///< G* [Pa]
};

/// Shear modulus [Pa] of an isotropic solid.
inline double shearModulus(double youngModulus, double poissonRatio) {
  return youngModulus / (2.0 * (1.0 + poissonRatio));
}

/// Effective moduli of two materials in contact.
inline EffectiveModuli effectiveModuli(double young1, double poisson1, double young2,
                                       double poisson2) {
  const double compliance =
      (1.0 - poisson1 * poisson1) / young1 + (1.0 - poisson2 * poisson2) / young2;
  const double shearCompliance = (2.0 - poisson1) / shearModulus(young1, poisson1) +
                                 (2.0 - poisson2) / shearModulus(young2, poisson2);
  return {1.0 / compliance, 1.0 / shearCompliance};
}

/// Effective moduli of a material against a perfectly rigid one.
inline EffectiveModuli effectiveModuliOnRigid(double young, double poisson) {
  return {young / (1.0 - poisson * poisson), shearModulus(young, poisson) / (2.0 - poisson)};
}

/// R* [m] of two spheres. A plane is a sphere of infinite radius: R* is then the other radius.
inline double reducedRadius(double radius1, double radius2) {
  return radius1 * radius2 / (radius1 + radius2);
}

/// m* [kg] from inverse masses [1/kg]; 0 stands for an immovable body. Both 0 is not a contact.
inline double reducedMass(double inverseMass1, double inverseMass2) {
  return 1.0 / (inverseMass1 + inverseMass2);
}

}  // namespace holdground
