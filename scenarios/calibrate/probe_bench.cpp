#include "scenarios/calibrate/probe_bench.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iostream>
#include <memory>

#include "scenarios/calibrate/trial_book.hpp"
#include "scenarios/card/bed_card.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"

namespace holdground {
namespace {

constexpr int kBookVersion = 2;  // raise when what the probes measure changes
constexpr int kPackings = 3;     // for slopes, and for the unit weight of the full measurement
constexpr double kStiffer = 2.0, kFiner = 0.75, kLessDamped = 0.5;  // what variants change by

enum class Effort { kQuick, kFull };

/// What the bed's own tile adds to the small ones.
struct Surroundings {
  double stress = 0.0;   ///< at the depth of the strength [Pa]
  double density = 1.0;  ///< its solid fraction over that of the small tiles, as the bed is
};

/// One way of measuring, with its book.
class Prober {
 public:
  Prober(BedRecipe bed, const CardSettings& settings, Effort effort, const Surroundings& around)
      : bed_(std::move(bed)),
        settings_(settings),
        effort_(effort),
        around_(around),
        book_(trialBookFile(bed_, settings)) {}

  Measurement measure(const ContactParameters& parameters, std::span<const Figure> wanted) {
    Measurement result;
    result.isRemembered = true;
    std::vector<Figure> missing;
    Figures known = book_.find(parameters);
    for (const Figure figure : wanted)
      if (!known.contains(nameOf(figure))) missing.push_back(figure);
    if (!missing.empty()) {
      result.isRemembered = false;
      const Figures fresh = measured(parameters, missing);
      book_.keep(parameters, fresh);
      known.insert(fresh.begin(), fresh.end());
    }
    for (const Figure figure : wanted) result.figures.push_back(inTile(figure, known));
    return result;
  }

  /// Trials in the book that know all of these figures.
  std::vector<EarlierTrial> knowing(std::span<const Figure> wanted) const {
    std::vector<EarlierTrial> result;
    for (const auto& [parameters, figures] : book_.trials()) {
      EarlierTrial trial{parameters, {}};
      for (const Figure figure : wanted)
        if (figures.contains(nameOf(figure))) trial.figures.push_back(inTile(figure, figures));
      if (trial.figures.size() == wanted.size()) result.push_back(trial);
    }
    return result;
  }

 private:
  /// With all it depends on but the recipe.
  std::string nameOf(Figure figure) const {
    return figure == Figure::kStrength ? fmt::format("strength_at_{:.0f}_Pa", around_.stress)
                                       : keyOf(figure);
  }

  /// What the book knows of small tiles, of the bed's own.
  Estimate inTile(Figure figure, const Figures& known) const {
    const Estimate& e = known.at(nameOf(figure));
    const double scale = figure == Figure::kUnitWeight ? around_.density : 1.0;
    return {scale * e.mean, scale * e.standardError};
  }

  Figures measured(const ContactParameters& parameters, const std::vector<Figure>& missing) const {
    const auto isMissing = [&](Figure figure) {
      return std::find(missing.begin(), missing.end(), figure) != missing.end();
    };
    const TileRecipe recipe = tileRecipe(withParameters(bed_, parameters), bed_.seed);
    const Tile small = smallTile(recipe);
    Figures result;
    if (isMissing(Figure::kUnitWeight))
      result[nameOf(Figure::kUnitWeight)] = unitWeight(recipe, small);
    CardSettings settings = settings_;
    if (!isMissing(Figure::kFrictionAngle)) settings.stresses.clear();
    const std::size_t angles = settings.stresses.size();
    if (isMissing(Figure::kStrength)) settings.stresses.push_back(around_.stress);
    if (isMissing(Figure::kRepose)) result[nameOf(Figure::kRepose)] = repose(recipe, small);
    if (settings.stresses.empty()) return result;
    const CardProbes probes = probeSmallTile(recipe, small, settings, Slopes::kNone, "calibrate");
    const std::span<const ShearStrength> cells(probes.shear);
    if (angles > 0)
      result[nameOf(Figure::kFrictionAngle)] =
          cardAngle(cells.first(angles), isCohesive(recipe.material));
    if (isMissing(Figure::kStrength)) result[nameOf(Figure::kStrength)] = cells.back().shear;
    return result;
  }

  /// Only that of the full measurement is worth keeping: the bed card shears it too.
  Tile smallTile(const TileRecipe& recipe) const {
    const TileRecipe small = probeTileRecipe(recipe);
    if (effort_ == Effort::kFull) return obtainTile(small, "", bed_.source.path);
    if (auto kept = TileCache(cacheFolder()).find(small)) return std::move(*kept);
    try {
      return settleTile(small);
    } catch (const SimulationError& error) {
      throw SimulationError(bed_.source.path + ": bed: flew apart while settling: " + error.what());
    }
  }

  /// Of one packing without an error, or the mean of several.
  Estimate unitWeight(TileRecipe recipe, const Tile& small) const {
    const double solid = (recipe.material.density - recipe.water.density) * kStandardGravity;
    std::vector<double> weights{small.solidFraction * solid};
    for (int k = 1; k < kPackings && effort_ == Effort::kFull; ++k) {
      ++recipe.seed;
      weights.push_back(smallTile(recipe).solidFraction * solid);
    }
    return weights.size() > 1 ? estimateOf(weights) : Estimate{weights[0], 0.0};
  }

  /// Over packings: single collapses scatter by two degrees.
  Estimate repose(TileRecipe recipe, const Tile& small) const {
    std::vector<Tile> packings{small};
    for (int k = 1; k < kPackings; ++k) {
      ++recipe.seed;
      packings.push_back(smallTile(recipe));
    }
    std::vector<double> slopes;
    for (const CutSlope& slope : cutDrySlopes(recipe, packings, settings_, "calibrate"))
      slopes.push_back(slope.mean());
    return estimateOf(slopes);
  }

  BedRecipe bed_;
  CardSettings settings_;
  Effort effort_;
  Surroundings around_;
  TrialBook book_;
};

/// Stiffness, grain size and damping changed, one at a time; measured at length.
std::vector<Variant> variantsOf(const BedRecipe& bed, const CardSettings& settings,
                                const Surroundings& around) {
  const auto with = [&](std::string change,
                        std::function<void(BedRecipe&, const ContactParameters&)> apply) {
    return Variant{
        std::move(change), [=, apply = std::move(apply)](const ContactParameters& parameters,
                                                         std::span<const Figure> wanted) {
          BedRecipe changed = bed;
          apply(changed, parameters);
          return Prober(changed, settings, Effort::kFull, around).measure(parameters, wanted);
        }};
  };
  std::vector<Variant> variants{
      with(
          "twice the stiffness",
          [](BedRecipe& changed, const ContactParameters& parameters) {
            changed.youngModulus =
                kStiffer *
                tileRecipe(withParameters(changed, parameters), changed.seed).material.youngModulus;
          }),
      with("grains of 3/4 the size", [](BedRecipe& changed, const ContactParameters&) {
        changed.smallestDiameter *= kFiner;
        changed.largestDiameter *= kFiner;
      })};
  // A linear dashpot's rebound falls exponentially with its damping.
  const double restitution = std::pow(bed.material.restitutionCoefficient, kLessDamped);
  if (restitution < 1.0)
    variants.push_back(with(fmt::format("half the damping (restitution {:.2f})", restitution),
                            [=](BedRecipe& changed, const ContactParameters&) {
                              changed.material.restitutionCoefficient = restitution;
                            }));
  return variants;
}

/// Mean solid fraction of the small tiles of the bed as it is.
double smallSolidFraction(const BedRecipe& bed) {
  double sum = 0.0;
  for (int k = 0; k < kPackings; ++k)
    sum += obtainTile(probeTileRecipe(tileRecipe(bed, bed.seed + static_cast<std::uint64_t>(k))),
                      "", bed.source.path)
               .solidFraction;
  return sum / kPackings;
}

}  // namespace

std::filesystem::path trialBookFile(const BedRecipe& bed, const CardSettings& settings) {
  const BedRecipe bare = withParameters(bed, {0.0, 0.0, 0.0, 0.0});
  std::uint64_t hash = hashBits(hashText("holdground calibration trials"), kBookVersion);
  hash = hashBits(hash, probeTileRecipe(tileRecipe(bare, bed.seed)).hash());
  // Whether these follow from the parameters; if not, their values are in the recipe.
  hash = hashBits(hash, bed.settlingFriction.has_value());
  hash = hashBits(hash, bed.youngModulus.has_value());
  return cacheFolder() / fmt::format("trials-{:016x}.json", hashBits(hash, settings.hash()));
}

Bench probeBench(const BedRecipe& bed, const BenchSettings& settings) {
  Bench bench;
  const Tile small = obtainTile(probeTileRecipe(tileRecipe(bed, bed.seed)), "", bed.source.path);
  bench.solidFraction = small.solidFraction;
  const double unitWeight = bed.target.unitWeight.value_or(
      small.solidFraction * (bed.material.density - bed.water.density) * kStandardGravity);
  Surroundings around;
  around.stress = std::round(unitWeight * bed.target.strengthDepth.value_or(0.0));
  if (bed.target.unitWeight) {
    bench.solidFraction = obtainTile(tileRecipe(bed, bed.seed), "", bed.source.path).solidFraction;
    around.density = bench.solidFraction / smallSolidFraction(bed);
  }
  const auto quick = std::make_shared<Prober>(bed, settings.quick, Effort::kQuick, around);
  const auto full = std::make_shared<Prober>(bed, settings.full, Effort::kFull, around);
  bench.quick = [quick](const ContactParameters& parameters, std::span<const Figure> wanted) {
    return quick->measure(parameters, wanted);
  };
  bench.full = [full](const ContactParameters& parameters, std::span<const Figure> wanted) {
    return full->measure(parameters, wanted);
  };
  bench.variants = variantsOf(bed, settings.full, around);
  std::vector<Figure> sheared;
  for (const Figure figure : kFigures)
    if (figure != Figure::kUnitWeight && wantedOf(bed.target, figure)) sheared.push_back(figure);
  bench.earlier = quick->knowing(sheared);
  return bench;
}

}  // namespace holdground
