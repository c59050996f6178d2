#include "scenarios/schema/bed_file.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "scenarios/schema/quantity.hpp"
#include "scenarios/schema/soil_keys.hpp"
#include "scenarios/schema/toml_reader.hpp"

namespace holdground {
namespace {

using enum Dimension;

/// Of letters a to z: kinds are known by their words.
std::string inLowerCase(std::string text) {
  for (char& c : text)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return text;
}

constexpr double kMostGrains = 5.0e7;     // a typing slip, not a bed
constexpr double kSolidFraction = 0.6;    // of a settled bed, about
constexpr double kFewestDiameters = 5.0;  // across a tile, so that no grain meets its own image

TableSchema layerSchema(LayerDraft& draft) {
  LayerRecipe& layer = draft.recipe;
  TableSchema table("layer", "");
  table.text("name", layer.name, "What the layer is called on the bed's card")
      .otherwise("its kind, or its place");
  table.text("kind", layer.kind, "As the kind of a bed: loose sand, soft mud, ...");
  table
      .quantity("strength", layer.strength, kPressure,
                "As the strength of a bed, for the steel's adhesion to this layer")
      .otherwise("none")
      .above("0 Pa")
      .atMost("1 MPa");
  table.quantity("thickness", layer.thickness, kLength, "Settled, about; at least two diameters")
      .required()
      .above("0 m")
      .atMost("100 m");
  table.flag(
      "hard_pan", layer.isHardPan,
      "Grains that nothing moves; in the lowest layer alone, which may be one diameter thick");
  addGrains(table, layer, draft);
  table
      .quantity("settling_friction", layer.settlingFriction, kNumber,
                "Grain friction while settling: the final one packs loosely, 0 densely")
      .otherwise("the layer's friction")
      .atLeast("0")
      .atMost("2");
  return table;
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
      .requiredWhen("without [[layer]]")
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

/// Grains that fill a depth of the tile, about.
double grainsOf(const SoilRecipe& soil, const BedRecipe& bed, double depth) {
  const double meanDiameter = 0.5 * (soil.smallestDiameter + soil.largestDiameter);
  return kSolidFraction * bed.tileLength * bed.tileWidth * depth /
         (kPi / 6.0 * std::pow(meanDiameter, 3));
}

void checkTogether(const BedRecipe& bed, const Reading& reading) {
  const double across = std::min(bed.tileLength, bed.tileWidth);
  if (across < kFewestDiameters * bed.largestDiameter) {
    throw reading.fault(bed.tileLength < bed.tileWidth ? "tile.length" : "tile.width",
                        "found less than 5 largest diameters, allowed is at least that");
  }
  if (bed.isStack() && bed.frozenLayer() >= bed.layers.back().thickness) {
    throw reading.fault("tile.frozen_thickness",
                        "found a layer that is frozen through, allowed is below the lowest's "
                        "thickness");
  }
  if (bed.frozenLayer() >= bed.depth) {
    throw reading.fault("tile.frozen_thickness",
                        "found a bed that is frozen through, allowed is below tile.depth");
  }
  double grains = bed.isStack() ? 0.0 : grainsOf(bed, bed, bed.depth);
  for (const LayerRecipe& layer : bed.layers) grains += grainsOf(layer, bed, layer.thickness);
  if (grains > kMostGrains) {
    throw reading.fault("tile", "found about " + formatNumber(grains / 1e6, 3) +
                                    " million grains in the tile, allowed is at most 50 million");
  }
}

void takeSoil(BedDraft& draft, const Reading& reading) {
  BedRecipe& bed = draft.recipe;
  takeSizes(bed, draft, reading, "grains", ", or [[layer]] for a stack of soils");
  takeCohesion(bed, draft, reading, "grains");
  reading.demand("tile.depth", allowedUnits(kLength));
  if (bed.target.strength) reading.demand("target.strength_depth", "a depth with a unit");
  if (bed.target.strengthDepth) reading.demand("target.strength", "a pressure with a unit");
  if (bed.target.strengthDepth && *bed.target.strengthDepth > bed.depth)
    throw reading.fault("target.strength_depth", "found " +
                                                     formatNumber(*bed.target.strengthDepth, 4) +
                                                     " m, allowed is at most tile.depth, " +
                                                     formatNumber(bed.depth, 4) + " m");
  checkSoil(bed, bed.water, reading, "grains");
}

/// Keys that a stack says layer by layer, or not at all.
void refuseKeysOfOneSoil(const Reading& reading) {
  for (const auto& [key, allowed] :
       {std::pair{"grains", "one or the other"}, std::pair{"kind", "a kind in each layer"},
        std::pair{"strength", "a strength in each layer"},
        std::pair{"tile.depth", "a thickness in each layer"},
        std::pair{"settling.friction", "settling_friction in each layer"},
        std::pair{"permeability", "in a bed of one soil"},
        std::pair{"oedometer_modulus", "in a bed of one soil"},
        std::pair{"target", "in a bed of one soil"}})
    if (reading.has(key))
      throw reading.fault(key, std::string("found beside [[layer]], allowed is ") + allowed);
}

void takeLayer(LayerDraft& draft, std::size_t place, std::size_t count, const Reading& reading) {
  const std::string table = "layer[" + std::to_string(place) + "]";
  LayerRecipe& layer = draft.recipe;
  takeSizes(layer, draft, reading, table, "");
  takeCohesion(layer, draft, reading, table);
  if (layer.shape != GrainShape::kSphere) {
    throw reading.fault(table + ".shape",
                        "found stones of several spheres, allowed in a stack is sphere");
  }
  if (layer.isHardPan && place < count) {
    throw reading.fault(table + ".hard_pan",
                        "found above another layer, allowed is in the lowest alone");
  }
  const double least = layer.isHardPan ? 1.0 : 2.0;
  if (layer.thickness < least * layer.largestDiameter) {
    throw reading.fault(table + ".thickness",
                        std::string("found less than ") +
                            (layer.isHardPan ? "one largest diameter" : "two largest diameters") +
                            ", allowed is at least that");
  }
  if (layer.name.empty()) layer.name = layer.kind;
  if (layer.name.empty())
    layer.name = layer.isHardPan ? "hard pan" : "layer " + std::to_string(place);
}

void takeStack(BedDraft& draft, const Reading& reading) {
  BedRecipe& bed = draft.recipe;
  refuseKeysOfOneSoil(reading);
  const std::size_t count = draft.layers.size();
  if (count < 2 || count > kMostSoils) {
    throw reading.fault("layer", "found " + std::to_string(count) + " layer" +
                                     (count == 1 ? "" : "s") + ", allowed is 2 to " +
                                     std::to_string(kMostSoils) + "; one soil alone is [grains]");
  }
  for (std::size_t k = 0; k < count; ++k) {
    takeLayer(draft.layers[k], k + 1, count, reading);
    const LayerRecipe& layer = draft.layers[k].recipe;
    checkSoil(layer, bed.water, reading, "layer[" + std::to_string(k + 1) + "]");
    bed.layers.push_back(layer);
  }
  if (bed.hasHardPan() && reading.has("tile.frozen_thickness")) {
    throw reading.fault("tile.frozen_thickness",
                        "found above a hard pan, allowed is one or the other");
  }
  static_cast<SoilRecipe&>(bed) = bed.layers.front();
  bed.kind = bed.layers.front().kind;
  bed.strength = bed.layers.front().strength;
  for (const LayerRecipe& layer : bed.layers) {
    bed.smallestDiameter = std::min(bed.smallestDiameter, layer.smallestDiameter);
    bed.largestDiameter = std::max(bed.largestDiameter, layer.largestDiameter);
    bed.depth += layer.thickness;
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
  addGrains(root.table("grains", "Spheres, with rolling resistance for shape; or [[layer]]"), bed,
            draft);
  addGround(root, bed);
  addTarget(
      root.table("target",
                 "What the bed is to measure: holdground bed FILE --calibrate finds the grains "
                 "that do. Nothing else reads it"),
      bed.target);
  root.tables(
      "layer", "One soil of a stack, from the top down, in place of [grains]",
      [&draft] { return layerSchema(draft.layers.emplace_back()); }, layerSchema(draft.sample));
  return root;
}

BedRecipe readBedFile(const std::filesystem::path& path) {
  BedDraft draft;
  const Reading reading = fillFromToml(readSource(path), bedSchema(draft));
  BedRecipe& bed = draft.recipe;
  reading.has("layer") ? takeStack(draft, reading) : takeSoil(draft, reading);
  checkTogether(bed, reading);
  bed.source = reading.source();
  bed.kind = inLowerCase(bed.kind);
  for (LayerRecipe& layer : bed.layers) layer.kind = inLowerCase(layer.kind);
  return bed;
}

InputError faultIn(const BedRecipe& bed, const std::string& key, const std::string& text) {
  BedDraft draft;
  return fillFromToml(bed.source, bedSchema(draft)).fault(key, text);
}

}  // namespace holdground
