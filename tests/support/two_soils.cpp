#include "tests/support/two_soils.hpp"

#include <utility>

#include "solver/state/stable_time_step.hpp"

namespace holdground {

KernelSettings twoSoilSettings() {
  KernelSettings settings = bedSettings();
  const GrainMaterial sand = settings.material;
  GrainMaterial& mud = settings.material;
  mud.density = 1900.0;
  mud.youngModulus *= 0.4;
  mud.poissonRatio = 0.3;
  mud.friction = 0.1;
  mud.rollingFriction = 0.02;
  mud.restitutionCoefficient = 0.3;
  mud.pullOffStress = 1000.0;
  mud.plasticity = 0.5;
  mud.adhesiveShare = 1.0;
  settings.lowerSoils = {sand};
  Ball small;
  small.radius = 0.017;
  GrainSet both = sceneOf(Domain{}, {small, small});
  both.soil = {0, 1};
  settings.timeStep = stableTimeStep(both, settings.soils());
  return settings;
}

GrainSet inTwoSoils(GrainSet set, double height) {
  set.soil.clear();
  for (const Vec3& position : set.position) set.soil.push_back(position.z() > height ? 0 : 1);
  return set;
}

GrainSet pushedStack() { return inTwoSoils(pushedBed(), -0.15); }

}  // namespace holdground
