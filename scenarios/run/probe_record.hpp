#pragma once
// What is kept of a probe: reactions averaged over intervals, and figures of each phase from them.
//
// A row holds the mean reaction of all steps of one interval and the place at its end; the last
// interval of a phase may be shorter. Of each component a phase has the mean over all its steps,
// and of the rows, along the sign of that mean, the 90th percentile and the peak.
// Checked by: tests/unit/scenarios/probe_record_test.cpp

#include <array>
#include <string>
#include <vector>

#include "scenarios/run/probe_schedule.hpp"
#include "solver/probe/probe_simulation.hpp"

namespace holdground {

/// Six components: force x, y, z [N], torque about the pivot x, y, z [N m].
using Reaction = std::array<double, 6>;

struct ProbeBodyRow {
  bool isPresent = false;
  Vec3 position = Vec3::Zero();  ///< of the pivot [m]
  Reaction reaction{};           ///< of the grains on the body, mean over the interval
};

struct ProbeRow {
  double time = 0.0;      ///< end of the interval [s]
  double duration = 0.0;  ///< [s]
  std::size_t phase = 0;
  std::vector<ProbeBodyRow> bodies;
};

/// Of one body in one phase.
struct ProbePhaseFigures {
  bool isPresent = false;
  Reaction mean{}, p90{}, peak{};
  Vec3 way = Vec3::Zero();  ///< of the pivot, from the end of the first row to that of the last [m]
};

class ProbeRecord {
 public:
  ProbeRecord(std::size_t bodies, double timeStep, double interval);

  /// After each step. @param phase  that the step belonged to
  void add(const ProbeSimulation& simulation, std::size_t phase);
  /// Ends the interval under way; before a phase begins and when all is over.
  void endInterval(const ProbeSimulation& simulation);

  const std::vector<ProbeRow>& rows() const { return rows_; }
  ProbePhaseFigures figures(std::size_t phase, std::size_t body) const;

 private:
  double timeStep_;
  std::uint64_t stepsPerRow_;
  std::uint64_t steps_ = 0;  ///< of the interval under way
  std::size_t phase_ = 0;
  std::vector<Reaction> sums_;
  std::vector<ProbeRow> rows_;
};

/// One line a row, head line with `BODY.column [unit]`; cells of a body that is gone are empty.
std::string probeCsv(const ProbeSpec& spec, const std::vector<ProbeRow>& rows);

}  // namespace holdground
