#include "scenarios/schema/bed_file.hpp"

#include <algorithm>
#include <cmath>

#include "scenarios/schema/toml_reader.hpp"

namespace holdground {
namespace {

using enum Dimension;

constexpr double kMostGrains = 5.0e7;     // a typing slip, not a bed
constexpr double kSolidFraction = 0.6;    // of a settled bed, about
constexpr double kWidestGrading = 10.0;   // largest over smallest diameter
constexpr double kFewestDiameters = 5.0;  // across a tile, so that no grain meets its own image

void addCohesion(TableSchema& grains, BedDraft& draft) {
  BedRecipe& bed = draft.recipe;
  grains.choice<Cohesion>(
      "cohesion", draft.cohesion,
      {{"pull-off", Cohesion::kPullOff}, {"elasto-plastic", Cohesion::kElastoPlastic}},
      "Pull-off: pull_off_stress holds grains together, however they were pressed; "
      "elasto-plastic: so do their dents, the more, the harder they were pressed");
  grains
      .quantity("pull_off_stress", bed.material.pullOffStress, kPressure,
                "Cohesion: force that pulls two grains apart, over the square of their diameter; 0 "
                "for grains that do not stick")
      .atLeast("0 Pa")
      .atMost("1 MPa");
  grains
      .quantity("pull_off_range", bed.material.pullOffRange, kNumber,
                "Gap over which cohesion fades, as a share of the diameter")
      .atLeast("0.01")
      .atMost("0.2");
  grains
      .quantity("plasticity", draft.plasticity, kNumber,
                "Of contacts that keep a dent: 1 less the stiffness of loading over that of "
                "unloading; steps shrink by the root of what is left")
      .requiredWhen("with cohesion = \"elasto-plastic\"")
      .atLeast("0.01")
      .atMost("0.9");
  grains
      .quantity("adhesive_share", draft.adhesiveShare, kNumber,
                "Of contacts that keep a dent: how they let go, over how they load; two grains "
                "hold by a share s p/(1 + s (1 - p)) of the force that pressed them, p plasticity")
      .requiredWhen("with cohesion = \"elasto-plastic\"")
      .atLeast("0")
      .atMost("10");
}

void addGrains(TableSchema& grains, BedDraft& draft) {
  BedRecipe& bed = draft.recipe;
  const auto size = [](Key& key) { key.atLeast("0.1 mm").atMost("2 m"); };
  size(grains.quantity("diameter", draft.diameter, kLength, "Diameter of grains of one size")
           .otherwise("smallest_diameter to largest_diameter"));
  size(grains
           .quantity("smallest_diameter", bed.smallestDiameter, kLength,
                     "Smallest diameter of a grading")
           .requiredWhen("without diameter"));
  size(grains
           .quantity("largest_diameter", bed.largestDiameter, kLength,
                     "Largest diameter of a grading")
           .requiredWhen("without diameter"));
  grains.choice<GradingBasis>(
      "grading", bed.gradingBasis,
      {{"by mass", GradingBasis::kMass}, {"by number", GradingBasis::kNumber}},
      "What is spread evenly over the diameters between smallest and largest");
  grains.choice<GrainShape>("shape", bed.shape,
                            {{"sphere", GrainShape::kSphere},
                             {"rounded", GrainShape::kRounded},
                             {"angular", GrainShape::kAngular}},
                            "Single spheres, or stones: rigid clusters of spheres, whose diameter "
                            "is that of their middle axis");
  grains.quantity("density", bed.material.density, kDensity, "Density of the solid grains")
      .atLeast("100 kg/m3")
      .atMost("20000 kg/m3");
  grains
      .quantity("friction", bed.material.friction, kNumber,
                "Coulomb friction coefficient of grain on grain")
      .atLeast("0")
      .atMost("2");
  grains
      .quantity("rolling_friction", bed.material.rollingFriction, kNumber,
                "Coefficient of rolling resistance of grain on grain: stands for shape")
      .atLeast("0")
      .atMost("1");
  grains
      .quantity("restitution", bed.material.restitutionCoefficient, kNumber,
                "Rebound speed over impact speed of two grains, head on")
      .atLeast("0.05")
      .atMost("1");
  grains
      .quantity("steel_setback", bed.material.steelSetback, kNumber,
                "Share of a grain's diameter by which its surface is set back toward steel: for "
                "grains that stand for finer ones, which would meet thin steel as if it were a "
                "diameter thicker; 0 for stones of real size")
      .atLeast("0")
      .atMost("0.35");
  addCohesion(grains, draft);
  grains.quantity("poisson_ratio", bed.material.poissonRatio, kNumber, "Poisson's ratio of grains")
      .atLeast("0")
      .atMost("0.49");
  grains
      .quantity("modulus", bed.youngModulus, kPressure,
                "Young's modulus of the contact law, softer than stone; auto: from "
                "expected_stress",
                "auto")
      .atLeast("10 kPa")
      .atMost("500 GPa");
  grains
      .quantity("expected_stress", bed.expectedStress, kPressure,
                "Stress on the grains near the fluke, for modulus = \"auto\"")
      .atLeast("100 Pa")
      .atMost("10 MPa");
}

void addGround(TableSchema& root, BedRecipe& bed) {
  TableSchema& water = root.table("water", "The water over and in the bed");
  water.quantity("density", bed.water.density, kDensity, "Density of the water; 0: dry ground")
      .atLeast("0 kg/m3")
      .atMost("2000 kg/m3");
  water
      .quantity("drag_coefficient", bed.water.dragCoefficient, kNumber,
                "Drag coefficient of a grain that lies exposed")
      .atLeast("0")
      .atMost("5");

  TableSchema& tile =
      root.table("tile", "The piece of ground that is settled once and laid in copies");
  tile.quantity("length", bed.tileLength, kLength, "Along the pull; the ground repeats after it")
      .required()
      .above("0 m")
      .atMost("100 m");
  tile.quantity("width", bed.tileWidth, kLength, "Across the pull; at least four fluke widths")
      .required()
      .above("0 m")
      .atMost("100 m");
  tile.quantity("depth", bed.depth, kLength, "Depth of the settled bed, about")
      .required()
      .above("0 m")
      .atMost("100 m");
  tile.quantity("frozen_thickness", bed.frozenThickness, kLength,
                "Thickness of the bottom layer that is held in place")
      .otherwise("one largest diameter")
      .atLeast("0 m")
      .atMost("100 m");

  TableSchema& settling = root.table("settling", "How the bed is packed");
  settling
      .quantity("friction", bed.settlingFriction, kNumber,
                "Grain friction while settling: the final one packs loosely, 0 densely")
      .otherwise("grains.friction")
      .atLeast("0")
      .atMost("2");
  settling
      .quantity("rest_speed", bed.restSpeed, kSpeed,
                "The bed has settled when the rms speed of its grains stays below this")
      .shownIn("mm/s")
      .above("0 m/s")
      .atMost("1 m/s");
  settling
      .quantity("longest_time", bed.longestSettlingTime, kTime,
                "Simulated time after which a bed that still moves is an error")
      .above("0 s")
      .atMost("1 h");
}

/// Dents belong to one kind of cohesion, which needs both of their keys.
void takeCohesion(BedDraft& draft, const Reading& reading) {
  for (const char* key : {"grains.plasticity", "grains.adhesive_share"}) {
    if (draft.cohesion == Cohesion::kElastoPlastic) {
      reading.demand(key, "a number, with cohesion = \"elasto-plastic\"");
    } else if (reading.has(key)) {
      throw reading.fault(key,
                          "found without cohesion = \"elasto-plastic\", allowed is only with it");
    }
  }
  draft.recipe.material.plasticity = draft.plasticity.value_or(0.0);
  draft.recipe.material.adhesiveShare = draft.adhesiveShare.value_or(0.0);
}

void addTarget(TableSchema& target, BedTarget& wanted) {
  target
      .quantity("friction_angle", wanted.frictionAngle, kAngle,
                "Friction angle at critical state, as the bed card measures it")
      .above("0 deg")
      .below("90 deg");
  target
      .quantity("strength", wanted.strength, kPressure,
                "Shear strength at critical state, at strength_depth")
      .above("0 Pa")
      .atMost("1 MPa");
  target
      .quantity("strength_depth", wanted.strengthDepth, kLength,
                "Depth at which strength holds: sheared under the bed's weight above it")
      .requiredWhen("with strength")
      .above("0 m")
      .atMost("100 m");
  target
      .quantity("unit_weight", wanted.unitWeight, kUnitWeight,
                "Weight of the settled bed over its volume, under its water")
      .above("0 kN/m3")
      .atMost("200 kN/m3");
  target.quantity("repose", wanted.repose, kAngle, "Slope that a cut through the dry bed leaves")
      .above("0 deg")
      .below("60 deg");
}

void checkTogether(const BedRecipe& bed, const Reading& reading) {
  if (bed.largestDiameter < bed.smallestDiameter) {
    throw reading.fault("grains.largest_diameter",
                        "found less than smallest_diameter, allowed is at least that");
  }
  if (bed.largestDiameter > kWidestGrading * bed.smallestDiameter) {
    throw reading.fault("grains.largest_diameter",
                        "found more than 10 times smallest_diameter, allowed is at most that");
  }
  if (bed.material.density <= bed.water.density) {
    throw reading.fault("grains.density",
                        "found grains that float, allowed is above water.density");
  }
  const double across = std::min(bed.tileLength, bed.tileWidth);
  if (across < kFewestDiameters * bed.largestDiameter) {
    throw reading.fault(bed.tileLength < bed.tileWidth ? "tile.length" : "tile.width",
                        "found less than 5 largest diameters, allowed is at least that");
  }
  if (bed.frozenLayer() >= bed.depth) {
    throw reading.fault("tile.frozen_thickness",
                        "found a bed that is frozen through, allowed is below tile.depth");
  }
  const double meanDiameter = 0.5 * (bed.smallestDiameter + bed.largestDiameter);
  const double grains = kSolidFraction * bed.tileLength * bed.tileWidth * bed.depth /
                        (kPi / 6.0 * std::pow(meanDiameter, 3));
  if (grains > kMostGrains) {
    throw reading.fault("tile", "found about " + formatNumber(grains / 1e6, 3) +
                                    " million grains in the tile, allowed is at most 50 million");
  }
}

}  // namespace

TableSchema bedSchema(BedDraft& draft) {
  BedRecipe& bed = draft.recipe;
  TableSchema root("bed file", "The ground: grains, water, and the tile they are settled in.");
  root.text("name", bed.name, "What the bed is called").required();
  root.text("note", bed.note, "Free text; say here when the data are invented");
  root.text(
      "kind", bed.kind,
      "Loose sand, gravel, soft mud, ...: picks the published ranges on the bed card, and the "
      "steel's friction where the anchor file gives none; words not known count as sand there");
  root.quantity("strength", bed.strength, kPressure,
                "Undrained shear strength of mud, as measured near the fluke; changes only the "
                "steel's adhesion where the anchor file gives none")
      .otherwise("none")
      .above("0 Pa")
      .atMost("1 MPa");
  root.quantity("permeability", bed.permeability, kSpeed,
                "Of the real ground to water; changes only what its card says of drainage")
      .otherwise("none")
      .above("0 m/s")
      .atMost("1 m/s");
  root.quantity("oedometer_modulus", bed.oedometerModulus, kPressure,
                "One-dimensional stiffness of the real ground, for drainage too")
      .otherwise("that of the bed's softened grains, as its card measures it")
      .atLeast("1 kPa")
      .atMost("100 GPa");
  root.wholeNumber("seed", bed.seed, "Another seed is another bed of the same recipe");
  addGrains(root.table("grains", "Spheres, with rolling resistance for shape"), draft);
  addGround(root, bed);
  addTarget(
      root.table("target",
                 "What the bed is to measure: holdground bed FILE --calibrate finds the grains "
                 "that do. Nothing else reads it"),
      bed.target);
  return root;
}

BedRecipe readBedFile(const std::filesystem::path& path) {
  BedDraft draft;
  const Reading reading = fillFromToml(readSource(path), bedSchema(draft));
  BedRecipe& bed = draft.recipe;
  for (const char* key : {"grains.smallest_diameter", "grains.largest_diameter"}) {
    if (!draft.diameter) {
      reading.demand(key, "a length with a unit, or grains.diameter for grains of one size");
    } else if (reading.has(key)) {
      throw reading.fault(key, "found beside grains.diameter, allowed is one or the other");
    }
  }
  if (draft.diameter) bed.smallestDiameter = bed.largestDiameter = *draft.diameter;
  takeCohesion(draft, reading);
  if (bed.target.strength) reading.demand("target.strength_depth", "a depth with a unit");
  if (bed.target.strengthDepth) reading.demand("target.strength", "a pressure with a unit");
  checkTogether(bed, reading);
  bed.source = reading.source();
  return bed;
}

}  // namespace holdground
