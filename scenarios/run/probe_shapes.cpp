#include "scenarios/run/probe_shapes.hpp"

#include <cmath>
#include <utility>

#include "solver/geometry/mesh_checks.hpp"
#include "solver/geometry/mesh_file.hpp"

namespace holdground {

namespace {

constexpr int kSides = 48;  // of round shapes

/// Adds a flat or ruled strip a-b-c-d, counter-clockwise from outside.
void addQuad(TriangleMesh& mesh, std::uint32_t a, std::uint32_t b, std::uint32_t c,
             std::uint32_t d) {
  mesh.triangles.push_back({a, b, c});
  mesh.triangles.push_back({a, c, d});
}

struct ProfilePoint {
  double radius, z;
};

/// Turns a profile about z. It runs upward on the outside; an open one begins and ends on the axis.
TriangleMesh revolve(const std::vector<ProfilePoint>& profile, bool isClosed) {
  TriangleMesh mesh;
  std::vector<std::uint32_t> first;  // vertex of each profile point; on the axis there is but one
  for (const ProfilePoint& p : profile) {
    first.push_back(static_cast<std::uint32_t>(mesh.vertices.size()));
    const int count = p.radius > 0.0 ? kSides : 1;
    for (int k = 0; k < count; ++k) {
      const double angle = 2.0 * kPi * k / kSides;
      mesh.vertices.emplace_back(p.radius * std::cos(angle), p.radius * std::sin(angle), p.z);
    }
  }
  const std::size_t strips = isClosed ? profile.size() : profile.size() - 1;
  for (std::size_t s = 0; s < strips; ++s) {
    const std::size_t lower = s, upper = (s + 1) % profile.size();
    for (std::uint32_t k = 0; k < kSides; ++k) {
      const std::uint32_t next = (k + 1) % kSides;
      const std::uint32_t a = first[lower], b = first[upper];
      if (profile[lower].radius == 0.0)
        mesh.triangles.push_back({a, b + next, b + k});
      else if (profile[upper].radius == 0.0)
        mesh.triangles.push_back({a + k, a + next, b});
      else
        addQuad(mesh, a + k, a + next, b + next, b + k);
    }
  }
  return mesh;
}

/// Pushes a polygon, counter-clockwise, from -height/2 to height/2; `caps` cut it into triangles.
TriangleMesh extrude(const std::vector<std::pair<double, double>>& polygon, double height,
                     const std::vector<std::array<std::uint32_t, 3>>& caps) {
  TriangleMesh mesh;
  const auto n = static_cast<std::uint32_t>(polygon.size());
  for (const double z : {-0.5 * height, 0.5 * height})
    for (const auto& [x, y] : polygon) mesh.vertices.emplace_back(x, y, z);
  for (std::uint32_t k = 0; k < n; ++k) addQuad(mesh, k, (k + 1) % n, n + (k + 1) % n, n + k);
  for (const auto& [a, b, c] : caps) {
    mesh.triangles.push_back({c, b, a});
    mesh.triangles.push_back({n + a, n + b, n + c});
  }
  return mesh;
}

TriangleMesh plate(double length, double width, double thickness) {
  const double x = 0.5 * length, y = 0.5 * width;
  return extrude({{-x, -y}, {x, -y}, {x, y}, {-x, y}}, thickness, {{0, 1, 2}, {0, 2, 3}});
}

TriangleMesh sphere(double diameter) {
  constexpr int kRings = kSides / 2;
  std::vector<ProfilePoint> profile;
  for (int k = 0; k <= kRings; ++k) {
    const double angle = kPi * k / kRings;
    const bool isPole = k == 0 || k == kRings;
    profile.push_back(
        {isPole ? 0.0 : 0.5 * diameter * std::sin(angle), -0.5 * diameter * std::cos(angle)});
  }
  return revolve(profile, false);
}

/// A bar along y.
TriangleMesh bar(double length, double diameter) {
  const double r = 0.5 * diameter, half = 0.5 * length;
  TriangleMesh mesh = revolve({{0.0, -half}, {r, -half}, {r, half}, {0.0, half}}, false);
  for (Vec3& v : mesh.vertices) v = Vec3(v.x(), v.z(), -v.y());
  return mesh;
}

/// Four blades that cross in the axis.
TriangleMesh vane(double diameter, double height, double thickness) {
  const double r = 0.5 * diameter, t = 0.5 * thickness;
  return extrude({{-t, -r},
                  {t, -r},
                  {t, -t},
                  {r, -t},
                  {r, t},
                  {t, t},
                  {t, r},
                  {-t, r},
                  {-t, t},
                  {-r, t},
                  {-r, -t},
                  {-t, -t}},
                 height,
                 {{0, 1, 2},
                  {0, 2, 11},
                  {2, 3, 4},
                  {2, 4, 5},
                  {5, 6, 7},
                  {5, 7, 8},
                  {8, 9, 10},
                  {8, 10, 11},
                  {11, 2, 5},
                  {11, 5, 8}});
}

/// Open above; dimensions are those inside, the middle that of the whole.
TriangleMesh openBox(double length, double width, double height, double wall) {
  const double x = 0.5 * length, y = 0.5 * width, top = 0.5 * (height + wall);
  TriangleMesh mesh;
  // 0-3 outer bottom, 4-7 outer rim, 8-11 inner bottom, 12-15 inner rim.
  for (const auto& [out, z] : {std::pair{wall, -top}, std::pair{wall, top},
                               std::pair{0.0, -top + wall}, std::pair{0.0, top}})
    for (const auto& [sx, sy] :
         {std::pair{-1, -1}, std::pair{1, -1}, std::pair{1, 1}, std::pair{-1, 1}})
      mesh.vertices.emplace_back(sx * (x + out), sy * (y + out), z);
  addQuad(mesh, 3, 2, 1, 0);
  addQuad(mesh, 8, 9, 10, 11);
  for (std::uint32_t k = 0; k < 4; ++k) {
    const std::uint32_t next = (k + 1) % 4;
    addQuad(mesh, k, next, 4 + next, 4 + k);
    addQuad(mesh, 4 + k, 4 + next, 12 + next, 12 + k);
    addQuad(mesh, 12 + k, 12 + next, 8 + next, 8 + k);
  }
  return mesh;
}

TriangleMesh tube(double inside, double height, double wall) {
  const double r = 0.5 * inside, half = 0.5 * height;
  return revolve({{r + wall, -half}, {r + wall, half}, {r, half}, {r, -half}}, true);
}

TriangleMesh fromFile(const ProbeBodySpec& body) {
  TriangleMesh mesh = weldAndCheck(readMeshFile(body.mesh), {body.mesh.string(), body.meshUnit});
  for (Vec3& v : mesh.vertices) v *= body.meshUnit;
  return mesh;
}

}  // namespace

TriangleMesh probeMesh(const ProbeBodySpec& body) {
  using enum ProbeShape;
  switch (body.shape) {
    case kMesh:
      return fromFile(body);
    case kPlate:
      return plate(body.length, body.width, body.thickness);
    case kBar:
      return bar(body.length, body.diameter);
    case kSphere:
      return sphere(body.diameter);
    case kCone:
      return revolve({{0.0, 0.0}, {0.5 * body.diameter, body.height}, {0.0, body.height}}, false);
    case kVane:
      return vane(body.diameter, body.height, body.thickness);
    case kBox:
      return openBox(body.length, body.width, body.height, body.thickness);
    case kTube:
      return tube(body.diameter, body.height, body.thickness);
  }
  return {};
}

TriangleMesh probeMeshAtStart(const ProbeBodySpec& body, const TriangleMesh& mesh) {
  TriangleMesh result = mesh;
  for (Vec3& v : result.vertices) v = body.position + body.rotation * v;
  return result;
}

}  // namespace holdground
