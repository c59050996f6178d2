#include "scenarios/card/soil_formulas.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "solver/core/types.hpp"

namespace holdground {
namespace {

double squared(double x) { return x * x; }

/// Martin 2005: angle in degrees, smooth, rough.
struct MartinRow {
  double degrees, smooth, rough;
};
constexpr MartinRow kMartin[] = {{5, 0.08446, 0.1134}, {10, 0.2809, 0.4332}, {15, 0.6991, 1.181},
                                 {20, 1.579, 2.839},   {25, 3.461, 6.491},   {30, 7.653, 14.75},
                                 {35, 17.58, 34.48},   {40, 43.19, 85.57},   {45, 117.6, 234.2}};

}  // namespace

double tBarStrength(double force, double diameter, double length, double factor) {
  return force / (factor * diameter * length);
}

double vaneStrength(double torque, double diameter, double height) {
  return torque / (kPi * squared(diameter) * (0.5 * height + diameter / 6.0));
}

double coneResistance(double force, double diameter) {
  return force / (0.25 * kPi * squared(diameter));
}

double bearingNq(double phi) {
  return std::exp(kPi * std::tan(phi)) * squared(std::tan(0.25 * kPi + 0.5 * phi));
}

double bearingNc(double phi) {
  if (phi < 1e-6) return kStripFactor;
  return (bearingNq(phi) - 1.0) / std::tan(phi);
}

FactorRange bearingNGamma(double phi) {
  const double degrees = std::min(phi * 180.0 / kPi, kMartin[std::size(kMartin) - 1].degrees);
  if (degrees <= kMartin[0].degrees) {
    const double share = std::max(0.0, degrees) / kMartin[0].degrees;
    return {share * kMartin[0].smooth, share * kMartin[0].rough};
  }
  const MartinRow* above = kMartin + 1;
  while (above->degrees < degrees) ++above;
  const MartinRow* below = above - 1;
  const double share = (degrees - below->degrees) / (above->degrees - below->degrees);
  const auto between = [share](double a, double b) { return a * std::pow(b / a, share); };
  return {between(below->smooth, above->smooth), between(below->rough, above->rough)};
}

double upliftStripFactor(double depth) { return 2.56 * std::log(2.0 * depth); }
double sidewaysStripFactor(double depth) { return 2.46 * std::log(2.0 * depth) + 0.89; }

FactorRange upliftInSand(double phi, double depth) {
  return {1.0 + (1.0 - std::sin(phi)) * depth * std::tan(phi), 1.0 + depth * std::tan(phi)};
}

double rankinePassive(double phi) { return squared(std::tan(0.25 * kPi + 0.5 * phi)); }
double rankineActive(double phi) { return 1.0 / rankinePassive(phi); }

double coulombPassive(double phi, double delta) {
  const double root = std::sqrt(std::sin(phi + delta) * std::sin(phi) / std::cos(delta));
  return squared(std::cos(phi) / (1.0 - root)) / std::cos(delta);
}

double coneRatioInSand(double phi) { return std::pow(10.0, 2.68 * std::tan(phi) - 0.29); }

Drainage drainageOf(double permeability, double modulus, double waterWeight, double speed,
                    double width) {
  Drainage d;
  d.consolidation = permeability * modulus / waterWeight;
  d.number = speed * width / d.consolidation;
  d.says = d.number < 0.1 ? "drained" : d.number > 30.0 ? "undrained" : "between";
  return d;
}

}  // namespace holdground
