#include "tests/support/mesh_texts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstring>

namespace holdground::test {

namespace {

template <typename T>
void append(std::string& bytes, T value, bool swapped = false) {
  char raw[sizeof(T)];
  std::memcpy(raw, &value, sizeof(T));
  if (swapped) std::reverse(raw, raw + sizeof(T));
  bytes.append(raw, sizeof(T));
}

std::string spelled(const Vec3& v) { return fmt::format("{} {} {}", v.x(), v.y(), v.z()); }

}  // namespace

std::string binaryStl(const TriangleMesh& mesh) {
  std::string bytes(80, 'x');
  append(bytes, static_cast<std::uint32_t>(mesh.triangles.size()));
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    for (int i = 0; i < 3; ++i) append(bytes, 0.0f);
    for (int k = 0; k < 3; ++k) {
      for (int i = 0; i < 3; ++i) append(bytes, static_cast<float>(mesh.corner(t, k)[i]));
    }
    append(bytes, std::uint16_t{0});
  }
  return bytes;
}

std::string asciiStl(const TriangleMesh& mesh) {
  std::string text = "solid plate\n";
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    text += "facet normal 0 0 0\n outer loop\n";
    for (int k = 0; k < 3; ++k) text += "  vertex " + spelled(mesh.corner(t, k)) + "\n";
    text += " endloop\nendfacet\n";
  }
  return text + "endsolid plate\n";
}

std::string objText(const TriangleMesh& mesh) {
  std::string text = "# a plate\nmtllib none.mtl\no plate\n";
  for (const Vec3& v : mesh.vertices) text += "v " + spelled(v) + "\n";
  for (const auto& t : mesh.triangles) {
    text += fmt::format("f {} {} {}\n", t[0] + 1, t[1] + 1, t[2] + 1);
  }
  return text;
}

std::string plyBytes(const TriangleMesh& mesh, PlyForm form) {
  static constexpr const char* kNames[] = {"ascii", "binary_little_endian", "binary_big_endian"};
  std::string bytes = fmt::format(
      "ply\nformat {} 1.0\nelement vertex {}\nproperty float x\nproperty float y\n"
      "property float z\nelement face {}\nproperty list uchar int vertex_indices\nend_header\n",
      kNames[static_cast<int>(form)], mesh.vertices.size(), mesh.triangles.size());
  const bool swapped = form == PlyForm::kBigEndian;
  for (const Vec3& v : mesh.vertices) {
    if (form == PlyForm::kAscii) {
      bytes += spelled(v) + "\n";
    } else {
      for (int i = 0; i < 3; ++i) append(bytes, static_cast<float>(v[i]), swapped);
    }
  }
  for (const auto& t : mesh.triangles) {
    if (form == PlyForm::kAscii) {
      bytes += fmt::format("3 {} {} {}\n", t[0], t[1], t[2]);
    } else {
      bytes.push_back(3);
      for (const std::uint32_t v : t) append(bytes, v, swapped);
    }
  }
  return bytes;
}

std::map<std::string, std::string> meshFiles(const TriangleMesh& mesh) {
  return {{"binary.stl", binaryStl(mesh)},
          {"ascii.stl", asciiStl(mesh)},
          {"plate.obj", objText(mesh)},
          {"ascii.ply", plyBytes(mesh, PlyForm::kAscii)},
          {"little.ply", plyBytes(mesh, PlyForm::kLittleEndian)},
          {"big.ply", plyBytes(mesh, PlyForm::kBigEndian)}};
}

}  // namespace holdground::test
