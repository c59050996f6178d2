#pragma once
// An indexed triangle mesh. Triangles wind counter-clockwise seen from outside.

#include <array>
#include <cstdint>
#include <vector>

#include "solver/core/types.hpp"

namespace holdground {

struct TriangleMesh {
  std::vector<Vec3> vertices;                           ///< [m]
  std::vector<std::array<std::uint32_t, 3>> triangles;  ///< vertex indices, outward winding

  Vec3 corner(std::size_t triangle, int k) const { return vertices[triangles[triangle][k]]; }
};

}  // namespace holdground
