#pragma once
// Is this a solid? Every fault is an InputError on one line that says where: the file, the triangle
// (counted from 1, as in the file) and its coordinates in the unit of the file.
//
// Faults: no triangles, numbers that are not finite, degenerate triangles, open edges, neighbours
// wound against each other, edges with more than two triangles, inside out (as a whole, or a
// separate shell that is no cavity of another), no volume, absurd size (a wrong unit, with a hint),
// a surface that passes through itself, shells of one winding in or on each other.
// Checked by tests/unit/geometry/mesh_checks_test.cpp.

#include <string>

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

/// Where a mesh comes from, for messages.
struct MeshOrigin {
  std::string file;
  double unit = 1.0;           ///< one unit of the file [m]
  std::string unitName = "m";  ///< as messages write it
};

/// Joins vertices closer than `tolerance` (unit of the mesh); 0 joins only equal ones. Triangles
/// keep their order and number; vertices no triangle uses are dropped.
TriangleMesh weldVertices(const TriangleMesh& mesh, double tolerance);

/// Throws when the welded mesh is no closed solid of sensible size. Unit of the file.
void checkMesh(const TriangleMesh& mesh, const MeshOrigin& origin);

/// What a file held, welded within a millionth of its size and checked. Unit of the file.
TriangleMesh weldAndCheck(const TriangleMesh& fromFile, const MeshOrigin& origin);

}  // namespace holdground
