#include "tests/support/small_pull.hpp"

#include "solver/geometry/mass_properties.hpp"
#include "solver/state/stable_time_step.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {

TileRecipe smallRecipe() {
  TileRecipe recipe;
  recipe.smallestDiameter = 0.05;
  recipe.largestDiameter = 0.06;
  recipe.length = 0.5;
  recipe.width = 0.5;
  recipe.depth = 0.3;
  recipe.frozenThickness = 0.06;
  recipe.material.youngModulus = 3e7;
  recipe.restSpeed = 5e-3;
  return recipe;
}

const Tile& smallTile() {
  static const Tile tile = settleTile(smallRecipe());
  return tile;
}

Anchor blockAnchor() {
  Anchor anchor;
  anchor.name = "block";
  AnchorPart part;
  part.name = "block";
  part.role = PartRole::kFluke;
  part.mesh = test::boxMesh(Vec3(-0.08, -0.05, -0.03), Vec3(0.16, 0.10, 0.06));
  const MassProperties properties = massProperties(part.mesh);
  part.density = 4.0 / properties.volume;
  anchor.mass = 4.0;
  anchor.inertia = part.density * properties.inertia;
  anchor.volume = properties.volume;
  anchor.shackle = Vec3(0.08, 0.0, 0.0);
  anchor.toe = Vec3(0.08, 0.0, -0.03);
  anchor.heel = Vec3(-0.08, 0.0, -0.03);
  anchor.length = 0.16;
  anchor.flukeWidth = 0.10;
  anchor.parts.push_back(part);
  return anchor;
}

SimulationSettings smallPull(KernelKind kernel, const GrainSet& bed) {
  SimulationSettings settings;
  settings.kernel = kernel;
  settings.bed.material = smallRecipe().material;
  settings.bed.timeStep = stableTimeStep(bed, settings.bed.material);
  settings.settleTime = 0.05;
  settings.rode.elevation = 0.0;
  settings.rode.speed.speed = 0.5;
  settings.rode.speed.startTime = 0.05;
  settings.rode.speed.lineLength = 5.0;
  settings.rode.speed.lineDamping = 100.0;
  return settings;
}

}  // namespace holdground
