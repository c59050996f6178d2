#include "solver/contact/surface_minima.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace holdground {
namespace {

/// How far a centre may lie beyond the wedge or cone of a feature and still belong to it, as the
/// sine of an angle. Rounding puts it out by about 1e-16 (size of the body)/(radius) < 1e-13; a
/// centre on the border then belongs to both sides, and one patch keeps one contact.
constexpr double kWedgeTolerance = 1e-9;

double cornerAngle(const TriangleMesh& mesh, std::size_t triangle, int k) {
  const Vec3 a = mesh.corner(triangle, k);
  const Vec3 u = mesh.corner(triangle, (k + 1) % 3) - a, w = mesh.corner(triangle, (k + 2) % 3) - a;
  return std::atan2(u.cross(w).norm(), u.dot(w));
}

/// Keeps, of minima that belong to one patch alone, the nearest of each patch.
void insert(const SurfaceMinimum& minimum, MinimumList& found) {
  if (minimum.patches.size() == 1) {
    for (int k = 0; k < found.size; ++k) {
      SurfaceMinimum& old = found.items[static_cast<std::size_t>(k)];
      if (old.patches.size() != 1 || old.patches.front() != minimum.patches.front()) continue;
      const bool nearer = minimum.distance < old.distance ||
                          (minimum.distance == old.distance && minimum.triangle < old.triangle);
      if (nearer) old = minimum;
      return;
    }
  }
  if (found.size < MinimumList::kCapacity) {
    found.items[static_cast<std::size_t>(found.size++)] = minimum;
    return;
  }
  auto farthest = std::max_element(
      found.items.begin(), found.items.end(),
      [](const SurfaceMinimum& a, const SurfaceMinimum& b) { return a.distance < b.distance; });
  if (minimum.distance < farthest->distance) *farthest = minimum;
}

/// Cosine of the crease angle, which decides between parts as it does between triangles.
const double kSameDirection = std::cos(kDefaultCreaseAngle);

/// Nearest first; a minimum that shares a patch with a nearer one goes, and so does one on another
/// part that points the same way: where two parts abut, the rim of one is buried in the other.
void keepNearestOfEachPatch(const std::vector<std::uint16_t>& part, MinimumList& found) {
  auto first = found.items.begin();
  std::sort(first, first + found.size, [](const SurfaceMinimum& a, const SurfaceMinimum& b) {
    return a.distance != b.distance ? a.distance < b.distance : a.triangle < b.triangle;
  });
  int kept = 0;
  for (int k = 0; k < found.size; ++k) {
    const SurfaceMinimum candidate = found.items[static_cast<std::size_t>(k)];
    const bool taken = std::any_of(first, first + kept, [&](const SurfaceMinimum& nearer) {
      return nearer.patches.sharesWith(candidate.patches) ||
             (part[nearer.triangle] != part[candidate.triangle] &&
              nearer.normal.dot(candidate.normal) > kSameDirection);
    });
    if (!taken) found.items[static_cast<std::size_t>(kept++)] = candidate;
  }
  found.size = kept;
}

}  // namespace

void PatchSet::add(std::uint32_t patch) {
  if (size_ < kCapacity && !contains(patch)) patches_[size_++] = patch;
}

bool PatchSet::contains(std::uint32_t patch) const {
  for (std::uint32_t k = 0; k < size_; ++k)
    if (patches_[k] == patch) return true;
  return false;
}

bool PatchSet::sharesWith(const PatchSet& other) const {
  for (std::uint32_t k = 0; k < size_; ++k)
    if (other.contains(patches_[k])) return true;
  return false;
}

SurfaceMinima::SurfaceMinima(ContactSurface surface) : surface_(std::move(surface)) {
  const TriangleMesh& mesh = surface_.mesh;
  const SurfaceTopology& topology = surface_.topology;
  const std::size_t count = mesh.triangles.size();
  facets_.resize(count);
  edgeNormal_.assign(topology.edges.size(), Vec3::Zero());
  vertexNormal_.assign(mesh.vertices.size(), Vec3::Zero());
  std::vector<std::vector<EdgeSide>> sides(topology.edges.size());
  for (std::uint32_t t = 0; t < count; ++t) {
    const Vec3 a = mesh.corner(t, 0), b = mesh.corner(t, 1), c = mesh.corner(t, 2);
    const Vec3& normal = topology.normals[t];
    const Vec3 middle = (a + b + c) / 3.0;
    const double radius = std::sqrt(std::max(
        {(a - middle).squaredNorm(), (b - middle).squaredNorm(), (c - middle).squaredNorm()}));
    facets_[t] = {normal, normal.dot(a), middle, radius * (1.0 + 1e-9)};
    for (int k = 0; k < 3; ++k) {
      const std::uint32_t edge = topology.triangleEdges[t][static_cast<std::size_t>(k)];
      const Vec3 along = (mesh.corner(t, (k + 1) % 3) - mesh.corner(t, k)).normalized();
      sides[edge].push_back({t, normal.cross(along)});
      edgeNormal_[edge] += normal;
      vertexNormal_[mesh.triangles[t][static_cast<std::size_t>(k)]] +=
          cornerAngle(mesh, t, k) * normal;
    }
  }
  edgeStart_.push_back(0);
  for (const auto& here : sides) {
    edgeSides_.insert(edgeSides_.end(), here.begin(), here.end());
    edgeStart_.push_back(static_cast<std::uint32_t>(edgeSides_.size()));
  }
  for (const Vec3& vertex : mesh.vertices) extent_ = std::max(extent_, vertex.norm());
}

bool SurfaceMinima::mayTouch(std::uint32_t triangle, const Vec3& centre, double radius,
                             double slack) const {
  const double height = facets_[triangle].normal.dot(centre) - facets_[triangle].offset;
  const double reach = radius + slack;
  if (!(height > -slack && height < reach) || !mayBeWithin(triangle, centre, reach)) return false;
  const TriangleMesh& mesh = surface_.mesh;
  const Vec3 nearest = closestPointOnTriangle(centre, mesh.corner(triangle, 0),
                                              mesh.corner(triangle, 1), mesh.corner(triangle, 2))
                           .point;
  return (centre - nearest).squaredNorm() < reach * reach;
}

bool SurfaceMinima::isEdgeMinimum(std::uint32_t edge, const Vec3& v, PatchSet& patches) const {
  if (v.dot(edgeNormal_[edge]) <= 0.0) return false;
  const double tolerance = kWedgeTolerance * v.norm();
  for (std::uint32_t k = edgeStart_[edge]; k < edgeStart_[edge + 1]; ++k) {
    if (v.dot(edgeSides_[k].inward) > tolerance) return false;
    patches.add(surface_.topology.patch[edgeSides_[k].triangle]);
  }
  return true;
}

bool SurfaceMinima::isVertexMinimum(std::uint32_t vertex, const Vec3& v, PatchSet& patches) const {
  if (v.dot(vertexNormal_[vertex]) <= 0.0) return false;
  const TriangleMesh& mesh = surface_.mesh;
  const double tolerance = kWedgeTolerance * v.norm();
  for (const std::uint32_t triangle : surface_.topology.around(vertex)) {
    for (int k = 0; k < 3; ++k) {
      const Vec3 edge = mesh.corner(triangle, k) - mesh.vertices[vertex];
      if (v.dot(edge) > tolerance * edge.norm()) return false;
    }
    patches.add(surface_.topology.patch[triangle]);
  }
  return true;
}

// Triangles whose plane the centre is behind are skipped: a minimum in front of the surface always
// has a triangle at it whose front the centre sees.
void SurfaceMinima::tryTriangle(std::uint32_t triangle, const Vec3& centre, double radius,
                                MinimumList& found) const {
  const Facet& facet = facets_[triangle];
  const double height = facet.normal.dot(centre) - facet.offset;
  if (!(height > 0.0 && height < radius)) return;
  double limit = radius;
  const std::uint32_t patch = surface_.topology.patch[triangle];
  for (int k = 0; k < found.size; ++k) {
    const SurfaceMinimum& old = found.items[static_cast<std::size_t>(k)];
    if (old.patches.size() == 1 && old.patches.front() == patch) limit = old.distance;
  }
  if (!mayBeWithin(triangle, centre, limit)) return;

  const TriangleMesh& mesh = surface_.mesh;
  const TrianglePoint nearest = closestPointOnTriangle(
      centre, mesh.corner(triangle, 0), mesh.corner(triangle, 1), mesh.corner(triangle, 2));
  SurfaceMinimum minimum;
  minimum.triangle = triangle;
  if (nearest.feature == TriangleFeature::kFace) {
    minimum.distance = height;
    minimum.normal = facet.normal;
    minimum.point = centre - height * facet.normal;
    minimum.patches.add(patch);
    insert(minimum, found);
    return;
  }
  const Vec3 v = centre - nearest.point;
  minimum.distance = v.norm();
  if (!(minimum.distance < radius)) return;
  const auto feature = static_cast<std::size_t>(nearest.feature);
  constexpr auto kFirstEdge = static_cast<std::size_t>(TriangleFeature::kEdge0);
  constexpr auto kFirstVertex = static_cast<std::size_t>(TriangleFeature::kVertex0);
  const bool isMinimum =
      feature < kFirstVertex
          ? isEdgeMinimum(surface_.topology.triangleEdges[triangle][feature - kFirstEdge], v,
                          minimum.patches)
          : isVertexMinimum(mesh.triangles[triangle][feature - kFirstVertex], v, minimum.patches);
  if (!isMinimum) return;
  minimum.normal = v / minimum.distance;
  minimum.point = nearest.point;
  insert(minimum, found);
}

void SurfaceMinima::find(const Vec3& centre, double radius,
                         std::span<const std::uint32_t> triangles,
                         std::span<const std::uint32_t> guess, MinimumList& found) const {
  found.size = 0;
  for (const std::uint32_t triangle : guess) tryTriangle(triangle, centre, radius, found);
  for (const std::uint32_t triangle : triangles) tryTriangle(triangle, centre, radius, found);
  if (found.size > 1) keepNearestOfEachPatch(surface_.part, found);
}

}  // namespace holdground
