#pragma once
// What the trade makes of a tool's force, and the published factors it is set beside.
//
// All from memory unless said: T-bar factors Randolph & Houlsby 1984, 10.5 Stewart & Randolph 1991;
//   vane ASTM D2573; N_c, N_q Prandtl 1920, Reissner 1924; N_gamma Martin 2005 (exact, strip);
//   depth of a footing Skempton 1951; vented strips Merifield, Sloan & Yu 2001; uplift in sand
//   Murray & Geddes 1987; earth pressure Rankine 1857, Coulomb 1776; cone in sand Robertson &
//   Campanella 1983; drainage Finnie & Randolph 1994.
// Symbols: phi friction angle, delta angle of friction on steel [rad]; the rest in SI.
// Checked by: tests/unit/scenarios/soil_formulas_test.cpp

#include <string>

namespace holdground {

inline constexpr double kTBarFactor = 10.5;  ///< the trade's, between smooth and rough
inline constexpr double kTBarSmooth = 9.142, kTBarRough = 11.940;  ///< 6 + pi, 4 sqrt(2) + 2 pi
inline constexpr double kStripFactor = 5.1416;                     ///< 2 + pi

/// Strength [Pa] from the force on a bar, F / (N D L).
double tBarStrength(double force, double diameter, double length, double factor = kTBarFactor);
/// Strength [Pa] of a cylinder turned in the ground: T = pi D^2 su (H/2 + D/6).
double vaneStrength(double torque, double diameter, double height);
/// Force over the cone's base [Pa].
double coneResistance(double force, double diameter);

struct FactorRange {
  double low = 0.0, high = 0.0;
};

double bearingNq(double phi);
double bearingNc(double phi);
/// Smooth and rough strip, 0 to 45 degrees; between the tabled angles by their logarithms.
FactorRange bearingNGamma(double phi);

/// Break-out factor without weight of a strip whose back is vented; `depth` of a horizontal one
/// over its breadth, of a vertical one that of its lower edge over its height. From 1 on.
double upliftStripFactor(double depth);
double sidewaysStripFactor(double depth);

/// Uplift of a strip in sand, F/(gamma H B): 1 + K (H/B) tan phi, K from that at rest, 1 - sin phi,
/// (vertical planes of slip) to 1 (the bound of Murray & Geddes 1987).
FactorRange upliftInSand(double phi, double depth);

/// Rankine's passive pressure less the active one behind, and Coulomb's on a wall with friction,
/// which is too high beyond delta = phi/3.
double rankinePassive(double phi);
double coulombPassive(double phi, double delta);
double rankineActive(double phi);

/// Cone resistance over vertical stress, deep, by tan phi = (log10(q/s) + 0.29)/2.68.
double coneRatioInSand(double phi);

/// How freely water leaves during a pull.
struct Drainage {
  double consolidation = 0.0;  ///< c_v = k M/gamma_w [m2/s]
  double number = 0.0;         ///< V = v D/c_v [-]
  std::string says;            ///< "drained" below 0.1, "undrained" above 30, or "between"
};
/// @param permeability [m/s] @param modulus  one-dimensional [Pa] @param waterWeight [N/m3]
Drainage drainageOf(double permeability, double modulus, double waterWeight, double speed,
                    double width);

}  // namespace holdground
