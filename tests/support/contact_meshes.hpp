#pragma once
// Small meshes for tests of contact: sheets, grooves, boxes in many triangles.

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground::test {

/// A level rectangle at z = 0, centred on the origin, front side up, cut into columns x rows
/// squares of two triangles each.
TriangleMesh sheet(double sizeX, double sizeY, int columns, int rows);

/// Two rectangles that meet in an edge along y at the origin, each of `size` along and across,
/// falling away from it (ridge, fold > 0) or rising (valley, fold < 0) by fold/2 on either side;
/// fold is the angle between their normals [rad].
TriangleMesh foldedSheet(double size, double fold);

/// The corner of a room: three squares of `size` in the coordinate planes, front sides inward.
TriangleMesh roomCorner(double size);

/// A closed box centred on the origin, each face cut into n x n squares of two triangles.
TriangleMesh box(const Vec3& size, int n = 1);

}  // namespace holdground::test
