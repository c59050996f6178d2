#pragma once
// What a bed file asks for, in SI units. The initial values here are the defaults of the keys.
// Checked by tests/unit/scenarios/bed_file_test.cpp.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/schema/bed_target.hpp"
#include "scenarios/schema/source_text.hpp"
#include "scenarios/schema/surface_spec.hpp"
#include "solver/state/grading.hpp"
#include "solver/state/grain_material.hpp"
#include "solver/state/grain_shape.hpp"

namespace holdground {

/// The grains of one soil.
struct SoilRecipe {
  double smallestDiameter = 0.0;  ///< [m]
  double largestDiameter = 0.0;   ///< [m]; equal to the smallest for grains of one size
  GradingBasis gradingBasis = GradingBasis::kMass;
  GrainShape shape = GrainShape::kSphere;

  /// Everything but the modulus, which is `youngModulus` or follows from `expectedStress`.
  GrainMaterial material;
  std::optional<double> youngModulus;  ///< [Pa]; empty: "auto"
  double expectedStress = 30.0e3;      ///< on the grains near the fluke [Pa]; for "auto"

  /// Grain friction while settling; empty: the final one (loose), 0: dense.
  std::optional<double> settlingFriction;

  /// Stress that presses grains together, for the modulus [Pa]: what is expected under the fluke,
  /// and what cohesion adds, its tensile strength of about the pull-off stress (Rumpf 1970).
  double stressAtContacts() const { return expectedStress + material.pullOffStress; }
};

/// One soil of a stack.
struct LayerRecipe : SoilRecipe {
  std::string name;                ///< empty: its kind, or its place
  std::string kind;                ///< as that of a bed
  std::optional<double> strength;  ///< the same [Pa]
  double thickness = 0.0;          ///< settled, about [m]
  bool isHardPan = false;          ///< its grains are held
};

/// In a stack what is said of one soil is that of the uppermost, but for the diameters, the least
/// and the largest of all, and the depth, the sum.
struct BedRecipe : SoilRecipe {
  std::string name;
  std::string note;  ///< free text; says so when the data are invented
  std::string kind;  ///< loose sand, cobble, ...; picks published ranges and the steel's defaults
  std::optional<double> strength;          ///< undrained shear strength of mud, as measured [Pa]
  std::optional<double> permeability;      ///< of the real ground [m/s]; for its drainage alone
  std::optional<double> oedometerModulus;  ///< the same [Pa]; empty: what the card measures

  std::vector<LayerRecipe> layers;  ///< of a stack, from the top down; empty: one soil

  Water water;

  double tileLength = 0.0;                ///< along x [m]
  double tileWidth = 0.0;                 ///< along y [m]
  double depth = 0.0;                     ///< of the settled bed, about [m]
  std::optional<double> frozenThickness;  ///< [m]; empty: one largest diameter

  std::uint64_t seed = 1;

  double restSpeed = 1.0e-3;          ///< settled when the rms grain speed stays below this [m/s]
  double longestSettlingTime = 60.0;  ///< of simulated time; longer is an error [s]

  BedTarget target;  ///< for calibration alone; changes no bed

  SourceText source;

  bool isStack() const { return !layers.empty(); }
  bool hasHardPan() const { return isStack() && layers.back().isHardPan; }
  /// What steel meets: of the uppermost soil, and of those below it.
  Ground ground() const { return {kind, strength.value_or(0.0)}; }
  std::vector<Ground> lowerGrounds() const;
  /// Of the grains that are held because they lie low; a hard pan is held besides [m].
  double frozenLayer() const;
  /// One layer as a bed of its own.
  BedRecipe bedOfLayer(std::size_t layer) const;
};

}  // namespace holdground
