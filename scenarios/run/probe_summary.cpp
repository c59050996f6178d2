#include "scenarios/run/probe_summary.hpp"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "scenarios/card/known_bias.hpp"
#include "solver/core/version.hpp"

namespace holdground {

namespace {

constexpr int kSummaryVersion = 1;
constexpr double kUnaccounted = 0.01;    // residual over work in: the bar of the fast kernel
constexpr double kLeastWidths = 4.0;     // of the bed, over a body's
constexpr double kLeastClearance = 3.0;  // over the bottom, in largest diameters
constexpr double kDeepOverlap = 0.05;    // of grains in each other, over their diameter

const char* const kComponents[6] = {"force_x",  "force_y",  "force_z",
                                    "torque_x", "torque_y", "torque_z"};

const std::vector<std::string> kCautions = {
    "A probe reads the bed of this recipe at this speed and grain size, not a real seabed.",
    "No water pressure between grains: suction and drainage are left out."};

nlohmann::ordered_json measure(nlohmann::ordered_json value, const char* unit,
                               const char* meaning) {
  return {{"value", std::move(value)}, {"unit", unit}, {"meaning", meaning}};
}

double residualShare(const ProbeClosing& closing) {
  return closing.workIn != 0.0 ? closing.residual / std::abs(closing.workIn) : 0.0;
}

nlohmann::ordered_json phaseJson(const ProbeSpec& spec, const ProbeRecord& record,
                                 std::size_t phase) {
  nlohmann::ordered_json entry;
  entry["name"] = spec.phases[phase].name;
  entry["duration"] = spec.phases[phase].duration;
  auto& bodies = entry["bodies"] = nlohmann::ordered_json::object();
  for (std::size_t body = 0; body < spec.bodies.size(); ++body) {
    const ProbePhaseFigures figures = record.figures(phase, body);
    if (!figures.isPresent) continue;
    auto& cells = bodies[spec.bodies[body].name];
    for (std::size_t k = 0; k < 6; ++k)
      cells[kComponents[k]] = {
          {"mean", figures.mean[k]}, {"p90", figures.p90[k]}, {"peak", figures.peak[k]}};
    cells["way"] = {figures.way.x(), figures.way.y(), figures.way.z()};
  }
  return entry;
}

}  // namespace

std::vector<std::string> probeDoubts(const ProbeClosing& closing, const DisplayUnits& units) {
  std::vector<std::string> list;
  if (std::abs(residualShare(closing)) > kUnaccounted)
    list.push_back("The balance of energy does not close: do not use this run.");
  for (const std::string& body : closing.untouched)
    list.push_back(body + " met no grain on its whole way.");
  for (const std::string& body : closing.tooSticky)
    list.push_back(
        fmt::format("{} holds the ground by more than {:g} of the strength the bed file "
                    "states: the ground would give way beside it.",
                    body, kMostAdhesion));
  if (closing.passages > 0)
    list.push_back(fmt::format(
        "{} grains passed through the surface of a body: its resistance is too low there.",
        closing.passages));
  if (closing.overlapP99 > kDeepOverlap)
    list.push_back(
        fmt::format("Grains are pressed {:.0f} % of their diameter into each other: too soft for "
                    "these forces.",
                    100.0 * closing.overlapP99));
  if (closing.smallestWidths < kLeastWidths)
    list.push_back(
        fmt::format("The bed is {:.1f} times as wide as a body, less than {:g}: it may feel its "
                    "own image (meant for endless lids and containers).",
                    closing.smallestWidths, kLeastWidths));
  if (closing.bottom != StackBottom::kHardPan &&
      closing.smallestClearance < kLeastClearance * closing.largestDiameter)
    list.push_back(
        fmt::format("A body {} {} {} the held bottom: its reaction is too high there.",
                    closing.smallestClearance < 0.0 ? "went" : "came within",
                    units.format(std::abs(closing.smallestClearance), Dimension::kLength, 2),
                    closing.smallestClearance < 0.0 ? "into" : "of"));
  return list;
}

std::string probeSummaryJson(const ProbeSpec& spec, const ProbeRecord& record,
                             const ProbeClosing& closing) {
  nlohmann::ordered_json json;
  json["format"] = "holdground-probe";
  json["version"] = kSummaryVersion;
  json["program"] = versionString();
  json["build"] = buildFlags();
  json["name"] = spec.name;
  json["note"] = spec.note;
  json["end"] = closing.endReason;
  json["bed"] = {{"name", spec.bed.name},
                 {"tile", fmt::format("{:016x}", closing.tileHash)},
                 {"seed", spec.seed},
                 {"tiles_along", spec.copiesX.value_or(1)},
                 {"tiles_across", spec.copiesY.value_or(1)},
                 {"grains", closing.grains}};
  auto& takenOut = json["bed"]["taken_out"] = nlohmann::ordered_json::object();
  for (std::size_t body = 0; body < spec.bodies.size(); ++body)
    takenOut[spec.bodies[body].name] = closing.takenOut[body];
  json["units"] = {{"force", "N"}, {"torque", "N m"}, {"way", "m"}, {"duration", "s"}};
  json["meanings"] = {
      {"force", "of the grains on the body, world axes"},
      {"torque", "of the grains on the body, about its pivot, world axes"},
      {"mean", "over all steps of the phase, its ramp included"},
      {"p90", "90th percentile of the rows of probe.csv, along the sign of the mean"},
      {"peak", "greatest row of probe.csv, along the sign of the mean"},
      {"way", "of the pivot, from the first row of the phase to its last"},
      {"taken_out", "grains that the body overlapped at the start"}};
  json["phases"] = nlohmann::ordered_json::array();
  for (std::size_t phase = 0; phase < spec.phases.size(); ++phase)
    json["phases"].push_back(phaseJson(spec, record, phase));
  auto& m = json["measures"];
  m["time_step"] = measure(closing.timeStep, "s", "of the solver");
  m["steps"] = measure(closing.steps, "", "made");
  m["simulated_time"] = measure(closing.simulatedTime, "s", "since the start");
  m["work_in"] = measure(closing.workIn, "J", "put in by drives and by what sank");
  m["energy_residual_share"] =
      measure(residualShare(closing), "", "of the work in, what the balance cannot account for");
  m["overlap_p99"] =
      measure(closing.overlapP99, "", "99th percentile of overlap over grain diameter, at the end");
  m["steel_overlap_max"] = measure(closing.largestSteelOverlap, "",
                                   "deepest that a grain was pressed into a body, over diameter");
  m["steel_passages"] =
      measure(closing.passages, "", "grains that passed through the surface of a body");
  m["clearance"] = measure(closing.smallestClearance, "m", "least of a body over the held bottom");
  m["state_hash"] =
      measure(fmt::format("{:016x}", closing.stateHash), "", "fingerprint of the last state");
  m["wall_time"] = measure(closing.wallTime, "s", "of the run");
  json["doubts"] = probeDoubts(closing, DisplayUnits());
  json["cautions"] = nlohmann::ordered_json(knownBias(spec.bed));
  for (const std::string& caution : kCautions) json["cautions"].push_back(caution);
  return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

std::string probeResults(const ProbeSpec& spec, const ProbeRecord& record,
                         const ProbeClosing& closing, const DisplayUnits& units) {
  std::string text = spec.name + "\n";
  const auto write = [&](const char* what, const ProbePhaseFigures& f, std::size_t first,
                         Dimension dimension) {
    for (std::size_t k = first; k < first + 3; ++k)
      text +=
          fmt::format("    {} {}  mean {:<14}p90 {:<14}peak {}\n", what, "xyz"[k - first],
                      units.format(f.mean[k], dimension, 3), units.format(f.p90[k], dimension, 3),
                      units.format(f.peak[k], dimension, 3));
  };
  for (std::size_t phase = 0; phase < spec.phases.size(); ++phase)
    for (std::size_t body = 0; body < spec.bodies.size(); ++body) {
      const ProbePhaseFigures figures = record.figures(phase, body);
      if (!figures.isPresent) continue;
      text += fmt::format("  {}, {}\n", spec.phases[phase].name, spec.bodies[body].name);
      write("force ", figures, 0, Dimension::kForce);
      write("torque", figures, 3, Dimension::kTorque);
    }
  text += fmt::format("  energy residual {:.2g} %, state {:016x}\n", 100.0 * residualShare(closing),
                      closing.stateHash);
  if (closing.endReason != "done") text += "! " + closing.endReason + "\n";
  for (const std::string& doubt : probeDoubts(closing, units)) text += "! " + doubt + "\n";
  for (const std::string& line : knownBias(spec.bed)) text += "! " + line + "\n";
  for (const std::string& caution : kCautions) text += "! " + caution + "\n";
  return text;
}

}  // namespace holdground
