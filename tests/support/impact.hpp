#pragma once
// One sphere meets another once: what happened, measured from outside the kernel.

#include "tests/support/kernels.hpp"

namespace holdground {

/// Contact of two spheres without gravity or water.
struct ImpactScene {
  Ball first, second;  ///< ids 0 and 1, not touching at the start
  GrainMaterial material;
  double timeStep = 1e-6;  ///< [s]
  Domain domain{1.0, 1.0, -0.5, 0.5};
};

struct ImpactResult {
  GrainSample first, second;    ///< after they have parted
  double largestOverlap = 0.0;  ///< [m], at the vertex of the parabola through the top three steps
  double largestForce = 0.0;    ///< on the first [N], from its change of velocity
  double duration = 0.0;        ///< between first and last touch [s], found between steps
  Vec3 normal;                  ///< from second to first when the overlap was largest
  EnergyLedger ledger;
};

KernelSettings settingsOf(const ImpactScene& scene);

/// Runs until they have touched and parted; gives up after `maximumSteps` (a test failure).
ImpactResult runImpact(KernelKind kind, const ImpactScene& scene, int maximumSteps = 200000);

/// Two equal spheres on the x axis that meet head on with a relative speed, after `delay` steps.
ImpactScene headOnScene(const GrainMaterial& material, double radius, double relativeSpeed,
                        double timeStep, double delay = 3.3);

/// Hertz impact in closed form. Source: Johnson 1985, ch. 11; Timoshenko & Goodier 1970, art. 142.
struct HertzImpact {
  double largestOverlap;  ///< [m]
  double largestForce;    ///< [N]
  double duration;        ///< [s]
};
HertzImpact hertzImpact(double effectiveYoung, double reducedRadius, double reducedMass,
                        double speed);

}  // namespace holdground
