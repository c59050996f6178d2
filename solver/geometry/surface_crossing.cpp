#include "solver/geometry/surface_crossing.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <vector>

#include "solver/geometry/bounds.hpp"

namespace holdground {

namespace {

constexpr double kTouching = 1e-5;  // of the diagonal
constexpr int kRays = 256;          // along each side of the box

class CrossingSearch {
 public:
  explicit CrossingSearch(const TriangleMesh& mesh) : mesh_(mesh) {
    const Bounds whole = boundsOf(mesh);
    margin_ = kTouching * (whole.upper - whole.lower).norm();
    (whole.upper - whole.lower).maxCoeff(&axis_);
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t) boxes_.push_back(boundsOf(mesh, t));
  }

  std::optional<Crossing> lowest() const {
    std::vector<std::uint32_t> order(boxes_.size());
    std::iota(order.begin(), order.end(), 0u);
    std::sort(order.begin(), order.end(), [this](std::uint32_t a, std::uint32_t b) {
      return boxes_[a].lower[axis_] < boxes_[b].lower[axis_];
    });
    std::optional<Crossing> found;
    for (std::size_t i = 0; i < order.size(); ++i)
      for (std::size_t j = i + 1; j < order.size(); ++j) {
        const std::uint32_t a = order[i], b = order[j];
        if (boxes_[b].lower[axis_] > boxes_[a].upper[axis_]) break;
        if (!boxes_[a].meets(boxes_[b])) continue;
        const auto pair = std::minmax(a, b);
        if (found && std::pair(found->first, found->second) <= std::pair(pair.first, pair.second))
          continue;
        if (const auto point = crossing(a, b)) found = Crossing{pair.first, pair.second, *point};
      }
    return found;
  }

 private:
  std::optional<Vec3> crossing(std::uint32_t a, std::uint32_t b) const {
    int shared = 0;
    for (const std::uint32_t v : mesh_.triangles[a]) shared += has(b, v) ? 1 : 0;
    if (shared > 1) return std::nullopt;
    for (const auto& [from, through] : {std::pair{a, b}, std::pair{b, a}})
      for (int k = 0; k < 3; ++k) {
        const std::uint32_t p = mesh_.triangles[from][k], q = mesh_.triangles[from][(k + 1) % 3];
        // An edge that ends on a corner of the other ends in its plane.
        if (has(through, p) || has(through, q)) continue;
        if (const auto point = passes(mesh_.vertices[p], mesh_.vertices[q], through)) return point;
      }
    return std::nullopt;
  }

  bool has(std::uint32_t t, std::uint32_t vertex) const {
    const auto& corners = mesh_.triangles[t];
    return std::find(corners.begin(), corners.end(), vertex) != corners.end();
  }

  /// Where the edge from p to q goes through triangle t.
  std::optional<Vec3> passes(const Vec3& p, const Vec3& q, std::uint32_t t) const {
    const Vec3 a = mesh_.corner(t, 0), b = mesh_.corner(t, 1), c = mesh_.corner(t, 2);
    const Vec3 normal = (b - a).cross(c - a).normalized();
    const double before = (p - a).dot(normal), after = (q - a).dot(normal);
    if (std::min(before, after) > -margin_ || std::max(before, after) < margin_)
      return std::nullopt;
    const Vec3 at = p + before / (before - after) * (q - p);
    const bool inside = (b - a).cross(at - a).dot(normal) > 0.0 &&
                        (c - b).cross(at - b).dot(normal) > 0.0 &&
                        (a - c).cross(at - c).dot(normal) > 0.0;
    return inside ? std::optional(at) : std::nullopt;
  }

  const TriangleMesh& mesh_;
  double margin_ = 0.0;
  int axis_ = 0;
  std::vector<Bounds> boxes_;
};

/// Rays through a box, along its shortest side, and where they enter and leave two solids.
class SharedRays {
 public:
  explicit SharedRays(const Bounds& box) : box_(box) {
    const Vec3 size = box.size();
    size.minCoeff(&along_);
    first_ = (along_ + 1) % 3;
    second_ = (along_ + 2) % 3;
    stepFirst_ = size[first_] / kRays;
    stepSecond_ = size[second_] / kRays;
    walls_.resize(static_cast<std::size_t>(kRays) * kRays);
  }

  void add(const TriangleMesh& mesh, int solid) {
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
      const Bounds box = boundsOf(mesh, t);
      if (!box.meets({.lower = farBefore(), .upper = farAfter()})) continue;
      const Vec3 a = mesh.corner(t, 0), b = mesh.corner(t, 1), c = mesh.corner(t, 2);
      const Vec3 normal = (b - a).cross(c - a);
      if (normal[along_] == 0.0) continue;
      for (int i = from(box.lower, first_, stepFirst_); i <= to(box.upper, first_, stepFirst_); ++i)
        for (int j = from(box.lower, second_, stepSecond_);
             j <= to(box.upper, second_, stepSecond_); ++j) {
          Vec3 p = a;
          p[first_] = place(i, first_, stepFirst_);
          p[second_] = place(j, second_, stepSecond_);
          if (!covers(a, b, c, p, normal[along_])) continue;
          const double way = a[along_] - ((p - a).dot(normal)) / normal[along_];
          walls_[static_cast<std::size_t>(i * kRays + j)].push_back(
              {way, solid, normal[along_] < 0.0 ? 1 : -1});
        }
    }
  }

  /// Where `counts(times inside the first, times inside the second)`.
  template <class Counts>
  double volumeWhere(Counts counts) {
    double length = 0.0;
    for (std::vector<Wall>& ray : walls_) {
      std::sort(ray.begin(), ray.end(), [](const Wall& a, const Wall& b) { return a.way < b.way; });
      int inside[2] = {0, 0};
      double since = 0.0;
      for (const Wall& wall : ray) {
        if (counts(inside[0], inside[1])) length += wall.way - since;
        inside[wall.solid] += wall.enters;
        since = wall.way;
      }
    }
    return length * stepFirst_ * stepSecond_;
  }

 private:
  struct Wall {
    double way;
    int solid;
    int enters;  ///< 1, or -1 when it leaves
  };

  // Off the middle, so that rays miss the edges of regular meshes.
  double place(int k, int axis, double step) const {
    return box_.lower[axis] + (k + 0.4142) * step;
  }
  int from(const Vec3& lower, int axis, double step) const {
    return std::max(0, static_cast<int>(std::floor((lower[axis] - box_.lower[axis]) / step)) - 1);
  }
  int to(const Vec3& upper, int axis, double step) const {
    const double k = std::floor((upper[axis] - box_.lower[axis]) / step);
    return static_cast<int>(std::clamp(k, -1.0, kRays - 1.0));
  }
  Vec3 farBefore() const {
    Vec3 corner = box_.lower;
    corner[along_] = -std::numeric_limits<double>::infinity();
    return corner;
  }
  Vec3 farAfter() const {
    Vec3 corner = box_.upper;
    corner[along_] = std::numeric_limits<double>::infinity();
    return corner;
  }

  /// Whether the ray through p meets the triangle, seen along it.
  bool covers(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& p, double side) const {
    const auto left = [&](const Vec3& u, const Vec3& v) {
      const double turn = (v[first_] - u[first_]) * (p[second_] - u[second_]) -
                          (v[second_] - u[second_]) * (p[first_] - u[first_]);
      return side > 0.0 ? turn > 0.0 : turn < 0.0;
    };
    return left(a, b) && left(b, c) && left(c, a);
  }

  Bounds box_;
  int along_ = 0, first_ = 1, second_ = 2;
  double stepFirst_ = 0.0, stepSecond_ = 0.0;
  std::vector<std::vector<Wall>> walls_;
};

}  // namespace

std::optional<Crossing> findCrossing(const TriangleMesh& mesh) {
  return CrossingSearch(mesh).lowest();
}

double sharedVolume(const TriangleMesh& a, const TriangleMesh& b) {
  const Bounds boxA = boundsOf(a), boxB = boundsOf(b);
  const Bounds both{.lower = boxA.lower.cwiseMax(boxB.lower),
                    .upper = boxA.upper.cwiseMin(boxB.upper)};
  if ((both.size().array() <= 0.0).any()) return 0.0;
  SharedRays rays(both);
  rays.add(a, 0);
  rays.add(b, 1);
  return rays.volumeWhere([](int one, int other) { return one > 0 && other > 0; });
}

double wronglyEnclosed(const TriangleMesh& mesh, const Bounds& box) {
  SharedRays rays(box);
  rays.add(mesh, 0);
  return rays.volumeWhere([](int times, int) { return times < 0 || times > 1; });
}

}  // namespace holdground
