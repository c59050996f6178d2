#include "scenarios/schema/trial_file.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "postprocess/measure/holding.hpp"
#include "scenarios/schema/anchor_file.hpp"
#include "scenarios/schema/bed_file.hpp"
#include "scenarios/schema/named_file.hpp"
#include "scenarios/schema/toml_reader.hpp"
#include "solver/rode/rode.hpp"

namespace holdground {
namespace {

using enum Dimension;

constexpr const char* kSpeedKeys[] = {"speed",       "distance",       "start_time",
                                      "line_length", "line_stiffness", "line_damping"};
constexpr const char* kLoadKeys[] = {"schedule",      "rate",          "maximum",
                                     "steps",         "hold_time",     "haul_speed",
                                     "runaway_drift", "runaway_speed", "runaway_time"};

void addSpeedPull(TableSchema& table, SpeedPull& pull) {
  table
      .quantity(
          "speed", pull.speed, kSpeed,
          "mode speed: of the boat end of the line; faster, water decides that the model lacks")
      .atLeast("1 mm/s")
      .atMost("5 m/s");
  table.quantity("distance", pull.distance, kLength, "mode speed: travel of the boat end")
      .above("0 m")
      .atMost("1000 m");
  table.quantity("start_time", pull.startTime, kTime, "mode speed: to reach the speed, smoothly")
      .atLeast("0 s")
      .atMost("1 h");
  table
      .quantity("line_length", pull.lineLength, kLength,
                "mode speed: unstretched, from the shackle to the boat end")
      .atLeast("0.1 m")
      .atMost("1000 m");
  table
      .quantity("line_stiffness", pull.lineStiffness, kStiffness,
                "mode speed: tension per length of stretch")
      .atLeast("100 N/m")
      .atMost("10 MN/m");
  table
      .quantity("line_damping", pull.lineDamping, kDamping,
                "mode speed: tension per speed of stretch")
      .atLeast("0 N s/m")
      .atMost("1000 kN s/m");
}

void addLoadPull(TableSchema& table, LoadPull& pull) {
  table.choice<LoadSchedule>(
      "schedule", pull.schedule,
      {{"ramp", LoadSchedule::kRamp}, {"staircase", LoadSchedule::kStaircase}},
      "mode load: rise to maximum, or stop and hold at each of steps");
  table.quantity("rate", pull.rate, kForceRate, "mode load: rise of the load, between steps too")
      .atLeast("0.01 N/s")
      .atMost("1000 kN/s");
  table.quantity("maximum", pull.maximum, kForce, "mode load: where a ramp ends")
      .requiredWhen("with schedule = \"ramp\"")
      .above("0 N")
      .atMost("10 MN");
  table.quantities("steps", pull.steps, kForce, "mode load: the loads of a staircase, rising")
      .requiredWhen("with schedule = \"staircase\"")
      .above("0 N")
      .atMost("10 MN");
  table.quantity("hold_time", pull.holdTime, kTime, "mode load: how long each step is held")
      .above("0 s")
      .atMost("24 h");
  table
      .quantity("haul_speed", pull.haulSpeed, kSpeed,
                "mode load: winch or boat hauls no faster; the load falls off from half this speed")
      .atLeast("1 mm/s")
      .atMost("20 m/s");
  table
      .quantity("runaway_drift", pull.runawayDrift, kLength,
                "mode load: the pull ends when the anchor has drifted this far, along the pull")
      .above("0 m")
      .atMost("1000 m");
  table
      .quantity("runaway_speed", pull.runawaySpeed, kSpeed,
                "mode load: the pull ends when the anchor as a whole runs faster than this for "
                "runaway_time, or at the end of its plan; below haul_speed, which it cannot pass")
      .otherwise("nine tenths of haul_speed, where a fifth of the load is left")
      .atLeast("0.1 mm/s")
      .atMost("20 m/s");
  table
      .quantity("runaway_time", pull.runawayTime, kTime,
                "mode load: how long it must run faster than runaway_speed without a break")
      .atLeast("0 s")
      .atMost("1 h");
}

void addPull(TableSchema& table, TrialDraft& draft) {
  PullSpec& pull = draft.spec.pull;
  table
      .choice<PullMode>("mode", pull.mode, {{"speed", PullMode::kSpeed}, {"load", PullMode::kLoad}},
                        "What is prescribed: the speed of the boat end, or the load")
      .required();
  table
      .quantity("direction", pull.direction, kAngle,
                "Of the pull, to port of the x axis of the bed; the anchor is laid to face it")
      .atLeast("-180 deg")
      .atMost("180 deg");
  table.quantity("elevation", pull.elevation, kAngle, "Of the line above the horizontal")
      .atLeast("0 deg")
      .below("90 deg");
  table
      .scope("scope", draft.scope,
             "Instead of elevation: length of a straight taut rode over its height")
      .otherwise("as elevation says");
  table
      .quantity("settle_time", pull.settleTime, kTime,
                "The anchor lies on the bed this long before the pull starts")
      .atLeast("0 s")
      .atMost("1 h");
  table
      .quantity("max_drift", pull.maximumDrift, kLength,
                "The pull ends when the anchor has drifted this far, along the pull")
      .otherwise("no limit")
      .above("0 m")
      .atMost("1000 m");
  addSpeedPull(table, pull.speed);
  addLoadPull(table, pull.load);
}

void addChain(TableSchema& table, TrialDraft& draft) {
  ChainSpec& chain = draft.spec.chain;
  table.quantity("mass_per_length", chain.massPerLength, kLineMass, "In air; 0: no chain")
      .atLeast("0 kg/m")
      .atMost("500 kg/m");
  table
      .quantity("diameter", draft.chainDiameter, kLength,
                "Instead: wire diameter of short-link steel chain, 0.0225 kg/m times mm squared")
      .otherwise("as mass_per_length says")
      .above("0 m")
      .atMost("150 mm");
  table
      .quantity("suspended_length", chain.suspendedLength, kLength,
                "Of chain whose weight the shackle carries")
      .atLeast("0 m")
      .atMost("1000 m");
}

void addOutput(TableSchema& table, OutputSpec& output) {
  const auto interval = [&](const char* key, double& field, const char* what) -> Key& {
    return table.quantity(key, field, kTime, what).atLeast("0.1 ms").atMost("1 h");
  };
  interval("series_interval", output.seriesInterval,
           "Simulated time between rows of the series; at most a two-hundredth of the time that "
           "the boat takes over what holding is averaged over (a metre, or the whole pull), with "
           "mode load at most a twentieth of hold.duration")
      .otherwise("5 ms, or less where less is allowed");
  interval("frame_interval", output.frameInterval, "Simulated time between frames of the grains");
  interval("checkpoint_interval", output.checkpointInterval, "Simulated time between checkpoints");
  table.choice<FrameContent>("frames", output.frames,
                             {{"region", FrameContent::kRegion}, {"all", FrameContent::kAll}},
                             "Which grains a frame keeps: those around the anchor's path, or all");
  table
      .quantity("region", output.regionMargin, kNumber,
                "frames region: margin about the path, in anchor lengths, at all depths")
      .atLeast("0.5")
      .atMost("100");
  table.quantity("film_speed", output.filmSpeed, kNumber, "Speed of the film over real time")
      .atLeast("0.001")
      .atMost("1000");
}

void checkDirection(TrialDraft& draft, const Reading& reading) {
  if (!draft.scope) return;
  if (reading.has("pull.elevation")) {
    throw reading.fault("pull.scope", "found beside elevation, allowed is one or the other");
  }
  draft.spec.pull.elevation = elevationFromScope(*draft.scope);
}

void checkPull(const PullSpec& pull, const Reading& reading) {
  const auto refuse = [&](const auto& keys, const char* mode) {
    for (const std::string key : keys) {
      if (reading.has("pull." + key)) {
        throw reading.fault("pull." + key, std::string("found with mode = \"") + mode +
                                               "\", where it has no effect");
      }
    }
  };
  if (pull.mode == PullMode::kSpeed) {
    refuse(kLoadKeys, "speed");
    return;
  }
  refuse(kSpeedKeys, "load");
  const bool ramp = pull.load.schedule == LoadSchedule::kRamp;
  reading.demand(ramp ? "pull.maximum" : "pull.steps",
                 ramp ? "the force a ramp ends at" : "a list of forces for a staircase");
  for (const char* key : {"pull.steps", "pull.hold_time"}) {
    if (ramp && reading.has(key)) {
      throw reading.fault(key, "found with schedule = \"ramp\", where it has no effect");
    }
  }
  if (!ramp && reading.has("pull.maximum")) {
    throw reading.fault("pull.maximum",
                        "found with schedule = \"staircase\", where it has no effect");
  }
  for (std::size_t k = 1; k < pull.load.steps.size(); ++k) {
    if (pull.load.steps[k] <= pull.load.steps[k - 1]) {
      throw reading.fault("pull.steps", "found step " + std::to_string(k + 1) +
                                            " not above the one before, allowed are rising loads");
    }
  }
}

void checkOutput(const OutputSpec& output, const Reading& reading) {
  if (output.frames == FrameContent::kAll && reading.has("output.region"))
    throw reading.fault("output.region", "found with frames = \"all\", where it has no effect");
}

/// Longest time between rows of the series that holding can be read from. [s]
double longestSeriesInterval(const TrialSpec& spec) {
  // Whether a load was kept is seen at the rows only.
  constexpr double kRowsOfAHold = 20.0;
  // The load swings with every grain that gives way; so many rows over the path averaged find its
  // mean to a few percent, wherever they fall.
  constexpr double kRowsOfAPath = 200.0;
  constexpr double kShortestInterval = 1e-4;  // of the key [s]
  const PullSpec& pull = spec.pull;
  if (pull.mode == PullMode::kLoad) return spec.hold.duration / kRowsOfAHold;
  const double path =
      std::min({kAveragedDrift, pull.speed.distance, pull.maximumDrift.value_or(kAveragedDrift)});
  return std::max(kShortestInterval, path / pull.speed.speed / kRowsOfAPath);
}

void checkSeries(TrialSpec& spec, const Reading& reading) {
  const double longest = longestSeriesInterval(spec);
  double& interval = spec.output.seriesInterval;
  if (!reading.has("output.series_interval")) interval = std::min(interval, longest);
  if (interval <= longest * (1.0 + 1e-9)) return;
  throw reading.fault(
      "output.series_interval",
      fmt::format("found {:.4g} s, allowed is at most {:.4g} s, {}", interval, longest,
                  spec.pull.mode == PullMode::kLoad
                      ? "a twentieth of hold.duration"
                      : "a two-hundredth of the time of the path that holding is averaged over"));
}

/// The load falls off as the winch hauls faster, so that no anchor runs faster than it.
void checkRunaway(LoadPull& load, const Reading& reading) {
  constexpr double kShareOfHaul = 0.9;
  if (!reading.has("pull.runaway_speed")) load.runawaySpeed = kShareOfHaul * load.haulSpeed;
  if (load.runawaySpeed < load.haulSpeed) return;
  throw reading.fault("pull.runaway_speed",
                      fmt::format("found {:.4g} m/s, allowed is below haul_speed, {:.4g} m/s: the "
                                  "winch hauls no faster, so that no anchor would run away",
                                  load.runawaySpeed, load.haulSpeed));
}

void checkChain(TrialDraft& draft, const Reading& reading) {
  if (!draft.chainDiameter) return;
  if (reading.has("chain.mass_per_length")) {
    throw reading.fault("chain.diameter",
                        "found beside mass_per_length, allowed is one or the other");
  }
  draft.spec.chain.massPerLength = chainMassPerLength(*draft.chainDiameter);
}

}  // namespace

void addSolver(TableSchema& root, KernelKind& kernel, double& rayleighFraction) {
  TableSchema& solver = root.table("solver", "How it is computed");
  solver.choice<KernelKind>("kernel", kernel,
                            {{"fast", KernelKind::kFast}, {"reference", KernelKind::kReference}},
                            "The fast kernel, or the plain double-precision one to check it by");
  solver
      .quantity("time_step", rayleighFraction, kNumber,
                "Step over the Rayleigh time of the smallest grain")
      .above("0")
      .atMost("0.3");
}

TableSchema trialSchema(TrialDraft& draft) {
  TrialSpec& spec = draft.spec;
  TableSchema root("trial file",
                   "One pull: which anchor, which bed, how it is pulled, what is kept.");
  root.text("name", spec.name, "What the trial is called").required();
  root.text("note", spec.note, "Free text");
  root.text("bed", draft.bed, "The bed file, path from this file").required();
  root.text("anchor", draft.anchor, "The anchor file, path from this file").required();
  root.wholeNumber("seed", spec.seed, "Another seed is another packing of the same bed")
      .otherwise("the seed of the bed file");
  TableSchema& tiles = root.table("tiles", "How many copies of the bed's tile are laid");
  tiles
      .count("along", spec.copiesX,
             "Copies along x, that of a pull in direction 0; auto: as the drag needs")
      .atLeast("1")
      .atMost("1000");
  tiles.count("across", spec.copiesY, "Copies along y; auto: as the drag needs")
      .atLeast("1")
      .atMost("1000");
  for (const auto& [key, place] :
       {std::pair{"place_x", &spec.placeX}, std::pair{"place_y", &spec.placeY}})
    tiles
        .quantity(key, *place, kLength,
                  "Where the anchor is set, from the middle of the bed: another place of the same "
                  "ground")
        .atLeast("-1000 m")
        .atMost("1000 m");
  addPull(root.table("pull", "The pull"), draft);
  TableSchema& hold = root.table("hold", "When a load counts as held");
  hold.quantity("duration", spec.hold.duration, kTime, "A load must be kept this long")
      .above("0 s")
      .atMost("24 h");
  hold.quantity("drift", spec.hold.driftInLengths, kNumber,
                "With less drift than this many anchor lengths")
      .above("0")
      .atMost("100");
  addChain(root.table("chain", "Chain that hangs at the shackle; only its weight is felt"), draft);
  addOutput(root.table("output", "What the record keeps, and how often"), spec.output);
  addSolver(root, spec.kernel, spec.rayleighFraction);
  return root;
}

TrialSpec readTrialFile(const std::filesystem::path& path) {
  TrialDraft draft;
  const Reading reading = fillFromToml(readSource(path), trialSchema(draft));
  TrialSpec& spec = draft.spec;
  checkDirection(draft, reading);
  checkPull(spec.pull, reading);
  checkChain(draft, reading);
  checkOutput(spec.output, reading);
  checkSeries(spec, reading);
  checkRunaway(spec.pull.load, reading);
  const auto folder = path.parent_path();
  const auto bedPath = namedFile(reading, folder, "bed", draft.bed, "a TOML file");
  const auto anchorPath = namedFile(reading, folder, "anchor", draft.anchor, "a TOML file");
  spec.bed = readBedFile(bedPath);
  spec.anchor = readAnchorFile(anchorPath);
  if (reading.has("seed")) {
    spec.bed.seed = spec.seed;
  } else {
    spec.seed = spec.bed.seed;
  }
  spec.reading = reading;
  return spec;
}

double chainMassPerLength(double diameter) {
  constexpr double kMassPerSquare = 0.0225e6;  // [kg/m^3]
  return kMassPerSquare * diameter * diameter;
}

}  // namespace holdground
