#pragma once
// Meshes as the bytes of mesh files.

#include <map>
#include <string>

#include "solver/geometry/triangle_mesh.hpp"

namespace holdground::test {

std::string binaryStl(const TriangleMesh& mesh);
std::string asciiStl(const TriangleMesh& mesh);
std::string objText(const TriangleMesh& mesh);
enum class PlyForm { kAscii, kLittleEndian, kBigEndian };
std::string plyBytes(const TriangleMesh& mesh, PlyForm form);

/// The mesh in every kind of file, by a file name for it.
std::map<std::string, std::string> meshFiles(const TriangleMesh& mesh);

}  // namespace holdground::test
