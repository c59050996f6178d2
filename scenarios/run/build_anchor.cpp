#include "scenarios/run/build_anchor.hpp"

#include <fmt/format.h>

#include <limits>

#include "solver/anchor/assemble.hpp"
#include "solver/core/errors.hpp"
#include "solver/core/units.hpp"
#include "solver/geometry/mass_properties.hpp"
#include "solver/geometry/mesh_checks.hpp"
#include "solver/geometry/mesh_file.hpp"

namespace holdground {

namespace {

constexpr double kFarthestPoint = 0.1;  // of a named point from the box, over the box's diagonal

std::string symbolOfLength(double metres) {
  for (const Unit& unit : allUnits()) {
    if (unit.dimension == Dimension::kLength && unit.toSi(1.0) == metres) {
      return std::string(unit.symbol);
    }
  }
  return fmt::format("units of {:g} m", metres);
}

AnchorPart loadPart(const PartSpec& spec) {
  const MeshOrigin origin{spec.mesh.string(), spec.meshUnit, symbolOfLength(spec.meshUnit)};
  AnchorPart part;
  part.name = spec.name;
  part.role = spec.role;
  part.surface = spec.surface;
  part.mesh = weldAndCheck(readMeshFile(spec.mesh), origin);
  for (Vec3& v : part.mesh.vertices) v = spec.rotation * (spec.meshUnit * v) + spec.offset;
  part.density = spec.density;
  if (spec.mass) part.density = *spec.mass / massProperties(part.mesh).volume;
  return part;
}

void drawPattern(const AnchorSpec& spec, Anchor& anchor) {
  PatternAnchor drawn = drawScoop(*spec.pattern);
  for (AnchorPart& part : drawn.parts) {
    checkMesh(part.mesh, {"[pattern] part " + part.name, 1.0, "m"});
    part.surface = spec.patternSurface;
  }
  anchor.parts = std::move(drawn.parts);
  anchor.shackle = drawn.shackle;
  anchor.toe = drawn.toe;
  anchor.heel = drawn.heel;
}

/// A named point far from all steel is a wrong unit or a wrong axis.
void checkPoints(const Anchor& anchor) {
  Vec3 lower = Vec3::Constant(std::numeric_limits<double>::infinity()), upper = -lower;
  for (const AnchorPart& part : anchor.parts) {
    for (const Vec3& v : part.mesh.vertices) {
      lower = lower.cwiseMin(v);
      upper = upper.cwiseMax(v);
    }
  }
  for (const auto& [key, point] : {std::pair{"shackle", anchor.shackle},
                                   std::pair{"toe", anchor.toe}, std::pair{"heel", anchor.heel}}) {
    const double away = (point - point.cwiseMax(lower).cwiseMin(upper)).norm();
    if (away <= kFarthestPoint * (upper - lower).norm()) continue;
    throw InputError(fmt::format(
        "points.{}: found ({:.4g}, {:.4g}, {:.4g}) m, {:.3g} m away from the meshes, which span "
        "({:.4g}, {:.4g}, {:.4g}) to ({:.4g}, {:.4g}, {:.4g}) m; wrong unit or axis?",
        key, point.x(), point.y(), point.z(), away, lower.x(), lower.y(), lower.z(), upper.x(),
        upper.y(), upper.z()));
  }
}

}  // namespace

Anchor buildAnchor(const AnchorSpec& spec) {
  Anchor anchor;
  anchor.name = spec.name;
  anchor.settingPose = spec.settingPose;
  anchor.shackle = spec.shackle;
  anchor.toe = spec.toe;
  anchor.heel = spec.heel;
  // Faults of a mesh name the mesh file; those of the anchor file name it here.
  for (const PartSpec& part : spec.parts) anchor.parts.push_back(loadPart(part));
  try {
    if (spec.pattern) drawPattern(spec, anchor);
    checkPoints(anchor);
    assemble(anchor, {spec.bench.mass, spec.bench.centreOfMass, spec.bench.toeReading});
  } catch (const InputError& error) {
    throw InputError(spec.source.path + ": " + error.what());
  }
  return anchor;
}

}  // namespace holdground
