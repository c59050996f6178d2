#pragma once
// The measures of a run as files and as text for a person.
// Checked by: tests/unit/measure/summary_test.cpp

#include <filesystem>
#include <string>
#include <vector>

#include "postprocess/measure/measures.hpp"
#include "solver/core/units.hpp"
#include "solver/record/format_series.hpp"

namespace holdground {

/// What makes the figures doubtful, one sentence each, in the units a person asked for.
std::vector<std::string> doubts(const Measures& measures, const DisplayUnits& units);

/// JSON: "format", "version" and under "measures" for each key its value (null when it does not
/// apply), SI unit and meaning; then "cautions". Ends with a line break.
std::string summaryJson(const Measures& measures);

/// One line a sample, head line with `column [unit]`, vectors as _x _y _z; no energy is left out.
std::string seriesCsv(const RunDescription& run, const std::vector<SeriesRow>& series,
                      const DisplayUnits* units = nullptr);

/// A table of results in the units a person asked for, with warnings about what to distrust.
std::string resultsTable(const Measures& measures, const DisplayUnits& units);

}  // namespace holdground
