#include "scenarios/schema/probe_file.hpp"

#include <algorithm>

#include "scenarios/schema/bed_file.hpp"
#include "scenarios/schema/named_file.hpp"
#include "scenarios/schema/toml_reader.hpp"
#include "scenarios/schema/trial_file.hpp"
#include "scenarios/schema/wording.hpp"

namespace holdground {
namespace {

using enum Dimension;

constexpr std::array<const char*, 3> kAxisNames = {"x", "y", "z"};

struct ShapeRow {
  ProbeShape shape;
  const char* name;
  std::vector<std::string> keys;  ///< that it needs; all others of a shape have no effect
};

const std::vector<ShapeRow>& shapeRows() {
  using enum ProbeShape;
  static const std::vector<ShapeRow> kRows = {
      {kMesh, "mesh", {"mesh", "unit"}},
      {kPlate, "plate", {"length", "width", "thickness"}},
      {kBar, "bar", {"length", "diameter"}},
      {kSphere, "sphere", {"diameter"}},
      {kCone, "cone", {"diameter", "height"}},
      {kVane, "vane", {"diameter", "height", "thickness"}},
      {kBox, "box", {"length", "width", "height", "thickness"}},
      {kTube, "tube", {"diameter", "height", "thickness"}}};
  return kRows;
}

const ShapeRow& rowOf(ProbeShape shape) {
  return *std::find_if(shapeRows().begin(), shapeRows().end(),
                       [shape](const ShapeRow& row) { return row.shape == shape; });
}

std::string shapesThatNeed(const std::string& key) {
  std::vector<std::string> names;
  for (const ShapeRow& row : shapeRows())
    if (std::find(row.keys.begin(), row.keys.end(), key) != row.keys.end())
      names.emplace_back(row.name);
  return "with shape " + joined(names);
}

void addShape(TableSchema& table, ProbeBodyDraft& draft) {
  ProbeBodySpec& body = draft.body;
  std::vector<std::pair<std::string, ProbeShape>> words;
  for (const ShapeRow& row : shapeRows()) words.emplace_back(row.name, row.shape);
  table
      .choice<ProbeShape>(
          "shape", body.shape, words,
          "A mesh of yours or a drawn shape: bar along y; vane of four blades and cone, tip down, "
          "upright; box open above; tube open at both ends")
      .required();
  table.text("mesh", draft.mesh, "Closed surface: STL, OBJ or PLY, path from this file")
      .requiredWhen(shapesThatNeed("mesh"));
  table
      .choice<double>("unit", body.meshUnit,
                      {{"mm", 0.001}, {"cm", 0.01}, {"m", 1.0}, {"in", 0.0254}, {"ft", 0.3048}},
                      "Unit of length of the mesh file")
      .requiredWhen(shapesThatNeed("unit"));
  for (const auto& [key, field, what] :
       {std::tuple{"length", &body.length, "Along x, of a bar along y; of a box inside"},
        std::tuple{"width", &body.width, "Along y; of a box inside"},
        std::tuple{"height", &body.height, "Along z; of a box inside"},
        std::tuple{"thickness", &body.thickness, "Of a plate along z, of blades or walls"},
        std::tuple{"diameter", &body.diameter, "Of a tube inside"}})
    table.quantity(key, *field, kLength, what)
        .requiredWhen(shapesThatNeed(key))
        .atLeast("0.1 mm")
        .atMost("100 m");
}

TableSchema bodySchema(ProbeBodyDraft& draft) {
  ProbeBodySpec& body = draft.body;
  TableSchema table("body", "");
  table.text("name", body.name, "Letters, digits, - and _: what columns and results call it")
      .required();
  addShape(table, draft);
  addSurfaceKeys(table, body.surface);
  table
      .quantity("mass", body.mass, kMass,
                "For motion under a force; at least that of the grains it touches. Its weight is "
                "part of the force you give")
      .otherwise("none")
      .above("0 kg")
      .atMost("1000 t");
  table
      .quantity("damping", body.damping, kDamping,
                "Under a force: a dashpot that takes this much of the force per speed, so that "
                "the body does not bounce")
      .atLeast("0 N s/m")
      .atMost("1000 kN s/m");
  table
      .point("position", body.position,
             "Of the pivot at the start: middle of a drawn shape, tip of a cone, origin of a mesh "
             "file. z = 0 is the bed's surface")
      .required()
      .atLeast("-100 m")
      .atMost("100 m");
  for (const auto& [key, field, what] :
       {std::tuple{"roll", &draft.roll, "Turned about x at the start, y toward z"},
        std::tuple{"pitch", &draft.pitch, "Then about y, z toward x"},
        std::tuple{"yaw", &draft.yaw, "Then about z, x toward y"}})
    table.quantity(key, *field, kAngle, what).atLeast("-360 deg").atMost("360 deg");
  return table;
}

TableSchema moveSchema(ProbeMoveSpec& move) {
  TableSchema table("move", "");
  table.text("body", move.body, "Name of the body").required();
  const auto add = [&](const char* what, auto& fields, Dimension dimension, const char* most,
                       const std::string& meaning) {
    for (std::size_t k = 0; k < 3; ++k)
      table
          .quantity(std::string(what) + "_" + kAxisNames[k], fields[k], dimension,
                    meaning + kAxisNames[k])
          .otherwise("as before")
          .atLeast(std::string("-") + most)
          .atMost(most);
  };
  add("velocity", move.velocity, kSpeed, "100 m/s", "Leads it along ");
  add("force", move.force, kForce, "100 MN", "Instead: pushes it along ");
  add("spin", move.spin, kAngularSpeed, "1000 rad/s", "Turns it about ");
  table.flag("remove", move.remove, "Takes it away as the phase begins");
  return table;
}

TableSchema phaseSchema(ProbePhaseDraft& draft) {
  TableSchema table("phase", "");
  table.text("name", draft.phase.name, "Letters, digits, - and _: what the results call it")
      .required();
  table.quantity("duration", draft.phase.duration, kTime, "Of simulated time")
      .required()
      .above("0 s")
      .atMost("24 h");
  table
      .quantity("ramp", draft.phase.ramp, kTime,
                "Velocities, forces and spins go over to those of the phase in this time, smoothly")
      .atLeast("0 s")
      .atMost("24 h");
  table.tables(
      "move", "What changes for a body; at first all bodies are held",
      [&draft] { return moveSchema(draft.moves.emplace_back()); }, moveSchema(draft.sample));
  return table;
}

void checkName(const Reading& reading, const std::string& path, const std::string& name,
               bool isTaken) {
  const auto isPlain = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '_';
  };
  if (!std::all_of(name.begin(), name.end(), isPlain) || name.size() > 40)
    throw reading.fault(
        path, "found " + inQuotes(name) + ", allowed are up to 40 letters, digits, - and _");
  if (isTaken) throw reading.fault(path, "found twice, allowed is a name of its own for each");
}

void finishBody(ProbeBodyDraft& draft, const Reading& reading, const std::string& path,
                const std::filesystem::path& folder) {
  ProbeBodySpec& body = draft.body;
  const ShapeRow& row = rowOf(body.shape);
  for (const char* key : {"mesh", "unit", "length", "width", "height", "thickness", "diameter"}) {
    const bool isNeeded = std::find(row.keys.begin(), row.keys.end(), key) != row.keys.end();
    const std::string keyPath = path + "." + key;
    if (isNeeded) reading.demand(keyPath, std::string("it for shape ") + row.name);
    if (!isNeeded && reading.has(keyPath))
      throw reading.fault(keyPath,
                          std::string("found with shape ") + row.name + ", where it has no effect");
  }
  if (body.shape == ProbeShape::kVane && body.thickness >= body.diameter)
    throw reading.fault(path + ".thickness", "found not below diameter, allowed is less");
  if (body.shape == ProbeShape::kMesh)
    body.mesh = namedFile(reading, folder, path + ".mesh", draft.mesh, "an STL, OBJ or PLY file");
  if (body.damping > 0.0 && body.mass == 0.0)
    throw reading.fault(path + ".damping", "found without mass, where it has no effect");
  using Turn = Eigen::AngleAxisd;
  body.rotation = (Turn(draft.yaw, Vec3::UnitZ()) * Turn(draft.pitch, Vec3::UnitY()) *
                   Turn(draft.roll, Vec3::UnitX()))
                      .toRotationMatrix();
}

void finishBodies(ProbeDraft& draft, const Reading& reading, const std::filesystem::path& folder) {
  if (draft.bodies.empty()) throw reading.fault("", "missing bodies, needed is [[body]]");
  std::size_t count = 0;
  for (ProbeBodyDraft& written : draft.bodies) {
    const std::string path = "body[" + std::to_string(++count) + "]";
    const auto& before = draft.spec.bodies;
    checkName(reading, path + ".name", written.body.name,
              std::any_of(before.begin(), before.end(), [&](const ProbeBodySpec& other) {
                return other.name == written.body.name;
              }));
    finishBody(written, reading, path, folder);
    draft.spec.bodies.push_back(written.body);
  }
}

/// @param gone  which bodies have been taken away; those of this move too from here on
void checkMove(const ProbeMoveSpec& move, const ProbeSpec& spec, const Reading& reading,
               const std::string& path, std::vector<bool>& gone) {
  std::vector<std::string> names;
  for (const ProbeBodySpec& body : spec.bodies) names.push_back(body.name);
  const auto found = std::find(names.begin(), names.end(), move.body);
  if (found == names.end())
    throw reading.fault(path + ".body",
                        "found " + inQuotes(move.body) + ", allowed is one of " + joined(names));
  const auto index = static_cast<std::size_t>(found - names.begin());
  if (gone[index]) throw reading.fault(path + ".body", "found a body that has been taken away");
  bool moves = false;
  for (std::size_t k = 0; k < 3; ++k) {
    const std::string forceKey = path + ".force_" + kAxisNames[k];
    if (move.velocity[k] && move.force[k])
      throw reading.fault(forceKey, std::string("found beside velocity_") + kAxisNames[k] +
                                        ", allowed is one or the other");
    if (move.force[k] && spec.bodies[index].mass == 0.0)
      throw reading.fault(forceKey, "found for a body without mass, needed is its mass");
    moves = moves || move.velocity[k] || move.force[k] || move.spin[k];
  }
  if (move.remove && moves)
    throw reading.fault(path + ".remove", "found beside a motion, allowed is one or the other");
  gone[index] = move.remove;
}

void finishPhases(ProbeDraft& draft, const Reading& reading) {
  if (draft.phases.empty()) throw reading.fault("", "missing phases, needed is [[phase]]");
  std::vector<bool> gone(draft.spec.bodies.size(), false);
  std::size_t count = 0;
  for (ProbePhaseDraft& written : draft.phases) {
    const std::string path = "phase[" + std::to_string(++count) + "]";
    ProbePhaseSpec& phase = written.phase;
    const auto& before = draft.spec.phases;
    checkName(reading, path + ".name", phase.name,
              std::any_of(before.begin(), before.end(),
                          [&](const ProbePhaseSpec& other) { return other.name == phase.name; }));
    if (phase.ramp > phase.duration) {
      if (reading.has(path + ".ramp"))
        throw reading.fault(path + ".ramp", "found longer than duration, allowed is at most that");
      phase.ramp = phase.duration;
    }
    if (draft.spec.seriesInterval > phase.duration)
      throw reading.fault(path + ".duration",
                          "found shorter than series_interval, allowed is at least that");
    std::vector<std::string> named;
    for (const ProbeMoveSpec& move : written.moves) {
      const std::string movePath = path + ".move[" + std::to_string(phase.moves.size() + 1) + "]";
      if (std::find(named.begin(), named.end(), move.body) != named.end())
        throw reading.fault(movePath + ".body",
                            "found twice in a phase, allowed is one move for each body");
      checkMove(move, draft.spec, reading, movePath, gone);
      named.push_back(move.body);
      phase.moves.push_back(move);
    }
    draft.spec.phases.push_back(phase);
  }
}

}  // namespace

const char* nameOf(ProbeShape shape) { return rowOf(shape).name; }

TableSchema probeSchema(ProbeDraft& draft) {
  ProbeSpec& spec = draft.spec;
  TableSchema root("probe file", "Bodies in a bed, led or pushed; what the bed does to them.");
  root.text("name", spec.name, "What the probe is called").required();
  root.text("note", spec.note, "Free text");
  root.text("bed", draft.bed, "The bed file, path from this file").required();
  root.wholeNumber("seed", spec.seed, "Another seed is another packing of the same bed")
      .otherwise("the seed of the bed file");
  root.quantity("series_interval", spec.seriesInterval, kTime,
                "Simulated time over which a row of the series is averaged")
      .atLeast("0.1 ms")
      .atMost("1 h");
  TableSchema& tiles = root.table("tiles", "How many copies of the bed's tile are laid");
  tiles.count("along", spec.copiesX, "Copies along x").atLeast("1").atMost("1000");
  tiles.count("across", spec.copiesY, "Copies along y").atLeast("1").atMost("1000");
  root.tables(
      "body",
      "A body; grains that it overlaps at the start are taken out. Bodies do not feel each "
      "other, and one beside the bed is in its image",
      [&draft] { return bodySchema(draft.bodies.emplace_back()); }, bodySchema(draft.sampleBody));
  root.tables(
      "phase", "A time in which motions and forces stay the same",
      [&draft] { return phaseSchema(draft.phases.emplace_back()); },
      phaseSchema(draft.samplePhase));
  addSolver(root, spec.kernel, spec.rayleighFraction);
  return root;
}

ProbeSpec readProbeFile(const std::filesystem::path& path) {
  ProbeDraft draft;
  const Reading reading = fillFromToml(readSource(path), probeSchema(draft));
  ProbeSpec& spec = draft.spec;
  for (const auto& [key, count] :
       {std::pair{"tiles.along", spec.copiesX}, std::pair{"tiles.across", spec.copiesY}})
    if (!count) throw reading.fault(key, "found \"auto\", allowed is a whole number here");
  finishBodies(draft, reading, path.parent_path());
  finishPhases(draft, reading);
  spec.bed = readBedFile(namedFile(reading, path.parent_path(), "bed", draft.bed, "a TOML file"));
  if (reading.has("seed")) {
    spec.bed.seed = spec.seed;
  } else {
    spec.seed = spec.bed.seed;
  }
  spec.reading = reading;
  return spec;
}

}  // namespace holdground
