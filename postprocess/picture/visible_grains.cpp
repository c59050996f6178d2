#include "postprocess/picture/visible_grains.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <utility>

namespace holdground {
namespace {

constexpr std::int32_t kNobody = -1;

// A stretch of a line of sight, measured toward the camera.
struct Stretch {
  double near, far;
};

// Cuts a stretch of the line `point + s * along` to the side of a plane where `normal` does not
// point to.
void cutBy(Stretch& stretch, const Vec3& point, const Vec3& along, const Vec3& normal,
           const Vec3& onPlane) {
  const double slope = normal.dot(along);
  const double outside = normal.dot(point - onPlane);
  if (std::abs(slope) < 1e-9) {
    if (outside > 0.0) stretch.near = stretch.far - 1.0;
  } else if (slope > 0.0) {
    stretch.near = std::min(stretch.near, -outside / slope);
  } else {
    stretch.far = std::max(stretch.far, -outside / slope);
  }
}

// What one line of sight meets first and next. The next ones close the chinks between the first
// that are narrower than the spacing of the lines.
struct Sight {
  static constexpr int kDepth = 3;
  std::array<double, kDepth> near;  // how near the camera, nearest first
  std::array<std::int32_t, kDepth> grain;

  void meet(double how, std::int32_t index) {
    int place = kDepth - 1;
    for (; place > 0 && near[place - 1] < how; --place) {
      near[place] = near[place - 1];
      grain[place] = grain[place - 1];
    }
    near[place] = how;
    grain[place] = index;
  }
};

struct SightGrid {
  double fromU = 0.0, fromV = 0.0;
  double spacing = 1.0;
  int columns = 0, rows = 0;
  std::vector<Sight> lines;
};

SightGrid makeGrid(const std::vector<SeenGrain>& grains, const SideView& view, double spacing) {
  double low[2], high[2];
  for (int k : {0, 1}) {
    low[k] = std::numeric_limits<double>::infinity();
    high[k] = -std::numeric_limits<double>::infinity();
  }
  for (const SeenGrain& grain : grains) {
    const double at[2] = {grain.position.dot(view.right()), grain.position.dot(view.up())};
    for (int k : {0, 1}) {
      low[k] = std::min(low[k], at[k] - grain.radius);
      high[k] = std::max(high[k], at[k] + grain.radius);
    }
  }
  SightGrid grid{low[0], low[1], spacing, 0, 0, {}};
  grid.columns = 1 + static_cast<int>((high[0] - low[0]) / spacing);
  grid.rows = 1 + static_cast<int>((high[1] - low[1]) / spacing);
  Sight nothing;
  nothing.near.fill(-std::numeric_limits<double>::infinity());
  nothing.grain.fill(kNobody);
  grid.lines.assign(static_cast<std::size_t>(grid.columns) * grid.rows, nothing);
  return grid;
}

void lookAt(SightGrid& grid, const SeenGrain& grain, std::int32_t index, const BedWindow& window,
            const SideView& view) {
  const Vec3 right = view.right(), up = view.up(), toward = view.towardCamera();
  const double u = grain.position.dot(right), v = grain.position.dot(up);
  const double depth = grain.position.dot(toward);
  const auto first = [&](double at, double from) {
    return std::max(0, static_cast<int>(std::ceil((at - grain.radius - from) / grid.spacing)));
  };
  const auto last = [&](double at, double from, int count) {
    return std::min(count - 1,
                    static_cast<int>(std::floor((at + grain.radius - from) / grid.spacing)));
  };
  for (int row = first(v, grid.fromV); row <= last(v, grid.fromV, grid.rows); ++row) {
    for (int column = first(u, grid.fromU); column <= last(u, grid.fromU, grid.columns); ++column) {
      const double du = grid.fromU + column * grid.spacing - u;
      const double dv = grid.fromV + row * grid.spacing - v;
      Sight& sight = grid.lines[static_cast<std::size_t>(row) * grid.columns + column];
      if (depth + grain.radius <= sight.near.back()) continue;
      const double inside = grain.radius * grain.radius - du * du - dv * dv;
      if (inside < 0.0) continue;
      const double half = std::sqrt(inside);
      if (depth + half <= sight.near.back()) continue;
      const Vec3 middle = grain.position + du * right + dv * up;
      Stretch stretch{half, -half};
      cutBy(stretch, middle, toward, -Vec3::UnitY(), Vec3(0.0, window.cutY, 0.0));
      cutBy(stretch, middle, toward, -Vec3::UnitX(), Vec3(window.fromX, 0.0, 0.0));
      cutBy(stretch, middle, toward, Vec3::UnitX(), Vec3(window.toX, 0.0, 0.0));
      if (stretch.near <= stretch.far || depth + stretch.near <= sight.near.back()) continue;
      sight.meet(depth + stretch.near, index);
    }
  }
}

}  // namespace

std::vector<SeenGrain> visibleGrains(const std::vector<SeenGrain>& grains, const BedWindow& window,
                                     const SideView& view, double spacing) {
  if (grains.empty()) return {};
  SightGrid grid = makeGrid(grains, view, spacing);
  // From the front, so that most of what lies behind is passed over at a glance.
  const Vec3 toward = view.towardCamera();
  std::vector<std::pair<double, std::int32_t>> order;
  for (std::size_t k = 0; k < grains.size(); ++k) {
    order.emplace_back(-grains[k].position.dot(toward), static_cast<std::int32_t>(k));
  }
  std::sort(order.begin(), order.end());
  for (const auto& [behind, k] : order) {
    lookAt(grid, grains[static_cast<std::size_t>(k)], k, window, view);
  }
  std::vector<std::uint8_t> seen(grains.size(), 0);
  for (const Sight& sight : grid.lines) {
    for (const std::int32_t index : sight.grain) {
      if (index != kNobody) seen[static_cast<std::size_t>(index)] = 1;
    }
  }
  std::vector<SeenGrain> visible;
  for (std::size_t k = 0; k < grains.size(); ++k) {
    if (seen[k] != 0) visible.push_back(grains[k]);
  }
  return visible;
}

}  // namespace holdground
