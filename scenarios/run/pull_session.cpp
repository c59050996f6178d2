#include "scenarios/run/pull_session.hpp"

#include <fmt/format.h>
#include <omp.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <iostream>

#include "postprocess/read/record_reader.hpp"
#include "scenarios/cli/interrupt.hpp"
#include "scenarios/cli/progress.hpp"
#include "scenarios/cli/threads.hpp"
#include "scenarios/run/build_anchor.hpp"
#include "scenarios/run/forecast.hpp"
#include "scenarios/run/frame_region.hpp"
#include "scenarios/run/output_folder.hpp"
#include "scenarios/run/room.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/core/byte_stream.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"

namespace holdground {

namespace {

constexpr double kNotRunning = -1.0;  // no pull begins before time 0

const char* textOf(EndReason reason) {
  switch (reason) {
    case EndReason::kDone:
      return "the pull is over";
    case EndReason::kRunaway:
      return "the anchor ran away";
    case EndReason::kMaximumDrift:
      return "the greatest drift allowed was reached";
    case EndReason::kInterrupted:
      return "stopped by a signal";
    case EndReason::kLost:
      return kEndedByLoss;
  }
  return "";
}

/// Of what decides a run, the scenario files and the anchor's meshes: a checkpoint must not go on
/// with others.
std::uint64_t scenarioHash(const TrialSpec& trial, const TileRecipe& recipe, const Anchor& anchor) {
  std::uint64_t h = recipe.hash();
  for (const AnchorPart& part : anchor.parts) {
    for (const Vec3& vertex : part.mesh.vertices)
      for (const double place : vertex) h = hashBits(h, place);
    for (const auto& triangle : part.mesh.triangles)
      for (const std::uint32_t corner : triangle) h = hashBits(h, corner);
  }
  for (const std::string* text :
       {&trial.reading.source().text, &trial.bed.source.text, &trial.anchor.reading.source().text})
    h = hashText(*text, h);
  return h;
}

}  // namespace

PullSession::PullSession(const TrialSpec& trial, const PullOptions& options)
    : trial_(trial), options_(options), recipe_(tileRecipe(trial.bed, trial.seed, 0.2)) {
  const std::string crowded = useThreads(options_.threads);
  if (!crowded.empty()) std::cerr << "holdground: " << crowded << '\n';
  prepareFolder();
  Anchor anchor = buildAnchor(trial.anchor, trial.bed.ground(), trial.bed.lowerGrounds());
  for (const std::string& line : overlapsOf(anchor)) std::cerr << "holdground: " << line << '\n';
  scenario_ = scenarioHash(trial, recipe_, anchor);
  std::optional<Checkpoint> checkpoint;
  if (options_.start == StartMode::kResume) checkpoint = readCheckpoint();
  copies_ = copiesFor(trial, recipe_, anchor);
  const double total = trial.pull.settleTime + longestPull(trial);
  const Forecast reckoned = reckonPull(
      trial, recipe_, static_cast<double>(copies_.x) * copies_.y,
      framedShare(trial, anchor.length, copies_.x * recipe_.length, copies_.y * recipe_.width),
      total);
  checkRoom(reckoned, roomFor(options_.output));
  checkLine(trial, anchor, total / static_cast<double>(std::max<std::uint64_t>(1, reckoned.steps)));
  tile_ = obtainTile(recipe_, guessText(reckoned, omp_get_max_threads()), trial.bed.source.path);
  GrainSet bed = layTiles(tile_, copies_.x, copies_.y);
  if (trial.placeX != 0.0 || trial.placeY != 0.0) setOrigin(bed, trial.placeX, trial.placeY);
  framed_ = framedGrains(trial, anchor.length, bed);
  const SimulationSettings settings = simulationSettings(trial, recipe_, bed);
  surroundings_ = surroundingsOf(tile_, recipe_);
  std::cerr << forecastText(forecastPull(trial, bed, framed_.empty() ? bed.size() : framed_.size(),
                                         settings.bed, total))
            << '\n';

  simulation_.emplace(bed, std::move(anchor), settings);
  if (checkpoint) {
    goOnFrom(*checkpoint);
  } else {
    claimFolder();
    const RunDescription description =
        describeRun(trial, recipe_, tile_, bed, *simulation_, copies_.x, copies_.y,
                    omp_get_max_threads(), framed_);
    record_.emplace(recordPath(), description);
  }
  if (!lock_->isHeld())
    std::cerr << fmt::format(
        "holdground: {}: this file system cannot lock a folder; start no second pull into it\n",
        options_.output.string());
  if (!record_->warning().empty()) std::cerr << "holdground: " << record_->warning() << '\n';
}

void PullSession::prepareFolder() {
  if (std::filesystem::is_directory(options_.output)) lock_.emplace(options_.output);
  const bool hasRecord = std::filesystem::exists(recordPath());
  if (options_.start == StartMode::kResume) {
    const bool hasCheckpoint = std::filesystem::exists(checkpointPath());
    if (hasRecord && !hasCheckpoint && RecordReader(recordPath()).closing().has_value())
      throw InputError(
          fmt::format("{}: nothing to resume: this run is complete", options_.output.string()));
    if (!hasRecord || !hasCheckpoint)
      throw InputError(fmt::format("{}: nothing to resume: found no record.h5 with checkpoint.bin",
                                   options_.output.string()));
    return;
  }
  refuseRecord();
  checkPlace(options_.output);
}

void PullSession::refuseRecord() const {
  if (!std::filesystem::exists(recordPath())) return;
  throw InputError(fmt::format(
      "{}: holds a record already; allowed: another folder, --resume, or remove it first",
      options_.output.string()));
}

void PullSession::claimFolder() {
  halfWritten_.emplace(recordPath());
  makeFolder(options_.output);
  if (lock_) return;
  try {
    lock_.emplace(options_.output);
    refuseRecord();
  } catch (const InputError&) {
    halfWritten_->keep();  // another pull made folder and record while the bed settled
    throw;
  }
}

Checkpoint PullSession::readCheckpoint() const {
  Checkpoint checkpoint = Checkpoint::read(checkpointPath());
  if (checkpoint.value<std::uint64_t>("scenario") != scenario_)
    throw InputError(
        fmt::format("{}: trial, bed, anchor, meshes or seed are not those the run was started with",
                    checkpointPath().string()));
  return checkpoint;
}

void PullSession::goOnFrom(const Checkpoint& checkpoint) {
  simulation_->thaw(checkpoint.bytes("simulation"));
  wallBefore_ = checkpoint.value<double>("wall time");
  const auto since = checkpoint.value<double>("running since");
  if (since != kNotRunning) runningSince_ = since;
  overlap_ = checkpoint.value<OverlapStatistics>("overlap");
  throughSteel_ = checkpoint.value<PairsThroughSteel>("through steel");
  const auto position = checkpoint.value<RecordPosition>("record");
  record_ = RecordWriter::resume(recordPath(), position);
  firstStep_ = simulation_->step();
}

std::uint64_t PullSession::stepsPer(double interval) const {
  const double steps = std::round(interval / simulation_->settings().bed.timeStep);
  return static_cast<std::uint64_t>(std::max(1.0, steps));
}

EndReason PullSession::run() {
  using Clock = std::chrono::steady_clock;
  const auto began = Clock::now();
  const InterruptGuard guard;
  Progress line(std::cerr, progressStyleOfStandardError(), "pull", simulation_->time(),
                longestPull(trial_));
  std::optional<EndReason> end;
  while (!(end = ended())) {
    sampleWhenDue();
    if (!advance()) {
      end = EndReason::kLost;
      break;
    }
    watchRun();
    wallTime_ = std::chrono::duration<double>(Clock::now() - began).count();
    checkpointWhenDue();
    line.update(simulation_->time(),
                (simulation_->step() - firstStep_) * simulation_->kernel().size());
  }
  line.finish();
  if (*end == EndReason::kInterrupted) {
    writeCheckpoint();
    return *end;
  }
  // What flew apart has no state worth a sample.
  if (*end != EndReason::kLost) {
    sampleSeries();
    sampleFrameNow();
  }
  close(*end);
  return *end;
}

bool PullSession::advance() {
  try {
    simulation_->advanceOneStep();
  } catch (const SimulationError& error) {
    lost_ = error.what();
  }
  return lost_.empty();
}

void PullSession::watchRun() {
  const auto& rode = simulation_->rode();
  if (!rode.has_value() || !rode->isRunning(simulation_->motion().velocity))
    runningSince_.reset();
  else if (!runningSince_)
    runningSince_ = simulation_->time();
}

std::optional<EndReason> PullSession::ended() const {
  if (InterruptGuard::requested()) return EndReason::kInterrupted;
  const auto& rode = simulation_->rode();
  if (!rode.has_value()) return std::nullopt;
  const Anchor& anchor = simulation_->anchor();
  const Vec3 shackle = worldPoint(anchor, simulation_->motion(), anchor.shackle);
  if (rode->isRunaway(simulation_->time(), shackle, runningSince_)) return EndReason::kRunaway;
  if (trial_.pull.maximumDrift.has_value() && rode->drift(shackle) > *trial_.pull.maximumDrift)
    return EndReason::kMaximumDrift;
  const bool over = trial_.pull.mode == PullMode::kSpeed
                        ? rode->boatTravel(simulation_->time()) >= trial_.pull.speed.distance
                        : rode->isFinished(simulation_->time());
  return over ? std::optional(EndReason::kDone) : std::nullopt;
}

void PullSession::sampleWhenDue() {
  const bool frameDue = simulation_->step() % stepsPer(trial_.output.frameInterval) == 0;
  if (frameDue) {
    overlap_ = simulation_->kernel().overlapStatistics();
    throughSteel_ =
        simulation_->steel().pairsThroughSteel(simulation_->kernel(), simulation_->motion());
  }
  // Rows lie evenly about the step that the pull begins with; the first of all shows the start.
  const std::uint64_t step = simulation_->step(), every = stepsPer(trial_.output.seriesInterval);
  if (step == 0 || step % every == simulation_->firstPullingStep() % every) sampleSeries();
  if (frameDue) sampleFrameNow();
}

void PullSession::sampleSeries() {
  SeriesRow row = sampleRow(*simulation_, surroundings_);
  setOverlap(row, overlap_);
  setThroughSteel(row, throughSteel_);
  record_->appendSeries(row);
}

void PullSession::sampleFrameNow() { record_->appendFrame(sampleFrame(*simulation_, framed_)); }

void PullSession::checkpointWhenDue() {
  if (simulation_->step() % stepsPer(trial_.output.checkpointInterval) == 0) writeCheckpoint();
}

void PullSession::writeCheckpoint() {
  record_->flush();
  Checkpoint checkpoint;
  checkpoint.putValue("scenario", scenario_);
  checkpoint.putValue("record", record_->position());
  checkpoint.putValue("wall time", wallBefore_ + wallTime_);
  checkpoint.putValue("running since", runningSince_.value_or(kNotRunning));
  checkpoint.putValue("overlap", overlap_);
  checkpoint.putValue("through steel", throughSteel_);
  checkpoint.put("simulation", simulation_->freeze());
  checkpoint.write(checkpointPath());
  if (halfWritten_) halfWritten_->keep();
}

void PullSession::close(EndReason reason) {
  RunClosing closing;
  closing.endReason = textOf(reason);
  closing.stateHash = simulation_->stateHash();
  closing.steps = simulation_->step();
  closing.simulatedTime = simulation_->time();
  closing.wallTime = wallBefore_ + wallTime_;
  for (std::size_t k = 0; k < kStageNames.size(); ++k)
    closing.stages.push_back({kStageNames[k], simulation_->timers().seconds(static_cast<Stage>(k)),
                              simulation_->step() - firstStep_});
  const EnergyLedger now = simulation_->energy();
  closing.log = fmt::format(
      "{}{}{}; {} steps in {:.1f} s; energy residual {:.3e} J of {:.3e} J work in",
      closing.endReason, lost_.empty() ? "" : ": ", lost_, closing.steps, closing.wallTime,
      energyResidual(simulation_->energyAtStart(), now), workIn(simulation_->energyAtStart(), now));
  record_->close(closing);
  if (halfWritten_) halfWritten_->keep();
}

}  // namespace holdground
