#pragma once
// What a pull is judged by, from its record, and the table of its keys.
//
// tabulate() is the only place where keys, units and meanings stand: summary.json and the table of
// results are made from it.
// Checked by: tests/unit/measure/summary_test.cpp

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "postprocess/measure/holding.hpp"
#include "solver/core/units.hpp"
#include "solver/record/format_run.hpp"
#include "solver/record/format_series.hpp"

namespace holdground {

/// Change since the first sample, terms as in the ledger; dissipation positive. [J]
struct EnergyBalance {
  double workIn = 0.0;  ///< by the rode, by gravity less buoyancy, by prescribed motion
  double stored = 0.0;  ///< kinetic and elastic
  double friction = 0.0;
  double damping = 0.0;  ///< normal and tangential
  double rolling = 0.0;
  double plastic = 0.0;  ///< dents of cohesive contacts
  double waterDrag = 0.0;
  double historyArtefact = 0.0;
  double residual = 0.0;  ///< work in less stored less all lost
};

struct Measures {
  RunDescription run;  ///< without meshes, grains and texts
  std::optional<RunClosing> closing;
  std::size_t samples = 0;
  SeriesRow last;
  std::optional<SpeedHolding> atSpeed;  ///< prescribed speed only
  std::optional<double> held;           ///< prescribed load only [N]
  double peakLoad = 0.0;                ///< [N]
  double startSpeed = 0.0;              ///< of the anchor when the pull began [m/s]
  double greatestToeEmbedment = 0.0;    ///< [m]
  EnergyBalance energy;
  double overlapMedian = 0.0, overlapP99 = 0.0, overlapMaximum = 0.0;  ///< greatest over the pull
  double throughSteelShare = 0.0;       ///< mean over the samples averaged, or all
  std::uint64_t throughSteelPairs = 0;  ///< greatest over the pull
  double inertialMean = 0.0;            ///< over the samples averaged, or all
  double inertialMaximum = 0.0;
  std::uint64_t flags = 0;  ///< all SeriesFlag that ever rose

  /// Mean over the last metre, or the load held; by the mode of the trial. [N]
  std::optional<double> holding() const;
  /// Width of the bed as laid over that of the fluke.
  double widthsAcross() const { return run.bed.lengthY / run.anchor.flukeWidth; }
  /// Holding over weight in air.
  std::optional<double> efficiency() const;
};

/// InputError when the record has no sample yet.
Measures measure(const RunDescription& run, const std::vector<SeriesRow>& series,
                 const std::optional<RunClosing>& closing);

EnergyBalance balance(const SeriesRow& first, const SeriesRow& last);

using MeasureValue = std::variant<std::monostate, double, std::uint64_t, bool, std::string>;

struct MeasureLine {
  const char* key;      ///< in summary.json
  Dimension dimension;  ///< value is in its SI unit
  const char* label;    ///< in the table for people; nullptr: not shown there
  const char* meaning;  ///< one sentence
  MeasureValue value;   ///< nothing: does not apply to this run, or not known
};

std::vector<MeasureLine> tabulate(const Measures& measures);

/// Symbol of the SI unit; "1" for a number.
std::string siSymbol(Dimension dimension);

}  // namespace holdground
