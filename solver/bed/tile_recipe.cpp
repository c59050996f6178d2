// What a recipe allows, how many grains it asks for, and the name it is kept under.
#include <fmt/format.h>

#include <cmath>

#include "solver/bed/stone_shape.hpp"
#include "solver/bed/tile.hpp"
#include "solver/contact/hertz_mindlin.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"

namespace holdground {

namespace {

constexpr int kCodeVersion = 6;              // raise when the way a tile is made changes
constexpr double kMostStickingStrain = 0.1;  // of grains by their cohesion alone: Hertz is for less

void require(bool good, const std::string& text) {
  if (!good) throw InputError(text);
}

void checkSticking(const GrainMaterial& material) {
  const double strain = stickingStrain(material);
  require(strain <= kMostStickingStrain,
          fmt::format("bed: pull_off_stress of {:.4g} Pa presses grains of a modulus of {:.4g} Pa "
                      "into each other by {:.2g} of their diameter, allowed is {:.2g}",
                      material.pullOffStress, material.youngModulus, strain, kMostStickingStrain));
}

void checkStack(const TileRecipe& r) {
  if (r.layers.empty()) return;
  require(r.layers.size() <= kMostSoils,
          fmt::format("bed: {} layers, allowed is up to {}", r.layers.size(), kMostSoils));
  require(r.shape == GrainShape::kSphere,
          "bed: stones of several spheres in a stack, allowed is a bed of one soil");
  const std::size_t held =
      r.bottom == StackBottom::kHardPan ? r.layers.size() - 1 : r.layers.size();
  for (std::size_t k = 0; k < r.layers.size(); ++k) {
    const SoilLayer& layer = r.layers[k];
    require(
        layer.smallestDiameter > 0.0 && layer.largestDiameter >= layer.smallestDiameter,
        fmt::format("bed: layer {}: the largest diameter must be at least the smallest", k + 1));
    const double least = (k == held ? 1.0 : 2.0) * layer.largestDiameter;
    require(layer.thickness >= least,
            fmt::format(
                "bed: layer {}: {:.3g} m thick; for grains up to {:.3g} m allowed from {:.3g} m",
                k + 1, layer.thickness, layer.largestDiameter, least));
    checkSticking(layer.material);
  }
}

}  // namespace

double stickingStrain(const GrainMaterial& material) {
  return std::pow(1.5 * material.pullOffStress / contactLaw(material).effectiveYoung, 2.0 / 3.0);
}

void TileRecipe::check() const {
  const TileRecipe& r = *this;
  require(r.smallestDiameter > 0.0 && r.largestDiameter >= r.smallestDiameter,
          "bed: no grains in the grading: the largest diameter must be at least the smallest");
  const double least = 4.0 * r.largestDiameter;
  require(
      r.length >= least && r.width >= least && r.depth >= 2.0 * r.largestDiameter,
      fmt::format("bed: tile of {:.3g} x {:.3g} x {:.3g} m; for grains up to {:.3g} m allowed from "
                  "{:.3g} x {:.3g} x {:.3g} m",
                  r.length, r.width, r.depth, r.largestDiameter, least, least,
                  2.0 * r.largestDiameter));
  checkSticking(r.material);
  checkStack(r);
}

std::size_t grainCount(const TileRecipe& recipe) {
  recipe.check();
  return looseGrains(recipe).size();
}

namespace {

/// Mean cube of the diameter over the grading of diameterAt() [m^3].
template <typename Grading>
double meanCube(const Grading& grading) {
  const double a = grading.smallestDiameter, b = grading.largestDiameter;
  return grading.gradingBasis == GradingBasis::kNumber ? 0.25 * (a + b) * (a * a + b * b)
                                                       : 2.0 * a * a * b * b / (a + b);
}

}  // namespace

double expectedGrainCount(const TileRecipe& recipe) {
  recipe.check();
  const double area = recipe.length * recipe.width;
  const auto floorOf = [&](double d) {
    return std::ceil(recipe.length / d) * std::ceil(recipe.width / d);
  };
  if (!recipe.layers.empty()) {
    double count = floorOf(recipe.layers.back().smallestDiameter);
    for (const SoilLayer& layer : recipe.layers)
      count += kLooseFraction * area * layer.thickness / (kPi / 6.0 * meanCube(layer));
    return count;
  }
  const double filled = kLooseFraction * area * recipe.depth * spheresOf(recipe.shape) /
                        meanVolumeShare(recipe.shape);
  return floorOf(recipe.smallestDiameter) + filled / (kPi / 6.0 * meanCube(recipe));
}

std::vector<GrainMaterial> TileRecipe::soils() const { return kernelSettings().soils(); }

KernelSettings TileRecipe::kernelSettings() const {
  KernelSettings settings;
  settings.material = material;
  for (std::size_t k = 1; k < layers.size(); ++k) settings.lowerSoils.push_back(layers[k].material);
  settings.water = water;
  return settings;
}

std::uint64_t TileRecipe::hash() const {
  std::uint64_t h = hashText("holdground tile");
  for (const double x : {smallestDiameter,
                         largestDiameter,
                         material.density,
                         material.youngModulus,
                         material.poissonRatio,
                         material.friction,
                         material.rollingFriction,
                         material.restitutionCoefficient,
                         material.pullOffStress,
                         material.pullOffRange,
                         water.density,
                         water.dragCoefficient,
                         length,
                         width,
                         depth,
                         frozenThickness,
                         settlingFriction,
                         restSpeed,
                         longestSettling,
                         rayleighFraction})
    h = hashBits(h, x);
  h = hashBits(h, seed);
  h = hashBits(h, kCodeVersion);
  // Beds of single grains keep the names they had before there were stones.
  if (shape != GrainShape::kSphere) h = hashBits(h, static_cast<int>(shape));
  if (material.plasticity > 0.0)
    h = hashBits(hashBits(h, material.plasticity), material.adhesiveShare);
  for (const SoilLayer& layer : layers) {
    const GrainMaterial& m = layer.material;
    for (const double x :
         {layer.thickness, layer.smallestDiameter, layer.largestDiameter, layer.settlingFriction,
          m.density, m.youngModulus, m.poissonRatio, m.friction, m.rollingFriction,
          m.restitutionCoefficient, m.pullOffStress, m.pullOffRange, m.plasticity, m.adhesiveShare})
      h = hashBits(h, x);
    h = hashBits(h, static_cast<int>(layer.gradingBasis));
  }
  if (!layers.empty()) h = hashBits(h, static_cast<int>(bottom));
  return hashBits(h, static_cast<int>(gradingBasis));
}

}  // namespace holdground
