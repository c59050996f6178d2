#include "scenarios/schema/anchor_file.hpp"

#include <algorithm>

#include "scenarios/pattern/scoop_limits.hpp"
#include "scenarios/schema/named_file.hpp"
#include "scenarios/schema/toml_reader.hpp"

namespace holdground {
namespace {

using enum Dimension;

TableSchema partSchema(PartDraft& draft) {
  PartSpec& part = draft.part;
  TableSchema table("part", "");
  table.text("name", part.name, "What the part is called").required();
  table.choice<PartRole>("role", part.role,
                         {{"fluke", PartRole::kFluke},
                          {"shank", PartRole::kShank},
                          {"stock", PartRole::kStock},
                          {"roll-bar", PartRole::kRollBar},
                          {"crown", PartRole::kCrown},
                          {"ballast", PartRole::kBallast},
                          {"other", PartRole::kOther}},
                         "What the part does; at least one is a fluke");
  table.text("mesh", draft.mesh, "Closed surface: STL, OBJ or PLY, path from this file").required();
  table
      .choice<double>("unit", part.meshUnit,
                      {{"mm", 0.001}, {"cm", 0.01}, {"m", 1.0}, {"in", 0.0254}, {"ft", 0.3048}},
                      "Unit of length of the mesh file")
      .required();
  std::vector<std::pair<std::string, int>> axes;
  for (int k = 0; k < 6; ++k) axes.emplace_back(kAxes[static_cast<std::size_t>(k)], k);
  table.choice<int>("forward", draft.forward, axes, "Axis of the mesh file that points to the toe");
  table.choice<int>("up", draft.up, axes, "Axis of the mesh file that points up, off the fluke");
  for (const auto& [key, field, what] :
       {std::tuple{"roll", &draft.roll, "Turn about the forward axis, starboard down"},
        std::tuple{"pitch", &draft.pitch, "Turn about the port axis, toe down"},
        std::tuple{"yaw", &draft.yaw, "Turn about the up axis, toe to port"}}) {
    table.quantity(key, *field, kAngle, std::string(what) + "; after the axes, roll first")
        .atLeast("-360 deg")
        .atMost("360 deg");
  }
  table.point("offset", part.offset, "Where the origin of the mesh file lies in the anchor frame")
      .atLeast("-20 m")
      .atMost("20 m");
  table.quantity("density", part.density, kDensity, "Density of the material")
      .atLeast("100 kg/m3")
      .atMost("25000 kg/m3");
  table.quantity("mass", part.mass, kMass, "Mass in air; when given, the density follows from it")
      .otherwise("density times volume")
      .above("0 kg")
      .atMost("1000 t");
  addSurfaceKeys(table, part.surface, "as [surface] says");
  return table;
}

/// A bound in a unit, or in the metric one of its dimension when that is "".
std::string writtenIn(const std::string& unit, double value, Dimension dimension) {
  if (unit.empty()) return DisplayUnits().format(value, dimension, 6);
  return formatNumber(findUnit(unit, dimension)->fromSi(value), 6) + " " + unit;
}

void addPattern(TableSchema& table, ScoopPattern& p) {
  struct Row {
    const char* key;
    double* field;
    Dimension dimension;
    const char* meaning;
  };
  const Row rows[] = {
      {"fluke_length", &p.flukeLength, kLength, "Heel to toe along the chord"},
      {"fluke_width", &p.flukeWidth, kLength, "Greatest width of the fluke"},
      {"heel_width", &p.heelWidth, kLength, "Width of the fluke at the heel"},
      {"widest_at", &p.widestAt, kLength, "From the heel to the greatest width"},
      {"toe_width", &p.toeWidth, kLength, "Width of the blunt point"},
      {"toe_fullness", &p.toeFullness, kNumber, "Outline: 1 straight sides, 2 parabolic, fuller"},
      {"fluke_thickness", &p.flukeThickness, kLength, "Thickness of the fluke plate"},
      {"edge_bend", &p.edgeBend, kAngle, "Edges bent down, away from the shackle"},
      {"bend_line", &p.bendLine, kNumber, "Share of the half width that stays flat"},
      {"dish", &p.dish, kLength, "Sag of the face below the chord, at mid length"},
      {"toe_length", &p.toeLength, kLength, "Solid toe, from the point aft"},
      {"toe_thickness", &p.toeThickness, kLength, "Greatest thickness of the solid toe"},
      {"tip_thickness", &p.tipThickness, kLength, "Thickness at the point"},
      {"shank_thickness", &p.shankThickness, kLength, "Thickness of the shank plate"},
      {"shank_reach", &p.shankReach, kLength, "Shackle ahead of the heel, along the chord"},
      {"shank_height", &p.shankHeight, kLength, "Shackle above the chord"},
      {"shank_root_aft", &p.shankRootAft, kLength, "From the heel to the aft end of the root"},
      {"shank_root_length", &p.shankRootLength, kLength, "Length of the root along the fluke"},
      {"shank_rise", &p.shankRise, kAngle, "Slope of the shank where it leaves the fluke"},
      {"shank_nose", &p.shankNose, kAngle, "Slope of the shank at the shackle, upward positive"},
      {"shank_depth", &p.shankDepth, kLength, "Depth of the shank plate at the shackle"},
      {"roll_bar_diameter", &p.rollBarDiameter, kLength,
       "Outside of the tube of a hoop over the heel; 0 for none"},
      {"roll_bar_wall", &p.rollBarWall, kLength, "Thickness of the roll bar's tube"},
      {"roll_bar_width", &p.rollBarWidth, kLength, "Between the feet of the roll bar, on centres"},
      {"roll_bar_height", &p.rollBarHeight, kLength,
       "Top of the roll bar above its feet, on centres"},
      {"roll_bar_aft", &p.rollBarAft, kLength, "From the heel to the feet of the roll bar"},
      {"density", &p.density, kDensity, "Density of the steel"},
      {"mesh_size", &p.meshSize, kLength, "Aim for the edges of the triangles"},
  };
  for (const Row& row : rows) {
    Key& key = table.quantity(row.key, *row.field, row.dimension, row.meaning);
    const char* unit = row.dimension == kLength ? "mm" : "";
    if (row.dimension == kLength) key.shownIn(unit);
    for (const ScoopLimit& limit : scoopLimits()) {
      if (limit.key != row.key) continue;
      key.atLeast(writtenIn(unit, limit.lowest, row.dimension));
      key.atMost(writtenIn(unit, limit.highest, row.dimension));
    }
  }
}

void addPoints(TableSchema& root, AnchorSpec& spec) {
  TableSchema& points =
      root.table("points", "Named points in the anchor frame, for an anchor of parts");
  for (const auto& [key, field, what] :
       {std::tuple{"shackle", &spec.shackle, "Where the rode pulls"},
        std::tuple{"toe", &spec.toe, "Foremost point of the fluke"},
        std::tuple{"heel", &spec.heel, "Aft end of the fluke on the centreline"}}) {
    points.point(key, *field, what).requiredWhen("with [[part]]").atLeast("-20 m").atMost("20 m");
  }
}

void addBench(TableSchema& root, AnchorSpec& spec) {
  TableSchema& bench =
      root.table("bench", "What was measured on the real anchor; the model is adjusted to it");
  bench
      .quantity("mass", spec.bench.mass, kMass,
                "What the scales say; all densities are scaled to match")
      .otherwise("as the parts give")
      .above("0 kg")
      .atMost("1000 t");
  bench.point("centre_of_mass", spec.bench.centreOfMass, "Point of balance, anchor frame")
      .otherwise("as the parts give")
      .atLeast("-20 m")
      .atMost("20 m");
  bench
      .quantity(
          "toe_reading", spec.bench.toeReading, kMass,
          "Tip weight: what a bench scale under the toe says while the anchor stands on toe and "
          "shackle alone, both at one height")
      .otherwise("as the parts give")
      .above("0 kg")
      .atMost("1000 t");
}

void addPose(TableSchema& root, AnchorSpec& spec) {
  TableSchema& pose = root.table("setting_pose", "How the anchor lies on the bed before the pull");
  pose.quantity("pitch", spec.settingPose.pitch, kAngle, "Toe down positive")
      .atLeast("-90 deg")
      .atMost("90 deg");
  pose.quantity("list", spec.settingPose.list, kAngle, "Starboard side down positive")
      .atLeast("-180 deg")
      .atMost("180 deg");
  pose.quantity("heading", spec.settingPose.heading, kAngle,
                "Against the direction of the pull, toe to port positive")
      .atLeast("-180 deg")
      .atMost("180 deg");
}

/// Unit vector of the mesh file's frame for an index into kAxes.
Vec3 axisVector(int index) {
  Vec3 axis = Vec3::Zero();
  axis[index / 2] = index % 2 == 0 ? 1.0 : -1.0;
  return axis;
}

/// Rotation from the directions of the mesh file to the anchor frame.
Mat3 rotationOf(const PartDraft& draft) {
  const Vec3 forward = axisVector(draft.forward), up = axisVector(draft.up);
  Mat3 toAnchor;
  toAnchor.row(0) = forward;
  toAnchor.row(1) = up.cross(forward);
  toAnchor.row(2) = up;
  using Turn = Eigen::AngleAxisd;
  const Mat3 turns = (Turn(draft.yaw, Vec3::UnitZ()) * Turn(draft.pitch, Vec3::UnitY()) *
                      Turn(draft.roll, Vec3::UnitX()))
                         .toRotationMatrix();
  return turns * toAnchor;
}

void finishParts(AnchorDraft& draft, const Reading& reading, const std::filesystem::path& folder) {
  std::size_t count = 0;
  for (PartDraft& written : draft.parts) {
    const std::string path = "part[" + std::to_string(++count) + "]";
    if (written.forward / 2 == written.up / 2) {
      throw reading.fault(path + ".up", "found the axis of forward, allowed is one across it");
    }
    if (written.part.mass && reading.has(path + ".density")) {
      throw reading.fault(path + ".density", "found beside mass, allowed is one or the other");
    }
    const auto sameName = [&](const PartDraft& other) {
      return &other != &written && other.part.name == written.part.name;
    };
    if (std::any_of(draft.parts.begin(), draft.parts.end(), sameName)) {
      throw reading.fault(path + ".name",
                          "found twice, allowed is a name of its own for each part");
    }
    if (written.part.name.find_first_of(",\"") != std::string::npos) {
      throw reading.fault(path + ".name",
                          "found a comma or quote, which would break a table's head");
    }
    written.part.mesh =
        namedFile(reading, folder, path + ".mesh", written.mesh, "an STL, OBJ or PLY file");
    written.part.rotation = rotationOf(written);
    written.part.surface = written.part.surface.over(draft.surface);
    draft.spec.parts.push_back(written.part);
  }
  const bool hasFluke =
      std::any_of(draft.parts.begin(), draft.parts.end(),
                  [](const PartDraft& written) { return written.part.role == PartRole::kFluke; });
  if (!draft.parts.empty() && !hasFluke) {
    throw reading.fault(
        "part[1].role",
        "found no part that is a fluke, allowed is role = \"fluke\" for one or more");
  }
}

/// Finds contradicting dimensions of a pattern before anything is drawn.
void checkPattern(const ScoopPattern& pattern, const Reading& reading) {
  try {
    checkScoop(pattern);
  } catch (const InputError& error) {
    throw reading.faultOf(error);
  }
}

void checkTogether(AnchorDraft& draft, const Reading& reading) {
  const bool hasParts = !draft.parts.empty(), hasPattern = reading.has("pattern");
  if (hasParts == hasPattern) {
    throw reading.fault(hasParts ? "pattern" : "",
                        hasParts ? "found beside [[part]], allowed is one or the other"
                                 : "missing shape, needed is [[part]] or [pattern]");
  }
  for (const char* key : {"points.shackle", "points.toe", "points.heel"}) {
    if (hasParts) reading.demand(key, "a point [x, y, z], each a length with a unit");
    if (hasPattern && reading.has(key)) {
      throw reading.fault(key, "found beside [pattern], which gives the points itself");
    }
  }
  const BenchMeasurement& bench = draft.spec.bench;
  if (bench.toeReading && bench.centreOfMass) {
    throw reading.fault("bench.toe_reading",
                        "found beside centre_of_mass, allowed is one or the other");
  }
  if (bench.toeReading && !bench.mass)
    reading.demand("bench.mass", "the mass toe_reading is part of");
  if (bench.toeReading && *bench.toeReading >= *bench.mass) {
    throw reading.fault("bench.toe_reading",
                        "found the whole mass, allowed is less than bench.mass");
  }
  if (hasParts && (draft.spec.toe - draft.spec.heel).norm() < 1e-3) {
    throw reading.fault("points.toe", "found at the heel, allowed is at least 1 mm away");
  }
}

}  // namespace

TableSchema anchorSchema(AnchorDraft& draft) {
  AnchorSpec& spec = draft.spec;
  TableSchema root("anchor file",
                   "The anchor: closed meshes or a parametric pattern, and its points.");
  root.text("name", spec.name, "What the anchor is called").required();
  root.text("note", spec.note, "Free text; say here when the shape is invented");
  root.choice<AnchorType>("type", spec.type,
                          {{"plough", AnchorType::kPlough},
                           {"claw", AnchorType::kClaw},
                           {"scoop", AnchorType::kScoop},
                           {"twin-fluke", AnchorType::kTwinFluke},
                           {"stockless", AnchorType::kStockless},
                           {"roll-bar", AnchorType::kRollBar},
                           {"other", AnchorType::kOther}},
                          "A label; changes nothing");
  addSurfaceKeys(root.table("surface", "The steel, for every part that does not say otherwise"),
                 draft.surface);
  addPattern(root.table("pattern", "A generic scoop drawn from its dimensions"), draft.pattern);
  addPoints(root, spec);
  addBench(root, spec);
  addPose(root, spec);
  root.tables(
      "part", "One closed mesh of the anchor; as many as it has parts",
      [&draft] { return partSchema(draft.parts.emplace_back()); }, partSchema(draft.sample));
  return root;
}

AnchorSpec readAnchorFile(const std::filesystem::path& path) {
  AnchorDraft draft;
  const Reading reading = fillFromToml(readSource(path), anchorSchema(draft));
  checkTogether(draft, reading);
  finishParts(draft, reading, path.parent_path());
  if (reading.has("pattern")) {
    draft.spec.pattern = draft.pattern;
    draft.spec.patternSurface = draft.surface;
    checkPattern(draft.pattern, reading);
  }
  draft.spec.reading = reading;
  return draft.spec;
}

}  // namespace holdground
