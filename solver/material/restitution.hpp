#pragma once
// Damping of a Hertz contact that gives the restitution asked for, without ever pulling.
//
// Source: dashpot proportional to overlap^(1/4), Tsuji, Tanaka & Ishida 1992, Powder Technol.
// 71:239;
//   alpha(e) in closed form for a contact that may pull, Antypov & Elliott 2011, EPL 94:50004.
// Departs: the force here is never tensile, so a contact ends when the force vanishes and keeps
//   more speed than the closed form says (Schwager & Poeschel 2007, Granular Matter 9:465, for the
//   linear dashpot). alpha is therefore found as the root of the dimensionless equation
//       x'' = -max(0, x^(3/2) + alpha x^(1/4) x'),   x(0) = 0, x'(0) = 1,   e = -x' at the end.
// Symbols: e restitution coefficient [-], alpha damping coefficient [-]; independent of speed.
// Checked by: tests/unit/material/restitution_test.cpp

namespace holdground {

/// Smallest restitution coefficient the solve accepts.
inline constexpr double kSmallestRestitution = 0.02;

/// Restitution coefficient [-] that a damping coefficient alpha >= 0 gives when the force is never
/// tensile.
double restitutionOfDamping(double alpha);

/// The alpha that gives a restitution coefficient in [0.02, 1], to 1e-8 on the restitution. Solved
/// once for each value asked for; safe to call from several threads. InputError outside the range.
double dampingOfRestitution(double restitution);

/// The alpha of the closed form for a contact that may pull (Antypov & Elliott 2011).
double dampingOfRestitutionWithTension(double restitution);

}  // namespace holdground
