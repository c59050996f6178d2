#include "scenarios/run/observe.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "scenarios/card/known_bias.hpp"
#include "scenarios/run/build_simulation.hpp"
#include "solver/core/hash.hpp"
#include "solver/core/version.hpp"
#include "solver/geometry/bounds.hpp"
#include "solver/record/record_writer.hpp"

namespace holdground {

namespace {

/// Of the steel, world frame [m].
Bounds boundsOfSteel(const Simulation& simulation) {
  Bounds bounds;
  const RigidMotion& motion = simulation.motion();
  const Mat3 rotation = motion.orientation.toRotationMatrix();
  for (const AnchorPart& part : simulation.anchor().parts)
    for (const Vec3& vertex : part.mesh.vertices)
      bounds.add(motion.centreOfMass + rotation * (vertex - simulation.anchor().centreOfMass));
  return bounds;
}

/// The bed is periodic: an anchor whose ground reaches the next image's ground, or the ground it
/// has already ploughed, is too near a side.
std::uint64_t flagsOf(const Simulation& simulation, const BedSurroundings& bed, double drift) {
  const Bounds steel = boundsOfSteel(simulation);
  const Domain& domain = simulation.kernel().domain();
  const double zone = failureZone(simulation.anchor());
  const Vec3 size = steel.size();
  const double azimuth = simulation.settings().rode.azimuth;
  std::uint64_t flags = 0;
  if (std::abs(drift * std::cos(azimuth)) + size.x() + zone > domain.lengthX ||
      std::abs(drift * std::sin(azimuth)) + size.y() + zone > domain.lengthY)
    flags |= kNearSide;
  if (bed.bottomKind != StackBottom::kHardPan &&  // a pan is ground, not want of it
      steel.lower.z() - bed.bottom <
          std::max(3.0 * bed.medianDiameter, 0.25 * simulation.anchor().flukeWidth))
    flags |= kNearBottom;
  return flags;
}

/// Shear rate times diameter over the square root of stress over density, with the anchor's speed
/// over its fluke's width as shear rate and the submerged overburden at the toe as stress, at least
/// that of one diameter.
double inertialNumber(const Simulation& simulation, const BedSurroundings& bed,
                      double toeEmbedment) {
  const KernelSettings& s = simulation.settings().bed;
  double density = s.material.density, diameter = bed.medianDiameter;
  double pressure = bed.solidFraction * (density - s.water.density) * s.gravity *
                    std::max(toeEmbedment, diameter);
  if (!bed.layers.empty()) {  // of the soil at the toe, under all that lies above it
    double depth = std::max(toeEmbedment, bed.layers.front().medianDiameter);
    pressure = 0.0;
    for (const GroundLayer& layer : bed.layers) {
      const bool isLast = &layer == &bed.layers.back();
      const double here = isLast ? depth : std::min(depth, layer.thickness);
      pressure += here * layer.unitWeight;
      density = layer.grainDensity;
      diameter = layer.medianDiameter;
      depth -= here;
      if (depth <= 0.0) break;
    }
  }
  const double rate = simulation.motion().velocity.norm() / simulation.anchor().flukeWidth;
  return rate * diameter / std::sqrt(pressure / density);
}

/// Rise of the line at the shackle [rad]; before the pull that which is asked for.
double rodeElevation(const Simulation& simulation, const Vec3& shackle) {
  const Vec3 line = simulation.pull().boatEnd - shackle;
  if (!simulation.rode().has_value()) return simulation.settings().rode.elevation;
  return std::atan2(line.z(), std::hypot(line.x(), line.y()));
}

std::string meshDigest(const TriangleMesh& mesh) {
  std::uint64_t h = 0;
  for (const Vec3& v : mesh.vertices)
    for (int k = 0; k < 3; ++k) h = hashBits(h, v[k]);
  for (const auto& t : mesh.triangles) h = hashBits(h, t);
  return fmt::format("{:016x}", h);
}

}  // namespace

namespace {

double medianDiameter(const GrainSet& grains, const std::function<bool(std::size_t)>& counts) {
  std::vector<double> diameters;
  for (std::size_t k = 0; k < grains.size(); ++k)
    if (counts(k)) diameters.push_back(2.0 * grains.radius[k]);
  if (diameters.empty()) return BedSurroundings().medianDiameter;
  const auto middle = diameters.begin() + static_cast<std::ptrdiff_t>(diameters.size() / 2);
  std::nth_element(diameters.begin(), middle, diameters.end());
  return *middle;
}

}  // namespace

BedSurroundings surroundingsOf(const Tile& tile, const TileRecipe& recipe) {
  const GrainSet& grains = tile.grains;
  BedSurroundings bed;
  bed.solidFraction = tile.solidFraction;
  bed.bottom = -tile.depth + recipe.frozenThickness;
  bed.bottomKind = recipe.bottom;
  if (recipe.bottom == StackBottom::kHardPan) bed.bottom = tile.layers.back().top;
  bed.medianDiameter = medianDiameter(grains, [&](std::size_t k) { return grains.frozen[k] == 0; });
  for (std::size_t s = 0; s < recipe.layers.size(); ++s) {
    const double density = recipe.layers[s].material.density;
    bed.layers.push_back(
        {tile.layers[s].thickness,
         tile.layers[s].solidFraction * (density - recipe.water.density) * kStandardGravity,
         density, medianDiameter(grains, [&](std::size_t k) { return grains.soilOf(k) == s; })});
  }
  return bed;
}

SeriesRow sampleRow(const Simulation& simulation, const BedSurroundings& bed) {
  SeriesRow row;
  const RigidMotion& motion = simulation.motion();
  const AnchorPosition position =
      positionOf(simulation.anchor(), motion, simulation.settings().rode.azimuth);
  row.time = row.trialTime = simulation.time();
  row.step = simulation.step();
  if (simulation.rode().has_value()) {
    const Rode& rode = *simulation.rode();
    const RodePull& pull = simulation.pull();
    row.horizontalLoad = pull.horizontalLoad;
    row.load = pull.pull;
    row.boatEnd = pull.boatEnd;
    row.drift = rode.drift(position.shackle);
    const RodeSettings& settings = rode.settings();
    row.demand = settings.mode == RodeMode::kPrescribedSpeed ? settings.speed.speed
                                                             : settings.load.plan.loadAt(row.time);
  } else {
    row.boatEnd = position.shackle;
  }
  row.toeEmbedment = position.toeEmbedment;
  row.heelEmbedment = position.heelEmbedment;
  row.shackleEmbedment = position.shackleEmbedment;
  row.pitch = position.attitude.pitch;
  row.list = position.attitude.list;
  row.heading = position.attitude.heading;
  row.anchorSpeed = motion.velocity.norm();
  row.buriedShare = position.buriedFlukeShare;
  row.shacklePosition = position.shackle;
  row.centreOfMass = motion.centreOfMass;
  row.velocity = motion.velocity;
  row.orientation = motion.orientation;
  setEnergy(row, simulation.energy());
  row.inertialNumber = inertialNumber(simulation, bed, position.toeEmbedment);
  row.rodeElevation = rodeElevation(simulation, position.shackle);
  row.steelContacts = simulation.steelLoad().contacts;
  row.steelOverlapMaximum = simulation.steel().penetration().largestOverlapRatio;
  row.steelPassages = simulation.steel().penetration().passages;
  row.flags = flagsOf(simulation, bed, row.drift);
  for (const BodyLoad& load : simulation.steelLoad().part) row.partForce.push_back(load.force);
  row.partForce.resize(simulation.anchor().parts.size(), Vec3::Zero());
  return row;
}

void setOverlap(SeriesRow& row, const OverlapStatistics& overlap) {
  row.overlapMedian = overlap.p50;
  row.overlapP99 = overlap.p99;
  row.overlapMaximum = overlap.maximum;
  row.grainContacts = overlap.contacts;
}

void setThroughSteel(SeriesRow& row, const PairsThroughSteel& pairs) {
  row.throughSteelPairs = pairs.pairs;
  row.throughSteelShare = pairs.shareOfSteel;
}

namespace {

/// The values of some grains, in the order of `ids`; all when there are none.
template <typename T>
std::vector<T> only(std::vector<T> values, const std::vector<std::uint32_t>& ids) {
  if (ids.empty()) return values;
  std::vector<T> kept;
  kept.reserve(ids.size());
  for (const std::uint32_t id : ids) kept.push_back(values[id]);
  return kept;
}

}  // namespace

FrameData sampleFrame(const Simulation& simulation, const std::vector<std::uint32_t>& grains) {
  FrameData frame;
  const GrainKernel& kernel = simulation.kernel();
  frame.time = simulation.time();
  frame.bodyPosition = simulation.motion().centreOfMass;
  frame.orientation = simulation.motion().orientation;
  frame.boatEnd = simulation.isPulling() ? simulation.pull().boatEnd
                                         : worldPoint(simulation.anchor(), simulation.motion(),
                                                      simulation.anchor().shackle);
  std::vector<Vec3> position(kernel.size());
  std::vector<float> speed(kernel.size());
  for (std::uint32_t slot = 0; slot < kernel.size(); ++slot) {
    const GrainSample s = kernel.sample(slot);
    position[s.id] = s.position;
    speed[s.id] = static_cast<float>(s.velocity.norm());
  }
  frame.grainPosition = only(std::move(position), grains);
  frame.grainSpeed = only(std::move(speed), grains);
  return frame;
}

RunDescription describeRun(const TrialSpec& trial, const TileRecipe& recipe, const Tile& tile,
                           const GrainSet& bed, const Simulation& simulation, int tilesX,
                           int tilesY, int threads, const std::vector<std::uint32_t>& grains) {
  RunDescription run;
  const KernelSettings& settings = simulation.settings().bed;
  run.programVersion = versionString();
  run.buildFlags = buildFlags();
  run.trialName = trial.name;
  run.loadMode =
      trial.pull.mode == PullMode::kSpeed ? LoadMode::kPrescribedSpeed : LoadMode::kPrescribedLoad;
  run.kernel = trial.kernel == KernelKind::kFast ? "fast" : "reference";
  run.threads = threads;
  run.seeds = {recipe.seed};
  run.timeStep = settings.timeStep;
  run.sampleInterval = trial.output.seriesInterval;
  run.frameInterval = trial.output.frameInterval;
  run.filmSpeed = trial.output.filmSpeed;
  run.gravity = settings.gravity;
  run.holdDuration = trial.hold.duration;
  run.holdDriftInLengths = trial.hold.driftInLengths;
  run.scenarioTexts = {{"trial", trial.reading.source().text},
                       {"bed", trial.bed.source.text},
                       {"anchor", trial.anchor.reading.source().text}};
  run.papers = {
      "Hertz 1882, J. reine angew. Math. 92:156 (normal force)",
      "Mindlin 1949, J. Appl. Mech. 16:259 (tangential stiffness)",
      "Tsuji, Tanaka & Ishida 1992, Powder Technol. 71:239 (damping)",
      "Ai, Chen, Rotter & Ooi 2011, Powder Technol. 206:269 (rolling resistance, model C)"};
  run.cautions = knownBias(trial.bed);
  for (const char* caution :
       {"Comparative research results of a model; not for choosing the size of ground tackle.",
        "A loaded rode can kill when it parts: keep clear of its line.",
        "Follow local rules, class requirements and licensed practice."})
    run.cautions.emplace_back(caution);

  const Anchor& anchor = simulation.anchor();
  run.anchor.name = anchor.name;
  for (const AnchorPart& part : anchor.parts)
    run.anchor.parts.push_back(
        {part.name, part.mesh, meshDigest(part.mesh), part.density, part.surface.friction});
  run.anchor.mass = anchor.mass;
  run.anchor.weight = anchor.mass * settings.gravity;
  run.anchor.length = anchor.length;
  run.anchor.flukeWidth = anchor.flukeWidth;
  run.anchor.centreOfMass = anchor.centreOfMass;
  run.anchor.shackle = anchor.shackle;
  run.anchor.toe = anchor.toe;
  run.anchor.heel = anchor.heel;

  const Domain& domain = bed.domain;
  run.bed.name = trial.bed.name;
  run.bed.hash = fmt::format("{:016x}", tile.recipeHash);
  run.bed.card = fmt::format(
      "solid fraction {:.4f}, coordination {:.3f}, depth {:.3f} m, {} grains a tile, settled in "
      "{:.2f} s",
      tile.solidFraction, tile.coordination, tile.depth, tile.grains.size(), tile.settlingTime);
  for (std::size_t k = 0; k < tile.layers.size(); ++k)
    run.bed.card += fmt::format("; {}: {:.3f} m from {:.3f} m down, solid fraction {:.4f}",
                                trial.bed.layers[k].name, tile.layers[k].thickness,
                                -tile.layers[k].top, tile.layers[k].solidFraction);
  run.bed.grainCount = bed.size();
  run.bed.lengthX = domain.lengthX;
  run.bed.lengthY = domain.lengthY;
  run.bed.floorZ = domain.floorZ;
  run.bed.ceilingZ = domain.ceilingZ;
  run.bed.tileLengthX = tile.grains.domain.lengthX;
  run.bed.tileLengthY = tile.grains.domain.lengthY;
  run.bed.tilesX = tilesX;
  run.bed.tilesY = tilesY;
  run.bed.grainDensity = settings.material.density;
  run.bed.youngModulus = settings.material.youngModulus;
  run.bed.poissonRatio = settings.material.poissonRatio;
  run.bed.friction = settings.material.friction;
  run.bed.rollingFriction = settings.material.rollingFriction;
  run.bed.restitutionCoefficient = settings.material.restitutionCoefficient;
  run.bed.steelSetback = settings.material.steelSetback;
  run.bed.waterDensity = settings.water.density;
  run.bed.grainId = grains;
  run.bed.referencePosition = only(bed.position, grains);
  run.bed.radius = only(bed.radius, grains);
  run.bed.frozen = only(bed.frozen, grains);
  if (!bed.soil.empty()) run.bed.layer = only(bed.soil, grains);
  return run;
}

}  // namespace holdground
