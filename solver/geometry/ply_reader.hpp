#pragma once
// PLY text or bytes into triangles.
// Source: Turk 1994, The PLY Polygon File Format (from memory): header, then elements in order.
// Departs: only x, y, z of "vertex" and the index list of "face" are kept; the rest is skipped.
// Promises: no memory is reserved for more items than the remaining bytes could hold.
// Checked by tests/unit/geometry/mesh_file_test.cpp, tests/robustness/geometry/.

#include <string>
#include <string_view>

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

/// @param bytes the whole file. @param name of the file, for messages. Throws InputError.
TriangleMesh parsePly(std::string_view bytes, const std::string& name);

}  // namespace holdground
