#pragma once
// Softened Young's modulus: as soft as the stress under the anchor allows, and no softer.
//
// Source: mean contact force of a packing under isotropic stress (Rumpf 1970; Christoffersen,
//   Mehrabadi & Nemat-Nasser 1981): F = f sigma d^2 with f = pi/(phi Z). With Hertz for two equal
//   spheres (R* = d/4), a^3 = 3 F R*/(4 E*) and kn = 2 E* a, so
//       kn/(sigma d) = 2 (E*/sigma)^(2/3) (3 f/16)^(1/3)          (independent of d)
//       E* = sigma (S/2)^(3/2) / sqrt(3 f/16),   E = 2 (1 - nu^2) E*
// Symbols: sigma stress [Pa], d diameter [m], S = kn/(sigma d) stiffness number [-], phi solid
//   fraction 0.57 and Z coordination 5 of a loose bed, E, E* moduli [Pa].
// Example: sigma = 30 kPa, S = 150, nu = 0.25 gives E = 8.04e7 Pa.
// Checked by: tests/unit/material/modulus_rule_test.cpp

namespace holdground {

/// Stiffness number aimed at unless told otherwise.
inline constexpr double kStiffnessNumber = 150.0;

/// Young's modulus [Pa] for which kn/(sigma d) equals the stiffness number at a stress [Pa].
double softenedYoungModulus(double stress, double poissonRatio,
                            double stiffnessNumber = kStiffnessNumber);

/// kn/(sigma d) [-] of a bed of a Young's modulus [Pa] at a stress [Pa]; inverse of the above.
double stiffnessNumber(double youngModulus, double poissonRatio, double stress);

}  // namespace holdground
