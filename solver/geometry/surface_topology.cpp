#include "solver/geometry/surface_topology.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <tuple>

namespace holdground {

namespace {

struct HalfEdge {
  std::uint32_t low, high;  // vertices, low < high
  std::uint32_t triangle;
  int k;
};

std::vector<HalfEdge> sortedHalfEdges(const TriangleMesh& mesh) {
  std::vector<HalfEdge> halves;
  halves.reserve(3 * mesh.triangles.size());
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    for (int k = 0; k < 3; ++k) {
      const std::uint32_t a = mesh.triangles[t][k], b = mesh.triangles[t][(k + 1) % 3];
      halves.push_back({std::min(a, b), std::max(a, b), t, k});
    }
  }
  std::sort(halves.begin(), halves.end(), [](const HalfEdge& p, const HalfEdge& q) {
    return std::tie(p.low, p.high, p.triangle, p.k) < std::tie(q.low, q.high, q.triangle, q.k);
  });
  return halves;
}

/// The edge between two triangles, seen from the first, where it is edge k.
SurfaceEdge classify(const TriangleMesh& mesh, const std::vector<Vec3>& normals,
                     const HalfEdge& first, const HalfEdge& second, double creaseAngle) {
  SurfaceEdge edge;
  edge.vertices = {first.low, first.high};
  edge.triangles = {first.triangle, second.triangle};
  const Vec3& n1 = normals[first.triangle];
  const Vec3& n2 = normals[second.triangle];
  edge.dihedral = std::atan2(n1.cross(n2).norm(), n1.dot(n2));
  if (edge.dihedral < kFlatAngle) {
    edge.kind = EdgeKind::kFlat;
  } else {
    // Turning from n1 to n2 about the edge as the first triangle walks it is positive on a ridge.
    const Vec3 along =
        mesh.corner(first.triangle, (first.k + 1) % 3) - mesh.corner(first.triangle, first.k);
    edge.kind = n1.cross(n2).dot(along) > 0.0 ? EdgeKind::kConvex : EdgeKind::kConcave;
  }
  edge.smooth = edge.dihedral <= creaseAngle;
  return edge;
}

std::uint32_t rootOf(std::vector<std::uint32_t>& parent, std::uint32_t t) {
  while (parent[t] != t) t = parent[t] = parent[parent[t]];
  return t;
}

void findPatches(SurfaceTopology& topology) {
  std::vector<std::uint32_t> parent(topology.normals.size());
  std::iota(parent.begin(), parent.end(), 0u);
  for (const SurfaceEdge& edge : topology.edges) {
    if (!edge.smooth) continue;
    const std::uint32_t a = rootOf(parent, edge.triangles[0]);
    const std::uint32_t b = rootOf(parent, edge.triangles[1]);
    parent[std::max(a, b)] = std::min(a, b);
  }
  // Number patches in the order of their first triangle.
  topology.patch.resize(parent.size());
  for (std::uint32_t t = 0; t < parent.size(); ++t) {
    const std::uint32_t root = rootOf(parent, t);
    topology.patch[t] = root == t ? topology.patchCount++ : topology.patch[root];
  }
}

void findVertexTriangles(const TriangleMesh& mesh, SurfaceTopology& topology) {
  topology.vertexStart.assign(mesh.vertices.size() + 1, 0);
  for (const auto& triangle : mesh.triangles) {
    for (const std::uint32_t v : triangle) ++topology.vertexStart[v + 1];
  }
  std::partial_sum(topology.vertexStart.begin(), topology.vertexStart.end(),
                   topology.vertexStart.begin());
  topology.vertexTriangles.resize(3 * mesh.triangles.size());
  std::vector<std::uint32_t> fill(topology.vertexStart.begin(), topology.vertexStart.end() - 1);
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    for (const std::uint32_t v : mesh.triangles[t]) topology.vertexTriangles[fill[v]++] = t;
  }
}

/// True when two triangles on the same three corners are wound in opposite senses.
bool areOpposite(const std::array<std::uint32_t, 3>& a, const std::array<std::uint32_t, 3>& b) {
  const auto at = std::find(b.begin(), b.end(), a[0]) - b.begin();
  return b[(at + 1) % 3] != a[1];
}

}  // namespace

SurfaceTopology buildTopology(const TriangleMesh& mesh, double creaseAngle) {
  SurfaceTopology topology;
  const std::size_t count = mesh.triangles.size();
  topology.normals.resize(count);
  for (std::size_t t = 0; t < count; ++t) {
    const Vec3 a = mesh.corner(t, 0);
    topology.normals[t] = (mesh.corner(t, 1) - a).cross(mesh.corner(t, 2) - a).normalized();
  }
  topology.triangleEdges.resize(count);
  const std::vector<HalfEdge> halves = sortedHalfEdges(mesh);
  for (std::size_t begin = 0; begin < halves.size();) {
    std::size_t end = begin + 1;
    while (end < halves.size() && halves[end].low == halves[begin].low &&
           halves[end].high == halves[begin].high) {
      ++end;
    }
    const auto index = static_cast<std::uint32_t>(topology.edges.size());
    if (end - begin == 2) {
      topology.edges.push_back(
          classify(mesh, topology.normals, halves[begin], halves[begin + 1], creaseAngle));
    } else {
      SurfaceEdge edge;
      edge.vertices = {halves[begin].low, halves[begin].high};
      edge.triangles = {halves[begin].triangle, halves[end - 1].triangle};
      topology.edges.push_back(edge);
    }
    for (std::size_t h = begin; h < end; ++h) {
      topology.triangleEdges[halves[h].triangle][halves[h].k] = index;
    }
    begin = end;
  }
  findPatches(topology);
  findVertexTriangles(mesh, topology);
  return topology;
}

ContactSurface joinSurfaces(std::span<const TriangleMesh* const> meshes, double creaseAngle) {
  ContactSurface joined;
  std::map<std::tuple<double, double, double>, std::uint32_t> seen;
  std::vector<std::array<std::uint32_t, 3>> triangles;
  std::vector<std::uint16_t> part;
  for (std::size_t m = 0; m < meshes.size(); ++m) {
    std::vector<std::uint32_t> renumbered;
    for (const Vec3& v : meshes[m]->vertices) {
      const auto next = static_cast<std::uint32_t>(joined.mesh.vertices.size());
      // Adding 0.0 makes -0.0 and 0.0 one key.
      const auto [place, fresh] = seen.try_emplace({v[0] + 0.0, v[1] + 0.0, v[2] + 0.0}, next);
      if (fresh) joined.mesh.vertices.push_back(v);
      renumbered.push_back(place->second);
    }
    for (const auto& t : meshes[m]->triangles) {
      triangles.push_back({renumbered[t[0]], renumbered[t[1]], renumbered[t[2]]});
      part.push_back(static_cast<std::uint16_t>(m));
    }
  }

  // Two triangles of different parts on the same corners, wound in opposite senses, bury each
  // other.
  std::map<std::array<std::uint32_t, 3>, std::size_t> waiting;
  std::vector<bool> buried(triangles.size(), false);
  for (std::size_t t = 0; t < triangles.size(); ++t) {
    std::array<std::uint32_t, 3> key = triangles[t];
    std::sort(key.begin(), key.end());
    const auto [place, fresh] = waiting.try_emplace(key, t);
    if (fresh || part[place->second] == part[t]) continue;
    if (!areOpposite(triangles[place->second], triangles[t])) continue;
    buried[t] = buried[place->second] = true;
    waiting.erase(place);
  }
  for (std::size_t t = 0; t < triangles.size(); ++t) {
    if (buried[t]) continue;
    joined.mesh.triangles.push_back(triangles[t]);
    joined.part.push_back(part[t]);
  }
  joined.topology = buildTopology(joined.mesh, creaseAngle);
  return joined;
}

}  // namespace holdground
