#include "scenarios/card/tool_probes.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "scenarios/run/probe_record.hpp"
#include "scenarios/run/probe_schedule.hpp"
#include "scenarios/run/probe_shapes.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/hash.hpp"
#include "solver/probe/make_room.hpp"
#include "solver/state/stable_time_step.hpp"

namespace holdground {
namespace {

constexpr double kRest = 0.3;          // of a tool wished into the bed, before it moves [s]
constexpr double kRamp = 0.05;         // to full speed [s]
constexpr double kGapAbove = 0.25;     // a tool starts this far over the surface [diameters]
constexpr double kBeyondSides = 2.0;   // an endless tool reaches this far [diameters]
constexpr double kRowsPerWidth = 100;  // of the way of one width
constexpr double kPlateRate = 0.5;     // of plates, over that of the other tools
constexpr double kStands = 4.0;        // of the vertical plate over the surface [plate widths / 6]
constexpr std::uint64_t kStepsPerReport = 256;

ProbeBodySpec bodyOf(const char* name, ProbeShape shape, const Vec3& position) {
  ProbeBodySpec body;
  body.name = name;
  body.shape = shape;
  body.position = position;
  return body;
}

ProbePhaseSpec phaseOf(const char* name, double duration) {
  ProbePhaseSpec phase;
  phase.name = name;
  phase.duration = duration;
  phase.ramp = std::min(kRamp, duration);
  return phase;
}

/// All bodies led along an axis at a speed until they have gone the way.
void addWay(ProbeSpec& spec, std::size_t axis, double speed, double way) {
  // The ramp covers half its time at full speed.
  ProbePhaseSpec phase = phaseOf("way", way / std::abs(speed) + 0.5 * kRamp);
  for (const ProbeBodySpec& body : spec.bodies) {
    ProbeMoveSpec& move = phase.moves.emplace_back();
    move.body = body.name;
    move.velocity[axis] = speed;
  }
  spec.phases.push_back(phase);
}

/// A bar that has gone its way is stopped, led back, left to rest, and goes again.
void addWayAgain(ProbeSpec& spec) {
  ProbePhaseSpec way = spec.phases.back();
  ProbePhaseSpec stop = phaseOf("stop", kRest);
  stop.moves = way.moves;
  for (ProbeMoveSpec& move : stop.moves) move.velocity[2] = 0.0;
  ProbePhaseSpec back = way;
  back.name = "back";
  for (ProbeMoveSpec& move : back.moves) move.velocity[2] = -*move.velocity[2];
  way.name = "again";
  spec.phases.insert(spec.phases.end(), {stop, back, stop, way});
}

/// The phases of a plate that lies in the bed already.
void addRestAndWay(ProbeSpec& spec, std::size_t axis, double speed, double way) {
  spec.phases.push_back(phaseOf("rest", kRest));
  addWay(spec, axis, speed, way);
}

void planTBar(ToolPlan& plan, double d, const ToolSettings& s) {
  plan.width = s.barDiameter * d;
  const double start = 0.5 * plan.width + kGapAbove * d;
  plan.startDepth = -start;
  plan.speed = s.rate * plan.width;
  ProbeBodySpec body = bodyOf("bar", ProbeShape::kBar, Vec3(0.0, 0.0, start));
  body.diameter = plan.width;
  body.length = plan.endless + kBeyondSides * d;
  plan.spec.bodies = {body};
  addWay(plan.spec, 2, -plan.speed, start + s.barDepth * d);
}

void planVane(ToolPlan& plan, double d, const ToolSettings& s) {
  plan.width = s.vaneDiameter * d;
  plan.height = s.vaneHeight * d;
  plan.endless = 0.0;
  plan.startDepth = s.vaneDepth * d;
  plan.speed = s.rate * plan.width;
  ProbeBodySpec body = bodyOf("vane", ProbeShape::kVane, Vec3(0.0, 0.0, -plan.startDepth));
  body.diameter = plan.width;
  body.height = plan.height;
  body.thickness = s.vaneBlade * d;
  plan.spec.bodies = {body};
  plan.spec.phases.push_back(phaseOf("rest", kRest));
  const double spin = plan.speed / (0.5 * plan.width);
  ProbePhaseSpec turn = phaseOf("way", 2.0 * kPi * s.vaneTurns / spin + 0.5 * kRamp);
  ProbeMoveSpec& move = turn.moves.emplace_back();
  move.body = body.name;
  move.spin[2] = spin;
  plan.spec.phases.push_back(turn);
}

/// A tip of 60 degrees and a shaft of its diameter behind it, read apart.
void planCone(ToolPlan& plan, double d, const ToolSettings& s) {
  plan.width = s.coneDiameter * d;
  plan.endless = 0.0;
  plan.speed = s.rate * plan.width;
  const double height = 0.5 * plan.width * std::sqrt(3.0), tip = kGapAbove * d;
  plan.startDepth = -(tip + height);
  ProbeBodySpec cone = bodyOf("cone", ProbeShape::kCone, Vec3(0.0, 0.0, tip));
  cone.diameter = plan.width;
  cone.height = height;
  ProbeBodySpec shaft = bodyOf("shaft", ProbeShape::kBar, Vec3::Zero());
  shaft.diameter = plan.width;
  shaft.length = (s.coneDepth + 4.0) * d + height;
  shaft.position.z() = tip + height + 0.5 * shaft.length;
  shaft.rotation = Eigen::AngleAxisd(0.5 * kPi, Vec3::UnitX()).toRotationMatrix();
  plan.spec.bodies = {cone, shaft};
  addWay(plan.spec, 2, -plan.speed, s.coneDepth * d - plan.startDepth);
}

void planPlate(ToolPlan& plan, double d, const ToolSettings& s) {
  plan.width = s.plateWidth * d;
  plan.speed = kPlateRate * s.rate * plan.width;
  const double thickness = s.plateThickness * d;
  ProbeBodySpec body = bodyOf("plate", ProbeShape::kPlate, Vec3::Zero());
  body.length = plan.width;
  body.width = plan.endless + kBeyondSides * d;
  body.thickness = thickness;
  switch (plan.tool) {
    case Tool::kPlateDown:
      // Thick enough that no grain comes to lie on it.
      body.thickness = (s.pushIn * s.plateWidth + 2.0) * d;
      plan.startDepth = -kGapAbove * d;
      body.position.z() = kGapAbove * d + 0.5 * body.thickness;
      plan.spec.bodies = {body};
      addWay(plan.spec, 2, -plan.speed, s.pushIn * plan.width - plan.startDepth);
      break;
    case Tool::kPlateUp:
      plan.startDepth = s.upliftDepth * d;
      body.position.z() = -plan.startDepth - 0.5 * thickness;
      plan.spec.bodies = {body};
      addRestAndWay(plan.spec, 2, plan.speed, s.pullUp * plan.width);
      break;
    default:  // its lower edge a width deep, its upper one over the surface
      plan.startDepth = plan.width;
      body.length = thickness;
      body.thickness = plan.width * (1.0 + kStands / 6.0);
      body.position.z() = 0.5 * body.thickness - plan.width;
      plan.spec.bodies = {body};
      addRestAndWay(plan.spec, 0, plan.speed, s.pushSideways * plan.width);
  }
}

/// The component that resists, and its sign.
struct Read {
  std::size_t component;
  double sign;
};
Read readOf(Tool tool) {
  if (tool == Tool::kVane) return {5, -1.0};
  if (tool == Tool::kPlateSideways) return {0, -1.0};
  return {2, tool == Tool::kPlateUp ? -1.0 : 1.0};
}

GrainSet roomyBed(const ToolPlan& plan, const std::vector<TriangleMesh>& meshes, GrainSet bed,
                  double setback) {
  for (std::size_t k = 0; k < meshes.size(); ++k) {
    const TriangleMesh placed = probeMeshAtStart(plan.spec.bodies[k], meshes[k]);
    RoomyBed roomy = makeRoom(bed, std::span(&placed, 1), {setback});
    if (roomy.takenFrozen > 0)
      throw InputError(
          "bed card: the bed settled too thin for its tools; allowed is a recipe "
          "whose grains fill the depth asked for");
    bed = std::move(roomy.grains);
  }
  return bed;
}

ToolCurve curveOf(const ToolPlan& plan, const std::vector<ProbeRow>& rows) {
  ToolCurve curve{plan.width, plan.height, plan.endless, plan.startDepth, plan.speed, 0, {}, {}};
  const std::size_t last = plan.spec.phases.size() - 1;
  const Read read = readOf(plan.tool);
  const Vec3 start = plan.spec.bodies[0].position;
  const double begins = plan.spec.duration() - plan.spec.phases[last].duration;
  for (const ProbeRow& row : rows) {
    if (row.phase != last) continue;
    const ProbeBodyRow& body = row.bodies[0];
    const double middle = row.time - 0.5 * row.duration - begins;
    double way = (body.position - start).norm() - 0.5 * row.duration * plan.speed;
    if (plan.tool == Tool::kVane)
      way = std::max(0.0, middle - 0.5 * kRamp) * plan.speed / (0.5 * plan.width);
    curve.way.push_back(std::max(0.0, way));
    curve.force.push_back(read.sign * body.reaction[read.component]);
  }
  return curve;
}

}  // namespace

const char* nameOf(Tool tool) {
  switch (tool) {
    case Tool::kTBar:
      return "t_bar";
    case Tool::kTBarAgain:
      return "t_bar_again";
    case Tool::kVane:
      return "vane";
    case Tool::kCone:
      return "cone";
    case Tool::kPlateDown:
      return "plate_down";
    case Tool::kPlateUp:
      return "plate_up";
    case Tool::kPlateSideways:
      return "plate_sideways";
  }
  return "";
}

std::uint64_t ToolSettings::hash() const {
  std::uint64_t h = hashText("holdground card tools");
  for (const double x :
       {tileLength, tileWidth, tileDepth, barDiameter, barDepth, vaneDiameter, vaneHeight,
        vaneBlade, vaneDepth, vaneTurns, coneDiameter, coneDepth, plateWidth, plateThickness,
        pushIn, pullUp, pushSideways, upliftDepth, rate})
    h = hashBits(h, x);
  return h;
}

double nominalDiameter(const TileRecipe& recipe) {
  return std::max(0.5 * (recipe.smallestDiameter + recipe.largestDiameter),
                  0.75 * recipe.largestDiameter);
}

TileRecipe toolTileRecipe(const TileRecipe& recipe, const ToolSettings& settings) {
  TileRecipe tile = recipe;
  const double d = nominalDiameter(recipe);
  tile.length = settings.tileLength * d;
  tile.width = settings.tileWidth * d;
  tile.depth = settings.tileDepth * d;
  tile.frozenThickness = recipe.largestDiameter;
  return tile;
}

ToolPlan toolPlan(Tool tool, const BedRecipe& bed, const TileRecipe& tile,
                  const ToolSettings& settings) {
  const double d = nominalDiameter(tile);
  ToolPlan plan;
  plan.tool = tool;
  plan.endless = tile.width;
  plan.spec.name = nameOf(tool);
  plan.spec.bed = bed;
  plan.spec.copiesY = tool == Tool::kVane || tool == Tool::kCone ? 2 : 1;
  plan.spec.rayleighFraction = tile.rayleighFraction;
  if (tool == Tool::kTBar || tool == Tool::kTBarAgain) {
    planTBar(plan, d, settings);
    if (tool == Tool::kTBarAgain) addWayAgain(plan.spec);
  } else if (tool == Tool::kVane) {
    planVane(plan, d, settings);
  } else if (tool == Tool::kCone) {
    planCone(plan, d, settings);
  } else {
    planPlate(plan, d, settings);
  }
  plan.spec.seriesInterval = plan.width / plan.speed / kRowsPerWidth;
  return plan;
}

Estimate ToolCurve::mean(double from, double to) const {
  constexpr std::size_t kMeanBlocks = 4;
  std::vector<double> values;
  for (std::size_t k = 0; k < way.size(); ++k)
    if (way[k] >= from && way[k] <= to) values.push_back(force[k]);
  if (values.size() < kMeanBlocks) return {};
  std::vector<double> blocks;
  for (std::size_t b = 0; b < kMeanBlocks; ++b) {
    const std::size_t first = b * values.size() / kMeanBlocks,
                      end = (b + 1) * values.size() / kMeanBlocks;
    double sum = 0.0;
    for (std::size_t k = first; k < end; ++k) sum += values[k];
    blocks.push_back(sum / static_cast<double>(end - first));
  }
  return estimateOf(blocks);
}

double ToolCurve::peak(double window, double before) const {
  double greatest = 0.0;
  std::size_t first = 0;
  double sum = 0.0;
  for (std::size_t last = 0; last < way.size() && way[last] <= before; ++last) {
    sum += force[last];
    while (way[last] - way[first] > window) sum -= force[first++];
    if (way[last] - way.front() >= window)
      greatest = std::max(greatest, sum / static_cast<double>(last - first + 1));
  }
  return greatest;
}

ToolCurve runTool(const ToolPlan& plan, const Tile& tile, const TileRecipe& recipe,
                  const ProbeProgress& progress) {
  const ProbeSpec& spec = plan.spec;
  std::vector<TriangleMesh> meshes;
  for (const ProbeBodySpec& body : spec.bodies) meshes.push_back(probeMesh(body));
  const GrainSet bed = roomyBed(plan, meshes, layTiles(tile, 1, spec.copiesY.value_or(1)),
                                recipe.material.steelSetback);
  ProbeSettings settings;
  settings.bed.material = recipe.material;
  settings.bed.water = recipe.water;
  settings.bed.timeStep = stableTimeStep(bed, recipe.material, spec.rayleighFraction);
  ProbeSimulation simulation(bed, settings);
  for (std::size_t k = 0; k < meshes.size(); ++k) {
    ProbeBody body;
    body.parts = {{&meshes[k], spec.bodies[k].surface.on(spec.bed.ground())}};
    body.position = spec.bodies[k].position;
    body.orientation = Quat(spec.bodies[k].rotation);
    simulation.addBody(body);
  }
  ProbeSchedule schedule(spec);
  ProbeRecord record(meshes.size(), settings.bed.timeStep, spec.seriesInterval);
  std::size_t phase = 0;
  while (!schedule.isOver(simulation.time())) {
    const std::size_t due = schedule.phaseAt(simulation.time());
    if (due != phase) record.endInterval(simulation);
    phase = due;
    schedule.apply(simulation);
    simulation.advanceOneStep();
    record.add(simulation, phase);
    if (progress && simulation.step() % kStepsPerReport == 0)
      progress(simulation.time() / spec.duration(), simulation.step() * bed.size());
  }
  record.endInterval(simulation);
  ToolCurve curve = curveOf(plan, record.rows());
  curve.grains = bed.size();
  return curve;
}

}  // namespace holdground
