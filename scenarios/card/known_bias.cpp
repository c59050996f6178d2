#include "scenarios/card/known_bias.hpp"

#include <fmt/format.h>

namespace holdground {
namespace {

constexpr double kPlate = 0.01;  // of the shipped scoop's shank, for an example [m]

/// tests/validation/trust/results_sand.csv: the shipped scoop, 1.6 m through sand of 30 degrees.
/// The scatter of packings is pooled over all that was pulled on several, 36 degrees of freedom.
const std::vector<std::string> kSand = {
    "Scatter: the shipped scoop, pulled 1.6 m through 66 mm grains, held 0.72 kN with a standard "
    "deviation of 6 % in five pulls on the same ground, whose lines differ by less than a "
    "billionth; other packings change a pull by 19 %. Compare means of several seeds.",
    "Grain size: it digs deeper in finer grains. In 88, 66, 55 and 44 mm it held 0.67, 0.90, 1.07 "
    "and 1.02 kN after the same drift, and met 0.94, 0.97, 1.11 and 1.18 kN while its toe lay at "
    "0.2 m. Compare anchors in grains of one size.",
    "Stiffness: grains twice and four times as stiff held 4 and 26 % more, means of six pulls.",
    "Speed: at 0.2, 0.8 and 1.6 m/s it held 11, 13 and 28 % less than at 0.4, its toe 0.26, 0.18 "
    "and 0.09 m deep in place of 0.25; means of four to six pulls."};

/// tests/validation/trust/results_mud.csv: the same through soft mud in lumps of 66 mm; packings
/// pooled over 13 degrees of freedom.
const std::vector<std::string> kSoftMud = {
    "Scatter: the shipped scoop, pulled 1.6 m through lumps of 66 mm, held 1.9 kN with a standard "
    "deviation of 6 % in five pulls on the same ground, whose lines differ by less than a "
    "billionth; other packings change a pull by 13 %. Compare means of several seeds.",
    "Grain size: in lumps of 88, 66, 55 and 44 mm it held 2.13, 2.12, 1.93 and 1.85 kN after the "
    "same drift, and met 2.55, 2.34, 2.22 and 2.17 kN while its toe was 0.2 m deep: coarse lumps "
    "read high.",
    "Stiffness: lumps twice and four times as stiff held as much within 5 %, means of two pulls.",
    "Speed: at 0.2, 0.8 and 1.6 m/s it held 12, 7 and 18 % less than at 0.4, where it lay deepest; "
    "means of two pulls."};

const std::vector<std::string> kNotStudied = {
    "Scatter, grain size, stiffness and speed have been studied in loose sand and in soft mud "
    "alone: before a difference is believed here, run several seeds and another grain size."};

/// Edges read too strong among grains that the model coarsens. A bound: edges of 0.4 to 3 grains
/// in mud met 0.5 to 1 times it, in sand a nose of grains makes them as blunt without it.
std::string thinSteel(double diameter, double steelSetback) {
  const double added = addedThickness(diameter, steelSetback);
  return fmt::format(
      "Thin steel: among grains of {:.0f} mm, set back by {:g} of that, steel acts as if it were "
      "up "
      "to {:.0f} mm thicker: the edge of a plate of {:.0f} mm meets up to {:.1f} times what it "
      "should. A plate led broadside that is five grains long reads up to 15 % too much.",
      1e3 * diameter, steelSetback, 1e3 * added, 1e3 * kPlate, 1.0 + added / kPlate);
}

}  // namespace

double addedThickness(double diameter, double setback) { return (1.0 - 2.0 * setback) * diameter; }

std::vector<std::string> knownBias(std::string_view kind, double diameter, double steelSetback) {
  std::vector<std::string> lines;
  if (!kind.starts_with("cobble"))  // stones are of real size
    lines.push_back(thinSteel(diameter, steelSetback));
  const std::vector<std::string>& rest = kind == "loose sand" ? kSand
                                         : kind == "soft mud" ? kSoftMud
                                                              : kNotStudied;
  lines.insert(lines.end(), rest.begin(), rest.end());
  return lines;
}

std::vector<std::string> knownBias(const BedRecipe& bed) {
  if (bed.isStack()) {
    std::vector<std::string> lines;
    for (const LayerRecipe& layer : bed.layers) {
      if (layer.isHardPan) continue;
      for (const std::string& line :
           knownBias(layer.kind, 0.5 * (layer.smallestDiameter + layer.largestDiameter),
                     layer.material.steelSetback))
        lines.push_back("Layer " + layer.name + ": " + line);
    }
    return lines;
  }
  return knownBias(bed.kind, 0.5 * (bed.smallestDiameter + bed.largestDiameter),
                   bed.material.steelSetback);
}

}  // namespace holdground
