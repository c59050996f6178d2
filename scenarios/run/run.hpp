#pragma once
// What the verbs of the command line ask of the engine. Scenario files are read and checked
// before any of these is called; faults leave as InputError or SystemError.

#include <filesystem>
#include <optional>

#include "scenarios/schema/anchor_spec.hpp"
#include "scenarios/schema/bed_recipe.hpp"
#include "scenarios/schema/probe_spec.hpp"
#include "scenarios/schema/trial_spec.hpp"
#include "solver/core/units.hpp"

namespace holdground {

/// How the program ends. kBedLost: the bed flew apart, and the results are those up to then.
enum ExitStatus { kDone = 0, kInternalFault = 1, kBadInput = 2, kSystemFault = 3, kBedLost = 4 };

/// What goes to stdout: text for a person or JSON for a program.
enum class ReportStyle { kText, kJson };

/// Whether a pull begins afresh or continues from the checkpoint in its folder.
enum class StartMode { kFresh, kResume };

struct SurveyOptions {
  ReportStyle report = ReportStyle::kText;
  DisplayUnits units;
};

/// What a bed's card tells: its packing alone, what quick probes measured in it too, or what tools
/// did in a deeper tile as well.
enum class CardKind { kTile, kQuick, kFull };

/// Whether a bed is settled, or grains are sought that meet its targets.
enum class BedWork { kSettle, kCalibrate };

struct BedOptions {
  BedWork work = BedWork::kSettle;
  /// File to keep the tile in, or of the calibrated bed; empty: the cache, or none.
  std::optional<std::filesystem::path> output;
  int threads = 0;  ///< 0: as many as there are cores
  CardKind card = CardKind::kTile;
  ReportStyle report = ReportStyle::kText;
  DisplayUnits units;
};

struct PullOptions {
  std::filesystem::path output;  ///< folder of the run
  int threads = 0;               ///< 0: as many as there are cores
  StartMode start = StartMode::kFresh;
  ReportStyle report = ReportStyle::kText;
  DisplayUnits units;
};

struct ProbeOptions {
  std::filesystem::path output;  ///< folder of the results
  int threads = 0;               ///< 0: as many as there are cores
  ReportStyle report = ReportStyle::kText;
  DisplayUnits units;
};

/// Each returns the exit status: 0 when done.
int runSurvey(const AnchorSpec& anchor, const SurveyOptions& options);
int runBed(const BedRecipe& recipe, const BedOptions& options);
/// Part of runBed.
int runCalibration(const BedRecipe& recipe, const BedOptions& options);
int runPull(const TrialSpec& trial, const PullOptions& options);
int runProbe(const ProbeSpec& probe, const ProbeOptions& options);

}  // namespace holdground
