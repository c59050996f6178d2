#include <fmt/format.h>
#include <omp.h>

#include <algorithm>
#include <chrono>
#include <iostream>
#include <limits>
#include <optional>

#include "postprocess/measure/whole_file.hpp"
#include "scenarios/cli/interrupt.hpp"
#include "scenarios/cli/last_resort.hpp"
#include "scenarios/cli/progress.hpp"
#include "scenarios/cli/threads.hpp"
#include "scenarios/run/folder_lock.hpp"
#include "scenarios/run/forecast.hpp"
#include "scenarios/run/observe.hpp"
#include "scenarios/run/output_folder.hpp"
#include "scenarios/run/probe_shapes.hpp"
#include "scenarios/run/probe_summary.hpp"
#include "scenarios/run/room.hpp"
#include "scenarios/run/run.hpp"
#include "scenarios/run/tile_source.hpp"
#include "solver/core/errors.hpp"
#include "solver/geometry/bounds.hpp"
#include "solver/probe/make_room.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {

namespace {

/// A probe costs what a pull does that keeps no frames.
TrialSpec costOf(const ProbeSpec& probe) {
  TrialSpec cost;
  cost.kernel = probe.kernel;
  cost.rayleighFraction = probe.rayleighFraction;
  cost.output.seriesInterval = probe.seriesInterval;
  cost.output.frameInterval = std::numeric_limits<double>::max();
  return cost;
}

void refuseResults(const std::filesystem::path& folder) {
  for (const char* name : {"probe.csv", "summary.json", "record.h5"})
    if (std::filesystem::exists(folder / name))
      throw InputError(
          fmt::format("{}: holds {} already; allowed: another folder, or remove it first",
                      folder.string(), name));
}

/// One probe, from its bed to its results.
class ProbeRun {
 public:
  ProbeRun(const ProbeSpec& spec, const ProbeOptions& options)
      : spec_(spec),
        options_(options),
        recipe_(tileRecipe(spec.bed, spec.seed, 0.2)),
        schedule_(spec) {
    const std::string crowded = useThreads(options.threads);
    if (!crowded.empty()) std::cerr << "holdground: " << crowded << '\n';
    checkPlace(options.output);
    refuseResults(options.output);
    readMeshes();
    const int copiesX = spec.copiesX.value_or(1), copiesY = spec.copiesY.value_or(1);
    const Forecast reckoned = reckonPull(
        costOf(spec), recipe_, static_cast<double>(copiesX) * copiesY, 0.0, spec.duration());
    checkRoom(reckoned, roomFor(options.output));
    const Tile tile =
        obtainTile(recipe_, guessText(reckoned, omp_get_max_threads()), spec.bed.source.path);
    surroundings_ = surroundingsOf(tile, recipe_);
    closing_.tileHash = tile.recipeHash;
    closing_.bottom = recipe_.bottom;
    build(layTiles(tile, copiesX, copiesY));
  }

  /// Runs to the end; false when a signal stopped it.
  bool run() {
    using Clock = std::chrono::steady_clock;
    const auto began = Clock::now();
    const InterruptGuard guard;
    ProbeRecord& record = *record_;
    Progress line(std::cerr, progressStyleOfStandardError(), "probe", 0.0, spec_.duration());
    std::size_t phase = 0;
    closing_.endReason = "done";
    while (!schedule_.isOver(simulation_->time())) {
      if (InterruptGuard::requested()) return false;
      const std::size_t due = schedule_.phaseAt(simulation_->time());
      if (due != phase) record.endInterval(*simulation_);
      phase = due;
      schedule_.apply(*simulation_);
      try {
        simulation_->advanceOneStep();
      } catch (const SimulationError& error) {
        closing_.endReason =
            std::string("grains or a body flew apart: too violent for the model: ") + error.what();
        break;
      }
      record.add(*simulation_, phase);
      lookAtBodies();
      line.update(simulation_->time(), simulation_->step() * simulation_->kernel().size());
    }
    line.finish();
    record.endInterval(*simulation_);
    closing_.wallTime = std::chrono::duration<double>(Clock::now() - began).count();
    close();
    return true;
  }

  void report() const {
    makeFolder(options_.output);
    HalfWritten unfinished(options_.output / "probe.csv");
    const FolderLock lock(options_.output);
    refuseResults(options_.output);
    const std::string summary = probeSummaryJson(spec_, *record_, closing_);
    const std::string results = probeResults(spec_, *record_, closing_, options_.units);
    writeWhole(options_.output / "probe.csv", probeCsv(spec_, record_->rows()));
    unfinished.keep();
    writeWhole(options_.output / "results.txt", results);
    writeWhole(options_.output / "summary.json", summary);
    std::cout << (options_.report == ReportStyle::kJson ? summary : results);
  }

  bool isLost() const { return closing_.endReason != "done"; }
  double time() const { return simulation_->time(); }

 private:
  void readMeshes() {
    for (std::size_t k = 0; k < spec_.bodies.size(); ++k) {
      try {
        meshes_.push_back(probeMesh(spec_.bodies[k]));
      } catch (const InputError& error) {
        throw spec_.reading.fault(fmt::format("body[{}].mesh", k + 1), error.what());
      }
    }
  }

  void build(GrainSet bed) {
    closing_.smallestWidths = std::numeric_limits<double>::infinity();
    closing_.smallestClearance = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < meshes_.size(); ++k) {
      const TriangleMesh placed = probeMeshAtStart(spec_.bodies[k], meshes_[k]);
      RoomyBed roomy = makeRoom(bed, std::span(&placed, 1), steelSetbacks(recipe_.soils()));
      if (roomy.takenFrozen > 0)
        throw spec_.reading.fault(
            fmt::format("body[{}].position", k + 1),
            fmt::format("{} reaches into the bed's held bottom, which begins {:.3g} m below the "
                        "surface",
                        spec_.bodies[k].name, -surroundings_.bottom));
      closing_.takenOut.push_back(roomy.taken);
      bed = std::move(roomy.grains);
      const Vec3 size = boundsOf(placed).size();
      closing_.smallestWidths = std::min(
          {closing_.smallestWidths, bed.domain.lengthX / size.x(), bed.domain.lengthY / size.y()});
    }
    if (bed.size() == 0)
      throw spec_.reading.fault("body[1]", "the bodies leave no grain in the bed");
    ProbeSettings settings;
    settings.kernel = spec_.kernel;
    settings.bed = recipe_.kernelSettings();
    settings.bed.timeStep = stableTimeStep(bed, recipe_.soils(), spec_.rayleighFraction);
    std::cerr << forecastText(forecastPull(costOf(spec_), bed, 0, settings.bed, spec_.duration()))
              << '\n';
    simulation_.emplace(bed, settings);
    for (std::size_t k = 0; k < meshes_.size(); ++k) addBody(spec_.bodies[k], meshes_[k]);
    record_.emplace(meshes_.size(), settings.bed.timeStep, spec_.seriesInterval);
    closing_.grains = bed.size();
    closing_.largestDiameter = 2.0 * *std::max_element(bed.radius.begin(), bed.radius.end());
    closing_.timeStep = settings.bed.timeStep;
  }

  void addBody(const ProbeBodySpec& spec, const TriangleMesh& mesh) {
    ProbeBody body;
    ContactPart part{&mesh, spec.surface.on(spec_.bed.ground())};
    for (const Ground& ground : spec_.bed.lowerGrounds())
      part.onLowerSoils.push_back(spec.surface.on(ground));
    body.parts = {part};
    body.position = spec.position;
    body.orientation = Quat(spec.rotation);
    body.mass = spec.mass;
    simulation_->addBody(body);
  }

  /// A few times a second of the run is enough for what moves some grains' width in that time.
  void lookAtBodies() {
    constexpr std::uint64_t kStepsPerLook = 64;
    if (simulation_->step() % kStepsPerLook != 0) return;
    for (std::size_t k = 0; k < meshes_.size(); ++k) {
      if (!simulation_->isPresent(k)) continue;
      const SteelPenetration& found = simulation_->steel(k).penetration();
      closing_.largestSteelOverlap =
          std::max(closing_.largestSteelOverlap, found.largestOverlapRatio);
      passages_[k] = found.passages;
      const DrivenMotion& motion = simulation_->motion(k);
      for (const Vec3& v : meshes_[k].vertices)
        closing_.smallestClearance =
            std::min(closing_.smallestClearance,
                     (motion.pivot + motion.orientation * v).z() - surroundings_.bottom);
    }
  }

  void close() {
    closing_.stateHash = simulation_->stateHash();
    closing_.steps = simulation_->step();
    closing_.simulatedTime = simulation_->time();
    const EnergyLedger now = simulation_->energy();
    closing_.workIn = workIn(simulation_->energyAtStart(), now);
    closing_.residual = energyResidual(simulation_->energyAtStart(), now);
    closing_.overlapP99 = simulation_->kernel().overlapStatistics().p99;
    for (const std::uint64_t passages : passages_) closing_.passages += passages;
    const Ground ground = spec_.bed.ground();
    for (std::size_t k = 0; k < spec_.bodies.size(); ++k) {
      const ProbeBodySpec& body = spec_.bodies[k];
      const bool isTouched =
          std::any_of(record_->rows().begin(), record_->rows().end(), [&](const ProbeRow& row) {
            return std::any_of(row.bodies[k].reaction.begin(), row.bodies[k].reaction.end(),
                               [](double x) { return x != 0.0; });
          });
      if (!isTouched) closing_.untouched.push_back(body.name);
      // Given as exactly that share, it may come out by a rounding more.
      if (ground.strength > 0.0 &&
          body.surface.on(ground).adhesion > 1.000001 * kMostAdhesion * ground.strength)
        closing_.tooSticky.push_back(body.name);
    }
  }

  const ProbeSpec& spec_;
  const ProbeOptions& options_;
  TileRecipe recipe_;
  ProbeSchedule schedule_;
  std::vector<TriangleMesh> meshes_;
  std::vector<std::uint64_t> passages_ = std::vector<std::uint64_t>(spec_.bodies.size(), 0);
  BedSurroundings surroundings_;
  std::optional<ProbeSimulation> simulation_;
  std::optional<ProbeRecord> record_;
  ProbeClosing closing_;
};

}  // namespace

int runProbe(const ProbeSpec& spec, const ProbeOptions& options) {
  ProbeRun run(spec, options);
  if (!run.run()) {
    std::cerr << fmt::format("stopped at {:.3f} s; a probe keeps no checkpoint, nothing is left\n",
                             run.time());
    return InterruptGuard::exitStatus() != 0 ? InterruptGuard::exitStatus() : 1;
  }
  run.report();
  return run.isLost() ? kBedLost : kDone;
}

}  // namespace holdground
