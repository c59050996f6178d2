#pragma once
// The results of a probe, for programs and for a person.
// Checked by: tests/endtoend/probe_test.cpp, tests/unit/scenarios/probe_record_test.cpp

#include <string>
#include <vector>

#include "scenarios/run/probe_record.hpp"
#include "scenarios/schema/probe_spec.hpp"
#include "solver/bed/tile.hpp"
#include "solver/core/units.hpp"

namespace holdground {

/// What a finished probe is known by besides its rows.
struct ProbeClosing {
  std::string endReason;
  std::uint64_t tileHash = 0, stateHash = 0, steps = 0;
  std::size_t grains = 0;
  std::vector<std::size_t> takenOut;  ///< grains, for each body
  double timeStep = 0.0;              ///< [s]
  double simulatedTime = 0.0;         ///< [s]
  double wallTime = 0.0;              ///< [s]
  double workIn = 0.0;                ///< [J]
  double residual = 0.0;              ///< [J]
  double overlapP99 = 0.0;            ///< over grain diameter, at the end [-]
  std::uint64_t passages = 0;         ///< grains that went through a surface
  double largestSteelOverlap = 0.0;   ///< over grain diameter [-]
  double smallestClearance = 0.0;     ///< of any body over the held bottom [m]
  double largestDiameter = 0.0;       ///< of the grains [m]
  StackBottom bottom = StackBottom::kOwnGrains;
  std::vector<std::string> untouched;  ///< names of bodies that met no grain
  std::vector<std::string>
      tooSticky;                ///< of those that hold more than the ground's strength allows
  double smallestWidths = 0.0;  ///< extent of the bed over that of a body, least of all [-]
};

/// Sentences that say what makes the figures doubtful.
std::vector<std::string> probeDoubts(const ProbeClosing& closing, const DisplayUnits& units);

std::string probeSummaryJson(const ProbeSpec& spec, const ProbeRecord& record,
                             const ProbeClosing& closing);
std::string probeResults(const ProbeSpec& spec, const ProbeRecord& record,
                         const ProbeClosing& closing, const DisplayUnits& units);

}  // namespace holdground
