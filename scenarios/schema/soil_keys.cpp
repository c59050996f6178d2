#include "scenarios/schema/soil_keys.hpp"

namespace holdground {
namespace {

using enum Dimension;

constexpr double kWidestGrading = 10.0;  // largest over smallest diameter

void addCohesion(TableSchema& grains, SoilRecipe& soil, GrainDraft& draft) {
  grains.choice<Cohesion>(
      "cohesion", draft.cohesion,
      {{"pull-off", Cohesion::kPullOff}, {"elasto-plastic", Cohesion::kElastoPlastic}},
      "Pull-off: pull_off_stress holds grains together, however they were pressed; "
      "elasto-plastic: so do their dents, the more, the harder they were pressed");
  grains
      .quantity("pull_off_stress", soil.material.pullOffStress, kPressure,
                "Cohesion: force that pulls two grains apart, over the square of their diameter; 0 "
                "for grains that do not stick")
      .atLeast("0 Pa")
      .atMost("1 MPa");
  grains
      .quantity("pull_off_range", soil.material.pullOffRange, kNumber,
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

}  // namespace

void addGrains(TableSchema& grains, SoilRecipe& soil, GrainDraft& draft) {
  const auto size = [](Key& key) { key.atLeast("0.1 mm").atMost("2 m"); };
  size(grains.quantity("diameter", draft.diameter, kLength, "Diameter of grains of one size")
           .otherwise("smallest_diameter to largest_diameter"));
  size(grains
           .quantity("smallest_diameter", soil.smallestDiameter, kLength,
                     "Smallest diameter of a grading")
           .requiredWhen("without diameter"));
  size(grains
           .quantity("largest_diameter", soil.largestDiameter, kLength,
                     "Largest diameter of a grading")
           .requiredWhen("without diameter"));
  grains.choice<GradingBasis>(
      "grading", soil.gradingBasis,
      {{"by mass", GradingBasis::kMass}, {"by number", GradingBasis::kNumber}},
      "What is spread evenly over the diameters between smallest and largest");
  grains.choice<GrainShape>("shape", soil.shape,
                            {{"sphere", GrainShape::kSphere},
                             {"rounded", GrainShape::kRounded},
                             {"angular", GrainShape::kAngular}},
                            "Single spheres, or stones: rigid clusters of spheres, whose diameter "
                            "is that of their middle axis");
  grains.quantity("density", soil.material.density, kDensity, "Density of the solid grains")
      .atLeast("100 kg/m3")
      .atMost("20000 kg/m3");
  grains
      .quantity("friction", soil.material.friction, kNumber,
                "Coulomb friction coefficient of grain on grain")
      .atLeast("0")
      .atMost("2");
  grains
      .quantity("rolling_friction", soil.material.rollingFriction, kNumber,
                "Coefficient of rolling resistance of grain on grain: stands for shape")
      .atLeast("0")
      .atMost("1");
  grains
      .quantity("restitution", soil.material.restitutionCoefficient, kNumber,
                "Rebound speed over impact speed of two grains, head on")
      .atLeast("0.05")
      .atMost("1");
  grains
      .quantity("steel_setback", soil.material.steelSetback, kNumber,
                "Share of a grain's diameter by which its surface is set back toward steel: for "
                "grains that stand for finer ones, which would meet thin steel as if it were a "
                "diameter thicker; 0 for stones of real size")
      .atLeast("0")
      .atMost("0.35");
  addCohesion(grains, soil, draft);
  grains.quantity("poisson_ratio", soil.material.poissonRatio, kNumber, "Poisson's ratio of grains")
      .atLeast("0")
      .atMost("0.49");
  grains
      .quantity("modulus", soil.youngModulus, kPressure,
                "Young's modulus of the contact law, softer than stone; auto: from "
                "expected_stress",
                "auto")
      .atLeast("10 kPa")
      .atMost("500 GPa");
  grains
      .quantity("expected_stress", soil.expectedStress, kPressure,
                "Stress on the grains near the fluke, for modulus = \"auto\"")
      .atLeast("100 Pa")
      .atMost("10 MPa");
}

void takeSizes(SoilRecipe& soil, const GrainDraft& draft, const Reading& reading,
               const std::string& table, const char* instead) {
  for (const char* key : {".smallest_diameter", ".largest_diameter"}) {
    if (!draft.diameter) {
      reading.demand(table + key, "a length with a unit, or " + table +
                                      ".diameter for grains of one size" + instead);
    } else if (reading.has(table + key)) {
      throw reading.fault(table + key,
                          "found beside " + table + ".diameter, allowed is one or the other");
    }
  }
  if (draft.diameter) soil.smallestDiameter = soil.largestDiameter = *draft.diameter;
}

void takeCohesion(SoilRecipe& soil, const GrainDraft& draft, const Reading& reading,
                  const std::string& table) {
  for (const char* name : {".plasticity", ".adhesive_share"}) {
    const std::string key = table + name;
    if (draft.cohesion == Cohesion::kElastoPlastic) {
      reading.demand(key, "a number, with cohesion = \"elasto-plastic\"");
    } else if (reading.has(key)) {
      throw reading.fault(key,
                          "found without cohesion = \"elasto-plastic\", allowed is only with it");
    }
  }
  soil.material.plasticity = draft.plasticity.value_or(0.0);
  soil.material.adhesiveShare = draft.adhesiveShare.value_or(0.0);
}

void checkSoil(const SoilRecipe& soil, const Water& water, const Reading& reading,
               const std::string& table) {
  if (soil.largestDiameter < soil.smallestDiameter) {
    throw reading.fault(table + ".largest_diameter",
                        "found less than smallest_diameter, allowed is at least that");
  }
  if (soil.largestDiameter > kWidestGrading * soil.smallestDiameter) {
    throw reading.fault(table + ".largest_diameter",
                        "found more than 10 times smallest_diameter, allowed is at most that");
  }
  if (soil.material.density <= water.density) {
    throw reading.fault(table + ".density",
                        "found grains that float, allowed is above water.density");
  }
}

}  // namespace holdground
