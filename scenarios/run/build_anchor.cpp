#include "scenarios/run/build_anchor.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "solver/anchor/assemble.hpp"
#include "solver/anchor/extents.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/units.hpp"
#include "solver/geometry/bounds.hpp"
#include "solver/geometry/mass_properties.hpp"
#include "solver/geometry/mesh_checks.hpp"
#include "solver/geometry/mesh_file.hpp"
#include "solver/geometry/surface_crossing.hpp"

namespace holdground {

namespace {

constexpr double kWorthALine = 1e-3;    // of the mass: what two parts share
constexpr double kMostShared = 0.05;    // beyond it mass and balance are wrong, not rounded
constexpr double kFarthestPoint = 0.1;  // of a named point from the steel's box, over the length
constexpr double kLeastFluke = 0.5;     // extent of the flukes along the chord, over the chord
constexpr double kMostFluke = 2.0;
constexpr double kFarthestReach = 1.0;  // of steel beyond shackle, toe and heel, over their span
constexpr double kWidestGap = 0.1;      // between a part and the nearest other, over the same

std::string symbolOfLength(double metres) {
  for (const Unit& unit : allUnits()) {
    if (unit.dimension == Dimension::kLength && unit.toSi(1.0) == metres) {
      return std::string(unit.symbol);
    }
  }
  return fmt::format("units of {:g} m", metres);
}

/// Where in the anchor file part k is described.
std::string keyOfPart(const AnchorSpec& spec, std::size_t k) {
  return spec.pattern ? "pattern" : fmt::format("part[{}]", k + 1);
}

TriangleMesh loadMesh(const AnchorSpec& anchor, std::size_t k) {
  const PartSpec& spec = anchor.parts[k];
  const MeshOrigin origin{spec.mesh.string(), spec.meshUnit, symbolOfLength(spec.meshUnit)};
  try {
    return weldAndCheck(readMeshFile(spec.mesh), origin);
  } catch (const InputError& error) {
    throw anchor.reading.fault(keyOfPart(anchor, k) + ".mesh", error.what());
  }
}

AnchorPart loadPart(const AnchorSpec& anchor, std::size_t k) {
  const PartSpec& spec = anchor.parts[k];
  AnchorPart part;
  part.name = spec.name;
  part.role = spec.role;
  part.mesh = loadMesh(anchor, k);
  for (Vec3& v : part.mesh.vertices) v = spec.rotation * (spec.meshUnit * v) + spec.offset;
  part.density = spec.density;
  if (spec.mass) part.density = *spec.mass / massProperties(part.mesh).volume;
  return part;
}

void drawPattern(const AnchorSpec& spec, Anchor& anchor) {
  PatternAnchor drawn = drawScoop(*spec.pattern);
  for (const AnchorPart& part : drawn.parts) {
    try {
      checkMesh(part.mesh, {part.name, 1.0, "m"});
    } catch (const InputError& error) {
      throw spec.reading.fault("pattern", error.what());
    }
  }
  anchor.parts = std::move(drawn.parts);
  anchor.shackle = drawn.shackle;
  anchor.toe = drawn.toe;
  anchor.heel = drawn.heel;
}

/// A named point far from all steel is a wrong unit or a wrong axis.
void checkPoints(const Anchor& anchor, const AnchorSpec& spec) {
  Bounds steel;
  for (const AnchorPart& part : anchor.parts) steel.add(boundsOf(part.mesh));
  const Vec3 &lower = steel.lower, &upper = steel.upper;
  const double allowed = kFarthestPoint * extents(anchor).x();
  for (const auto& [key, point] : {std::pair{"shackle", anchor.shackle},
                                   std::pair{"toe", anchor.toe}, std::pair{"heel", anchor.heel}}) {
    const double away = (point - point.cwiseMax(lower).cwiseMin(upper)).norm();
    if (away <= allowed) continue;
    throw spec.reading.fault(
        std::string("points.") + key,
        fmt::format("found ({:.4g}, {:.4g}, {:.4g}) m, {:.3g} m away from the meshes, which span "
                    "({:.4g}, {:.4g}, {:.4g}) to ({:.4g}, {:.4g}, {:.4g}) m; allowed is {:.3g} m, "
                    "{:g} % of "
                    "the length over all; check the unit of the parts and the axes",
                    point.x(), point.y(), point.z(), away, lower.x(), lower.y(), lower.z(),
                    upper.x(), upper.y(), upper.z(), allowed, 100.0 * kFarthestPoint));
  }
}

/// Flukes that do not fit the chord from heel to toe are in a wrong unit, or the points are.
void checkFlukes(const Anchor& anchor, const AnchorSpec& spec) {
  const double chord = (anchor.toe - anchor.heel).norm();
  const double found = extents(anchor, PartRole::kFluke).x();
  if (found >= kLeastFluke * chord && found <= kMostFluke * chord) return;
  std::string names, key;
  for (std::size_t k = 0; k < anchor.parts.size(); ++k) {
    if (anchor.parts[k].role != PartRole::kFluke) continue;
    if (names.empty()) key = keyOfPart(spec, k);
    names += (names.empty() ? "" : ", ") + anchor.parts[k].name;
  }
  throw spec.reading.fault(key, fmt::format("fluke ({}): found {:.4g} m along the chord from heel "
                                            "to toe, which is {:.4g} m; allowed is "
                                            "{:g} to {:g} times that, {:.4g} to {:.4g} m; check "
                                            "the unit of the part and of the points",
                                            names, found, chord, kLeastFluke, kMostFluke,
                                            kLeastFluke * chord, kMostFluke * chord));
}

/// A part that reaches far beyond what is named on the anchor, or lies apart from all others, is in
/// a unit of its own. A stock or a plate as wide as the anchor is long reaches half as far at most.
void checkParts(const Anchor& anchor, const AnchorSpec& spec) {
  Bounds points;
  for (const Vec3& point : {anchor.shackle, anchor.toe, anchor.heel}) points.add(point);
  const double span = points.diagonal();
  std::vector<Bounds> boxes;
  for (std::size_t k = 0; k < anchor.parts.size(); ++k) {
    const Bounds& box = boxes.emplace_back(boundsOf(anchor.parts[k].mesh));
    const double reach = (points.lower - box.lower).cwiseMax(box.upper - points.upper).maxCoeff();
    if (reach > kFarthestReach * span)
      throw spec.reading.fault(
          keyOfPart(spec, k),
          fmt::format(
              "{}: found reaching {:.3g} m beyond shackle, toe and heel, allowed is {:.3g} m, as "
              "far as they span; check the unit of the part and of the points",
              anchor.parts[k].name, reach, kFarthestReach * span));
  }
  for (std::size_t k = 0; k < boxes.size() && boxes.size() > 1; ++k) {
    std::size_t nearest = k == 0 ? 1 : 0;
    for (std::size_t other = 0; other < boxes.size(); ++other)
      if (other != k && boxes[k].gapTo(boxes[other]) < boxes[k].gapTo(boxes[nearest]))
        nearest = other;
    const double gap = boxes[k].gapTo(boxes[nearest]);
    if (gap > kWidestGap * span)
      throw spec.reading.fault(
          keyOfPart(spec, k),
          fmt::format(
              "{}: found {:.3g} m away from {}, which is nearest, allowed is {:.3g} m, {:g} % of "
              "the span of shackle, toe and heel; check unit, axes and offset of both",
              anchor.parts[k].name, gap, anchor.parts[nearest].name, kWidestGap * span,
              100.0 * kWidestGap));
  }
}

struct Overlap {
  std::size_t second;  ///< the later part
  std::string parts;
  double massShare;  ///< counted twice, over the mass of all parts
};

std::vector<Overlap> findOverlaps(const Anchor& anchor) {
  double mass = 0.0;
  for (const AnchorPart& part : anchor.parts)
    mass += part.density * massProperties(part.mesh).volume;
  std::vector<Overlap> overlaps;
  for (std::size_t a = 0; a < anchor.parts.size(); ++a)
    for (std::size_t b = a + 1; b < anchor.parts.size(); ++b) {
      const AnchorPart &one = anchor.parts[a], &other = anchor.parts[b];
      const double shared =
          std::min(one.density, other.density) * sharedVolume(one.mesh, other.mesh) / mass;
      if (shared > kWorthALine)
        overlaps.push_back({b, fmt::format("{} and {}", one.name, other.name), shared});
    }
  return overlaps;
}

void checkOverlaps(const Anchor& anchor, const AnchorSpec& spec) {
  for (const Overlap& overlap : findOverlaps(anchor)) {
    if (overlap.massShare <= kMostShared) continue;
    throw spec.reading.fault(
        keyOfPart(spec, overlap.second),
        fmt::format("{} overlap: {:.3g} % of the mass would count twice, allowed is {:g} %; cut "
                    "one where the other begins",
                    overlap.parts, 100.0 * overlap.massShare, 100.0 * kMostShared));
  }
}

}  // namespace

std::vector<std::string> overlapsOf(const Anchor& anchor) {
  std::vector<std::string> lines;
  for (const Overlap& overlap : findOverlaps(anchor))
    lines.push_back(fmt::format("parts {} overlap: {:.2g} % of the mass counts twice",
                                overlap.parts, 100.0 * overlap.massShare));
  return lines;
}

namespace {

/// What the steel of every part does to the grains of every soil.
void setSurfaces(const AnchorSpec& spec, const Ground& ground, const std::vector<Ground>& lower,
                 Anchor& anchor) {
  for (std::size_t k = 0; k < anchor.parts.size(); ++k) {
    const SurfaceSpec& surface = spec.pattern ? spec.patternSurface : spec.parts[k].surface;
    anchor.parts[k].surface = surface.on(ground);
    for (const Ground& below : lower) anchor.parts[k].onLowerSoils.push_back(surface.on(below));
  }
}

}  // namespace

Anchor buildAnchor(const AnchorSpec& spec, const Ground& ground, const std::vector<Ground>& lower) {
  Anchor anchor;
  anchor.name = spec.name;
  anchor.settingPose = spec.settingPose;
  anchor.shackle = spec.shackle;
  anchor.toe = spec.toe;
  anchor.heel = spec.heel;
  for (std::size_t k = 0; k < spec.parts.size(); ++k) anchor.parts.push_back(loadPart(spec, k));
  if (spec.pattern) drawPattern(spec, anchor);
  setSurfaces(spec, ground, lower, anchor);
  checkPoints(anchor, spec);
  checkFlukes(anchor, spec);
  checkParts(anchor, spec);
  checkOverlaps(anchor, spec);
  try {
    assemble(anchor, {spec.bench.mass, spec.bench.centreOfMass, spec.bench.toeReading});
  } catch (const InputError& error) {
    throw spec.reading.faultOf(error);
  }
  return anchor;
}

}  // namespace holdground
