#pragma once
// The keys of a probe file: bodies in a bed, and phases in which they are moved.
// Checked by tests/unit/scenarios/probe_file_test.cpp.

#include <deque>
#include <filesystem>
#include <string>

#include "scenarios/schema/probe_spec.hpp"
#include "scenarios/schema/schema.hpp"

namespace holdground {

struct ProbeBodyDraft {
  ProbeBodySpec body;
  std::string mesh;                           ///< path as written
  double roll = 0.0, pitch = 0.0, yaw = 0.0;  ///< [rad]
};

struct ProbePhaseDraft {
  ProbePhaseSpec phase;
  std::deque<ProbeMoveSpec> moves;
  ProbeMoveSpec sample;
};

/// A spec and what else a file may say on the way to it.
struct ProbeDraft {
  ProbeSpec spec;
  std::string bed;                     ///< path as written
  std::deque<ProbeBodyDraft> bodies;   // deque: schemas point into them
  std::deque<ProbePhaseDraft> phases;  //
  ProbeBodyDraft sampleBody;
  ProbePhaseDraft samplePhase;
};

/// The keys, bound to `draft`.
TableSchema probeSchema(ProbeDraft& draft);

/// Reads the probe and the bed file it names. Throws InputError: one line with file, line, column
/// and key.
ProbeSpec readProbeFile(const std::filesystem::path& path);

/// "plate", "bar", ...
const char* nameOf(ProbeShape shape);

}  // namespace holdground
