#include "solver/geometry/mesh_file.hpp"

#include <assimp/postprocess.h>
#include <assimp/scene.h>
#include <fmt/format.h>

#include <algorithm>
#include <assimp/Importer.hpp>
#include <bit>
#include <cctype>
#include <cmath>
#include <cstring>
#include <fstream>
#include <string_view>

#include "solver/core/errors.hpp"
#include "solver/geometry/ply_reader.hpp"

namespace holdground {

namespace {

constexpr std::uintmax_t kLargestFile = std::uintmax_t{1} << 30;
constexpr std::size_t kStlHeader = 84, kStlTriangle = 50;

static_assert(std::endian::native == std::endian::little, "STL is written as it lies in memory");

std::string lowerCase(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

/// A message of the library on one line of sensible length.
std::string tidy(std::string text) {
  for (char& c : text) {
    if (!std::isprint(static_cast<unsigned char>(c))) c = ' ';
  }
  return text.substr(0, 160);
}

std::string readBytes(const std::filesystem::path& path) {
  std::error_code error;
  if (std::filesystem::is_directory(path, error)) {
    throw InputError(path.string() + ": is a folder, a mesh file is needed");
  }
  if (!std::filesystem::exists(path, error)) throw InputError(path.string() + ": no such file");
  const std::uintmax_t size = std::filesystem::file_size(path, error);
  if (error) throw SystemError(path.string() + ": cannot be read: " + error.message());
  if (size == 0) throw InputError(path.string() + ": is empty");
  if (size > kLargestFile) {
    throw InputError(path.string() + ": is larger than 1 GiB, too large for an anchor");
  }
  std::string bytes(static_cast<std::size_t>(size), '\0');
  std::ifstream file(path, std::ios::binary);
  if (!file.read(bytes.data(), static_cast<std::streamsize>(size))) {
    throw SystemError(path.string() + ": cannot be read");
  }
  return bytes;
}

/// Decides between the two kinds of STL by length, as "solid" may begin either, and cuts off what
/// some programs append to binary files.
void checkStl(std::string& bytes, const std::string& name) {
  const std::size_t begin = bytes.find_first_not_of(" \t\r\n");
  const bool saysSolid = begin != std::string::npos && bytes.compare(begin, 5, "solid") == 0;
  const bool isText = saysSolid && bytes.find('\0') == std::string::npos;
  if (isText) return;
  if (bytes.size() < kStlHeader) {
    throw InputError(fmt::format("{}: STL: {} bytes, too short for binary and not text ('solid')",
                                 name, bytes.size()));
  }
  std::uint32_t count = 0;
  std::memcpy(&count, bytes.data() + 80, sizeof count);
  const std::uint64_t needed = kStlHeader + std::uint64_t{kStlTriangle} * count;
  if (bytes.size() < needed) {
    throw InputError(fmt::format("{}: STL: announces {} triangles, which need {} bytes, but has {}",
                                 name, count, needed, bytes.size()));
  }
  if (count == 0) throw InputError(fmt::format("{}: STL: holds no triangles", name));
  bytes.resize(static_cast<std::size_t>(needed));
}

TriangleMesh importMesh(const std::string& bytes, const std::string& extension,
                        const std::string& name) {
  Assimp::Importer importer;
  const aiScene* scene = nullptr;
  std::string reason;
  try {
    scene = importer.ReadFileFromMemory(bytes.data(), bytes.size(), aiProcess_Triangulate,
                                        extension.c_str());
    reason = importer.GetErrorString();
  } catch (const std::exception& error) {
    reason = error.what();
  }
  if (!scene) {
    throw InputError(fmt::format("{}: cannot be read as {}: {}", name, extension, tidy(reason)));
  }
  TriangleMesh mesh;
  for (unsigned m = 0; m < scene->mNumMeshes; ++m) {
    const aiMesh& piece = *scene->mMeshes[m];
    const auto first = static_cast<std::uint32_t>(mesh.vertices.size());
    for (unsigned v = 0; v < piece.mNumVertices; ++v) {
      const aiVector3D& p = piece.mVertices[v];
      mesh.vertices.emplace_back(p.x, p.y, p.z);
    }
    for (unsigned f = 0; f < piece.mNumFaces; ++f) {
      const aiFace& face = piece.mFaces[f];
      if (face.mNumIndices != 3) continue;  // lines and points bound no solid
      std::array<std::uint32_t, 3> triangle;
      for (unsigned k = 0; k < 3; ++k) {
        if (face.mIndices[k] >= piece.mNumVertices) {
          throw InputError(
              fmt::format("{}: face {} uses a vertex the file does not have", name, f));
        }
        triangle[k] = first + face.mIndices[k];
      }
      mesh.triangles.push_back(triangle);
    }
  }
  return mesh;
}

}  // namespace

TriangleMesh readMeshFile(const std::filesystem::path& path) {
  const std::string name = path.string();
  const std::string extension = lowerCase(path.extension().string());
  if (extension != ".stl" && extension != ".obj" && extension != ".ply") {
    throw InputError(fmt::format("{}: unknown kind of mesh file, allowed: .stl, .obj, .ply", name));
  }
  std::string bytes = readBytes(path);
  TriangleMesh mesh;
  if (extension == ".ply") {
    mesh = parsePly(bytes, name);
  } else {
    if (extension == ".stl") checkStl(bytes, name);
    mesh = importMesh(bytes, extension.substr(1), name);
  }
  if (mesh.triangles.empty()) throw InputError(name + ": holds no triangles");
  return mesh;
}

void writeStl(const TriangleMesh& mesh, double scale, const std::string& title,
              const std::filesystem::path& path) {
  std::string bytes = title.substr(0, 79);
  bytes.resize(80, ' ');
  const auto append = [&bytes](const auto& value) {
    bytes.append(reinterpret_cast<const char*>(&value), sizeof value);
  };
  append(static_cast<std::uint32_t>(mesh.triangles.size()));
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Vec3 a = mesh.corner(t, 0);
    const Vec3 normal = (mesh.corner(t, 1) - a).cross(mesh.corner(t, 2) - a).normalized();
    for (int axis = 0; axis < 3; ++axis) append(static_cast<float>(normal[axis]));
    for (int k = 0; k < 3; ++k) {
      // Adding 0.0 turns a negative zero into zero: one spelling for one place.
      for (int axis = 0; axis < 3; ++axis) {
        append(static_cast<float>(mesh.corner(t, k)[axis] * scale + 0.0));
      }
    }
    append(std::uint16_t{0});
  }
  std::ofstream file(path, std::ios::binary);
  file.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  file.close();
  if (!file) throw SystemError(path.string() + ": cannot be written");
}

}  // namespace holdground
