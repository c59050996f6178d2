#pragma once
// Reading closed surfaces from the files people have, and writing binary STL.
//
// STL (binary, ASCII) and OBJ are parsed by Assimp, from memory, so that a file cannot name others.
// PLY is read here: Assimp 5.2 hangs on truncated ASCII PLY and reserves whatever length a list
// claims, and no other small library for it is packaged. Lengths claimed by a file are held against
// its size before anything is reserved.
// Nothing is repaired: what the file says is what mesh_checks sees. Polygons are cut into
// triangles. Frames and units: those of the file. Checked by
// tests/unit/geometry/mesh_file_test.cpp, tests/robustness/geometry/.

#include <filesystem>
#include <string>

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground {

/// Reads .stl, .obj or .ply (by extension, any case). Throws InputError (what the file holds) or
/// SystemError (it cannot be read), naming the file, on one line.
TriangleMesh readMeshFile(const std::filesystem::path& path);

/// Binary STL; coordinates times `scale`, in single precision. Throws SystemError.
/// @param title at most 79 characters, not beginning with "solid".
void writeStl(const TriangleMesh& mesh, double scale, const std::string& title,
              const std::filesystem::path& path);

}  // namespace holdground
