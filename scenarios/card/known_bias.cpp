#include "scenarios/card/known_bias.hpp"

#include <fmt/format.h>

namespace holdground {
namespace {

constexpr double kPlate = 0.01;  // of the shipped scoop's shank, for an example [m]

/// tests/validation/trust/results_sand.csv: the shipped scoop, 1.6 m through sand of 30 degrees;
/// and setback/results_sand.csv.
const std::vector<std::string> kSand = {
    "Scatter: the same ground with a line stiffer by less than a billionth gives another holding, "
    "with a standard deviation of 14 % of five; three packings 12 %, which is not told apart from "
    "it. Compare means of several seeds.",
    "Grain size: a free anchor digs deeper in finer grains. One packing each of 88, 66 and 55 mm "
    "held 0.67, 0.80 and 1.12 kN; led at equal depth the scoop met 1.80, 1.77 and 1.47 kN in 88, "
    "66 and 44 mm. Compare anchors in grains of one size.",
    "Stiffness: grains twice and four times as stiff held 5 and 32 % more, means of three "
    "packings.",
    "Speed: at 0.8 and 1.6 m/s the anchor lay less deep than at 0.4 and held a fifth and a quarter "
    "less, means of three packings that scatter as much."};

/// tests/validation/trust/results_mud.csv: the same through soft mud in lumps of 66 mm.
const std::vector<std::string> kSoftMud = {
    "Scatter: three packings held 2.1 kN with a standard deviation of 5 %. Compare means of "
    "several seeds.",
    "Grain size and stiffness: lumps of 88 and 55 mm in place of 66 held 4 % more and 9 % less, "
    "stiffer lumps, twice and four times, as much within 2 %, means of two packings: no more than "
    "scatter.",
    "Speed: at 0.2, 0.8 and 1.6 m/s it held 12, 7 and 18 % less than at 0.4, where it lay deepest; "
    "means of two packings."};

const std::vector<std::string> kNotStudied = {
    "Scatter, grain size, stiffness and speed have been studied in loose sand and in soft mud "
    "alone: before a difference is believed here, run several seeds and another grain size."};

/// Edges read too strong among grains that the model coarsens. A bound: edges of 0.4 to 1.5 grains
/// in mud met 0.5 to 1 times it, in sand a nose of grains makes them as blunt without it.
std::string thinSteel(double diameter, double steelSetback) {
  const double added = addedThickness(diameter, steelSetback);
  return fmt::format(
      "Thin steel: among grains of {:.0f} mm, set back by {:g} of that, steel acts as if it were "
      "up "
      "to {:.0f} mm thicker: the edge of a plate of {:.0f} mm meets up to {:.1f} times what it "
      "should. A plate led broadside that is five grains long reads within a tenth.",
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
