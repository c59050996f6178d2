#include "tests/support/small_stack.hpp"

namespace holdground {
namespace {

SoilLayer sandLayer(double thickness) {
  SoilLayer layer;
  layer.thickness = thickness;
  layer.smallestDiameter = 0.036;
  layer.largestDiameter = 0.044;
  layer.material.youngModulus = 3e7;
  layer.material.rollingFriction = 0.2;
  layer.material.steelSetback = 0.1;
  layer.settlingFriction = layer.material.friction;
  return layer;
}

TileRecipe stackOf(std::vector<SoilLayer> layers) {
  TileRecipe recipe;
  recipe.layers = std::move(layers);
  const SoilLayer& top = recipe.layers.front();
  recipe.smallestDiameter = top.smallestDiameter;
  recipe.largestDiameter = top.largestDiameter;
  recipe.material = top.material;
  recipe.settlingFriction = top.settlingFriction;
  recipe.depth = 0.0;
  for (const SoilLayer& layer : recipe.layers) recipe.depth += layer.thickness;
  recipe.length = recipe.width = 0.34;
  recipe.restSpeed = 3e-3;
  recipe.frozenThickness = 0.044;
  return recipe;
}

}  // namespace

TileRecipe smallStackRecipe() {
  SoilLayer mud = sandLayer(0.2);
  mud.material.density = 1930.0;
  mud.material.youngModulus = 2e7;
  mud.material.friction = mud.material.rollingFriction = 0.0;
  mud.material.restitutionCoefficient = 0.7;
  mud.material.pullOffStress = 5e3;
  mud.material.steelSetback = 0.3;
  mud.settlingFriction = 0.1;
  return stackOf({mud, sandLayer(0.2)});
}

const Tile& smallStack() {
  static const Tile tile = settleTile(smallStackRecipe());
  return tile;
}

TileRecipe sandOnPanRecipe() {
  TileRecipe recipe = stackOf({sandLayer(0.2), sandLayer(0.09)});
  recipe.layers[1].material.youngModulus = 1e8;
  recipe.bottom = StackBottom::kHardPan;
  return recipe;
}

const Tile& sandOnPan() {
  static const Tile tile = settleTile(sandOnPanRecipe());
  return tile;
}

}  // namespace holdground
