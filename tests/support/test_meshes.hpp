#pragma once
// Closed meshes with known properties, for tests.

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground::test {

/// (0,0,0), (1,0,0), (0,1,0), (0,0,1) [m].
TriangleMesh cornerTetrahedron();

/// Box with edges along the axes and one corner at `lower` [m].
TriangleMesh boxMesh(const Vec3& lower, const Vec3& size);

/// Sphere inscribed with a subdivided icosahedron: 20 * 4^level triangles.
TriangleMesh icosphere(int level, double radius, const Vec3& centre = Vec3::Zero());

/// The same surface with the winding of every triangle flipped.
TriangleMesh insideOut(const TriangleMesh& mesh);

/// The mesh turned by `rotation` and then moved by `shift`.
TriangleMesh moved(const TriangleMesh& mesh, const Mat3& rotation, const Vec3& shift);

/// Every triangle with corners of its own, as an STL file has them.
TriangleMesh unwelded(const TriangleMesh& mesh);

}  // namespace holdground::test
