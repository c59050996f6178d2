#include "solver/contact/sink_distance.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace holdground {

namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();
constexpr double kUpright = 1e-12;  // square of the sine below which an edge or a face is vertical

double toCorner(const Vec3& centre, double radius, const Vec3& corner) {
  const Vec3 way = corner - centre;
  const double under = radius * radius - way.x() * way.x() - way.y() * way.y();
  return under < 0.0 ? kNever : way.z() - std::sqrt(under);
}

double toEdge(const Vec3& centre, double radius, const Vec3& from, const Vec3& to) {
  const Vec3 edge = to - from, start = centre - from;
  const double square = edge.squaredNorm();
  const Vec3 up = Vec3::UnitZ() - edge.z() / square * edge;
  const Vec3 across = start - start.dot(edge) / square * edge;
  const double a = up.squaredNorm(), b = across.dot(up);
  if (a < kUpright) return kNever;  // its corners come first
  const double root = b * b - a * (across.squaredNorm() - radius * radius);
  if (root < 0.0) return kNever;
  const double way = (-b - std::sqrt(root)) / a;
  const double share = (start.dot(edge) + way * edge.z()) / square;
  return share < 0.0 || share > 1.0 ? kNever : way;
}

double toFace(const Vec3& centre, double radius, const Corners& t) {
  Vec3 normal = (t[1] - t[0]).cross(t[2] - t[0]).normalized();
  if (normal.z() > 0.0) normal = -normal;  // to the side of the sphere, which lies below
  if (normal.z() * normal.z() < kUpright) return kNever;
  const double way = (radius - (centre - t[0]).dot(normal)) / normal.z();
  const Vec3 touch = centre + way * Vec3::UnitZ() - radius * normal;
  int left = 0;
  for (int k = 0; k < 3; ++k)
    left += (t[(k + 1) % 3] - t[k]).cross(touch - t[k]).dot(normal) >= 0.0 ? 1 : 0;
  return left == 0 || left == 3 ? way : kNever;
}

/// Grains by the cell of the plane they lie over.
class PlaneCells {
 public:
  PlaneCells(const GrainSet& bed, double size)
      : bed_(bed),
        countX_(std::max(1, static_cast<int>(bed.domain.lengthX / size))),
        countY_(std::max(1, static_cast<int>(bed.domain.lengthY / size))),
        grains_(static_cast<std::size_t>(countX_) * static_cast<std::size_t>(countY_)) {
    for (std::uint32_t id = 0; id < bed.size(); ++id) {
      const int x = std::clamp(cellX(bed.position[id].x()), 0, countX_ - 1);
      const int y = std::clamp(cellY(bed.position[id].y()), 0, countY_ - 1);
      grains_[static_cast<std::size_t>(y * countX_ + x)].push_back(id);
    }
  }

  /// Calls visit(id, shift to the image) for all grains with centres in a box, and some around.
  template <typename Visit>
  void forEachIn(const Vec3& lower, const Vec3& upper, const Visit& visit) const {
    for (int y = cellY(lower.y()) - 1; y <= cellY(upper.y()) + 1; ++y)
      for (int x = cellX(lower.x()) - 1; x <= cellX(upper.x()) + 1; ++x) {
        const int turnsX = floorDivide(x, countX_), turnsY = floorDivide(y, countY_);
        const Vec3 shift(turnsX * bed_.domain.lengthX, turnsY * bed_.domain.lengthY, 0.0);
        const int cell = (y - turnsY * countY_) * countX_ + x - turnsX * countX_;
        for (const std::uint32_t id : grains_[static_cast<std::size_t>(cell)]) visit(id, shift);
      }
  }

 private:
  static int floorDivide(int a, int b) { return a >= 0 ? a / b : -((b - 1 - a) / b); }
  int cellX(double x) const {
    return static_cast<int>(std::floor((x / bed_.domain.lengthX + 0.5) * countX_));
  }
  int cellY(double y) const {
    return static_cast<int>(std::floor((y / bed_.domain.lengthY + 0.5) * countY_));
  }

  const GrainSet& bed_;
  int countX_, countY_;
  std::vector<std::vector<std::uint32_t>> grains_;
};

}  // namespace

double verticalClearance(const Vec3& centre, double radius, const Corners& t) {
  double least = toFace(centre, radius, t);
  for (int k = 0; k < 3; ++k)
    least = std::min(
        {least, toCorner(centre, radius, t[k]), toEdge(centre, radius, t[k], t[(k + 1) % 3])});
  return least;
}

double sinkDistance(const std::vector<Corners>& steel, const GrainSet& bed,
                    const std::vector<double>& setbackShares) {
  if (bed.size() == 0) return kNever;
  const double largest = *std::max_element(bed.radius.begin(), bed.radius.end());
  const PlaneCells cells(bed, 2.0 * largest);
  const Vec3 reach(largest, largest, 0.0);
  double least = kNever;
  for (const Corners& t : steel) {
    const Vec3 lower = t[0].cwiseMin(t[1]).cwiseMin(t[2]) - reach;
    const Vec3 upper = t[0].cwiseMax(t[1]).cwiseMax(t[2]) + reach;
    cells.forEachIn(lower, upper, [&](std::uint32_t id, const Vec3& shift) {
      const double radius = bed.radius[id] * (1.0 - 2.0 * setbackShares[bed.soilOf(id)]);
      const Vec3 centre = bed.position[id] + shift;
      if (lower.z() - centre.z() - radius >= least) return;
      least = std::min(least, verticalClearance(centre, radius, t));
    });
  }
  return least;
}

}  // namespace holdground
