#include "tests/support/contact_meshes.hpp"

#include <cmath>
#include <cstdint>
#include <utility>

namespace holdground::test {
namespace {

using Corner = std::uint32_t;

/// Adds the parallelogram (origin, u, v), front side along u x v, cut into n x n squares; vertices
/// at the same place are shared.
class Builder {
 public:
  void face(const Vec3& origin, const Vec3& u, const Vec3& v, int columns, int rows) {
    const auto at = [&](int i, int j) {
      return vertex(origin + u * (static_cast<double>(i) / columns) +
                    v * (static_cast<double>(j) / rows));
    };
    for (int i = 0; i < columns; ++i) {
      for (int j = 0; j < rows; ++j) {
        const Corner a = at(i, j), b = at(i + 1, j), c = at(i + 1, j + 1), d = at(i, j + 1);
        mesh_.triangles.push_back({a, b, c});
        mesh_.triangles.push_back({a, c, d});
      }
    }
  }
  TriangleMesh take() { return std::move(mesh_); }

 private:
  Corner vertex(const Vec3& p) {
    for (std::size_t k = 0; k < mesh_.vertices.size(); ++k)
      if ((mesh_.vertices[k] - p).norm() < 1e-12) return static_cast<Corner>(k);
    mesh_.vertices.push_back(p);
    return static_cast<Corner>(mesh_.vertices.size() - 1);
  }
  TriangleMesh mesh_;
};

}  // namespace

TriangleMesh sheet(double sizeX, double sizeY, int columns, int rows) {
  Builder builder;
  builder.face(Vec3(-0.5 * sizeX, -0.5 * sizeY, 0.0), Vec3(sizeX, 0.0, 0.0), Vec3(0.0, sizeY, 0.0),
               columns, rows);
  return builder.take();
}

TriangleMesh foldedSheet(double size, double fold) {
  const double c = size * std::cos(0.5 * fold), s = size * std::sin(0.5 * fold);
  Builder builder;
  builder.face(Vec3(-c, -0.5 * size, -s), Vec3(c, 0.0, s), Vec3(0.0, size, 0.0), 1, 1);
  builder.face(Vec3(0.0, -0.5 * size, 0.0), Vec3(c, 0.0, -s), Vec3(0.0, size, 0.0), 1, 1);
  return builder.take();
}

TriangleMesh roomCorner(double size) {
  const Vec3 x = size * Vec3::UnitX(), y = size * Vec3::UnitY(), z = size * Vec3::UnitZ();
  Builder builder;
  builder.face(Vec3::Zero(), x, y, 1, 1);
  builder.face(Vec3::Zero(), y, z, 1, 1);
  builder.face(Vec3::Zero(), z, x, 1, 1);
  return builder.take();
}

TriangleMesh box(const Vec3& size, int n) {
  const Vec3 x = size.x() * Vec3::UnitX(), y = size.y() * Vec3::UnitY(),
             z = size.z() * Vec3::UnitZ(), low = -0.5 * size;
  Builder builder;
  builder.face(low + z, x, y, n, n);
  builder.face(low, y, x, n, n);
  builder.face(low + x, y, z, n, n);
  builder.face(low, z, y, n, n);
  builder.face(low + y, z, x, n, n);
  builder.face(low, x, z, n, n);
  return builder.take();
}

}  // namespace holdground::test
