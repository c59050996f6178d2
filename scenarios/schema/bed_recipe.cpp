#include "scenarios/schema/bed_recipe.hpp"

namespace holdground {

std::vector<Ground> BedRecipe::lowerGrounds() const {
  std::vector<Ground> grounds;
  for (std::size_t k = 1; k < layers.size(); ++k)
    grounds.push_back({layers[k].kind, layers[k].strength.value_or(0.0)});
  return grounds;
}

double BedRecipe::frozenLayer() const {
  if (hasHardPan()) return 0.0;
  return frozenThickness.value_or(isStack() ? layers.back().largestDiameter : largestDiameter);
}

BedRecipe BedRecipe::bedOfLayer(std::size_t k) const {
  const LayerRecipe& layer = layers.at(k);
  BedRecipe own = *this;
  static_cast<SoilRecipe&>(own) = layer;
  own.name = name + ": " + layer.name;
  own.kind = layer.kind;
  own.strength = layer.strength;
  own.depth = layer.thickness;
  own.frozenThickness.reset();
  own.layers.clear();
  return own;
}

}  // namespace holdground
