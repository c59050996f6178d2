#pragma once
// The keys of a trial file. Checked by tests/unit/scenarios/trial_file_test.cpp.

#include <filesystem>
#include <optional>
#include <string>

#include "scenarios/schema/schema.hpp"
#include "scenarios/schema/trial_spec.hpp"

namespace holdground {

/// A spec and what else a file may say on the way to it.
struct TrialDraft {
  TrialSpec spec;
  std::string bed, anchor;              ///< paths as written
  std::optional<double> scope;          ///< instead of an elevation [-]
  std::optional<double> chainDiameter;  ///< instead of a mass per length [m]
};

/// The keys, bound to `draft`.
TableSchema trialSchema(TrialDraft& draft);

/// [solver]: how a trial or a probe is computed.
void addSolver(TableSchema& root, KernelKind& kernel, double& rayleighFraction);

/// Reads the trial and the bed and anchor files it names. Throws InputError: one line with file,
/// line, column and key.
TrialSpec readTrialFile(const std::filesystem::path& path);

/// Mass per length [kg/m] of calibrated short-link steel chain of a wire diameter [m].
/// Source: fit m = 0.0225 d^2 (d in mm) to the rows 6 to 16 mm of ISO 4565 / DIN 766, within 4 %.
double chainMassPerLength(double diameter);

}  // namespace holdground
