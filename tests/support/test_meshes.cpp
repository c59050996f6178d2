#include "tests/support/test_meshes.hpp"

#include <cmath>
#include <map>

namespace holdground::test {

TriangleMesh cornerTetrahedron() {
  return {{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
          {{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}}};
}

TriangleMesh boxMesh(const Vec3& lower, const Vec3& size) {
  TriangleMesh mesh;
  for (int i = 0; i < 8; ++i) {
    mesh.vertices.push_back(lower + size.cwiseProduct(Vec3(i & 1, (i >> 1) & 1, i >> 2)));
  }
  mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                    {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return mesh;
}

TriangleMesh icosphere(int level, double radius, const Vec3& centre) {
  const double g = (1.0 + std::sqrt(5.0)) / 2.0;
  TriangleMesh mesh;
  mesh.vertices = {{-1, g, 0},  {1, g, 0},  {-1, -g, 0}, {1, -g, 0}, {0, -1, g},  {0, 1, g},
                   {0, -1, -g}, {0, 1, -g}, {g, 0, -1},  {g, 0, 1},  {-g, 0, -1}, {-g, 0, 1}};
  mesh.triangles = {{0, 11, 5}, {0, 5, 1},  {0, 1, 7},   {0, 7, 10}, {0, 10, 11},
                    {1, 5, 9},  {5, 11, 4}, {11, 10, 2}, {10, 7, 6}, {7, 1, 8},
                    {3, 9, 4},  {3, 4, 2},  {3, 2, 6},   {3, 6, 8},  {3, 8, 9},
                    {4, 9, 5},  {2, 4, 11}, {6, 2, 10},  {8, 6, 7},  {9, 8, 1}};
  for (int l = 0; l < level; ++l) {
    std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> middles;
    const auto middle = [&](std::uint32_t a, std::uint32_t b) {
      const auto next = static_cast<std::uint32_t>(mesh.vertices.size());
      const auto [at, fresh] = middles.try_emplace(std::minmax(a, b), next);
      if (fresh) mesh.vertices.push_back(0.5 * (mesh.vertices[a] + mesh.vertices[b]));
      return at->second;
    };
    std::vector<std::array<std::uint32_t, 3>> finer;
    for (const auto& [a, b, c] : mesh.triangles) {
      const std::uint32_t ab = middle(a, b), bc = middle(b, c), ca = middle(c, a);
      finer.push_back({a, ab, ca});
      finer.push_back({b, bc, ab});
      finer.push_back({c, ca, bc});
      finer.push_back({ab, bc, ca});
    }
    mesh.triangles = finer;
    for (Vec3& v : mesh.vertices) v.normalize();
  }
  for (Vec3& v : mesh.vertices) v = centre + radius * v.normalized();
  return mesh;
}

TriangleMesh insideOut(const TriangleMesh& mesh) {
  TriangleMesh flipped = mesh;
  for (auto& t : flipped.triangles) std::swap(t[1], t[2]);
  return flipped;
}

TriangleMesh moved(const TriangleMesh& mesh, const Mat3& rotation, const Vec3& shift) {
  TriangleMesh result = mesh;
  for (Vec3& v : result.vertices) v = rotation * v + shift;
  return result;
}

TriangleMesh unwelded(const TriangleMesh& mesh) {
  TriangleMesh soup;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const auto first = static_cast<std::uint32_t>(soup.vertices.size());
    for (int k = 0; k < 3; ++k) soup.vertices.push_back(mesh.corner(t, k));
    soup.triangles.push_back({first, first + 1, first + 2});
  }
  return soup;
}

}  // namespace holdground::test
