#include "postprocess/picture/visible_grains.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

namespace holdground {
namespace {

constexpr std::int32_t kNobody = -1;
constexpr int kRowsPerBand = 64;  // bands are looked at by different threads

// A stretch of a line of sight, in depths toward the camera.
struct Stretch {
  double near, far;
};

// What one line of sight meets first and next. The next ones close the chinks between the first
// that are narrower than the spacing of the lines.
struct Sight {
  static constexpr int kDepth = 2;
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

// A grain in the camera's axes.
struct Ball {
  double u, v;   // right, up
  double depth;  // toward the camera
  double radius;
  std::int32_t index;
};

// In the order in which the camera meets them, so that most of what lies behind is passed over at
// a glance.
std::vector<Ball> fromTheFront(const std::vector<SeenGrain>& grains, const SideView& view) {
  const Vec3 right = view.right(), up = view.up(), toward = view.towardCamera();
  std::vector<Ball> balls;
  balls.reserve(grains.size());
  for (std::size_t k = 0; k < grains.size(); ++k) {
    const Vec3& at = grains[k].position;
    balls.push_back({at.dot(right), at.dot(up), at.dot(toward), grains[k].radius,
                     static_cast<std::int32_t>(k)});
  }
  std::sort(balls.begin(), balls.end(), [](const Ball& a, const Ball& b) {
    return a.depth != b.depth ? a.depth > b.depth : a.index < b.index;
  });
  return balls;
}

SightGrid makeGrid(const std::vector<Ball>& balls, double spacing) {
  double lowU = HUGE_VAL, lowV = HUGE_VAL, highU = -HUGE_VAL, highV = -HUGE_VAL;
  for (const Ball& ball : balls) {
    lowU = std::min(lowU, ball.u - ball.radius);
    highU = std::max(highU, ball.u + ball.radius);
    lowV = std::min(lowV, ball.v - ball.radius);
    highV = std::max(highV, ball.v + ball.radius);
  }
  SightGrid grid{lowU, lowV, spacing, 0, 0, {}};
  grid.columns = 1 + static_cast<int>((highU - lowU) / spacing);
  grid.rows = 1 + static_cast<int>((highV - lowV) / spacing);
  Sight nothing;
  nothing.near.fill(-HUGE_VAL);
  nothing.grain.fill(kNobody);
  grid.lines.assign(static_cast<std::size_t>(grid.columns) * grid.rows, nothing);
  return grid;
}

// The faces of the window in the camera's axes: outside where normal . (u, v, depth) > offset.
struct Face {
  Vec3 normal;
  double offset;
};

std::array<Face, 3> facesOf(const BedWindow& window, const SideView& view) {
  const auto face = [&](const Vec3& outward, const Vec3& point) {
    return Face{
        Vec3(outward.dot(view.right()), outward.dot(view.up()), outward.dot(view.towardCamera())),
        outward.dot(point)};
  };
  return {face(-Vec3::UnitY(), Vec3(0.0, window.cutY, 0.0)),
          face(-Vec3::UnitX(), Vec3(window.fromX, 0.0, 0.0)),
          face(Vec3::UnitX(), Vec3(window.toX, 0.0, 0.0))};
}

// Cuts a stretch of the line of sight through (u, v) to the inner side of a face.
void cutBy(Stretch& stretch, double u, double v, const Face& face) {
  const double slope = face.normal.z();
  const double room = face.offset - face.normal.x() * u - face.normal.y() * v;
  if (std::abs(slope) < 1e-9) {
    if (room < 0.0) stretch.near = -HUGE_VAL;
  } else if (slope > 0.0) {
    stretch.near = std::min(stretch.near, room / slope);
  } else {
    stretch.far = std::max(stretch.far, room / slope);
  }
}

// Follows the lines of sight in rows fromRow .. toRow - 1 that meet a ball.
void lookAt(SightGrid& grid, const Ball& ball, const std::array<Face, 3>& faces, int fromRow,
            int toRow) {
  const auto first = [&](double at, double from) {
    return static_cast<int>(std::ceil((at - ball.radius - from) / grid.spacing));
  };
  const auto last = [&](double at, double from) {
    return static_cast<int>(std::floor((at + ball.radius - from) / grid.spacing));
  };
  const int lastRow = std::min(last(ball.v, grid.fromV), toRow - 1);
  const int firstColumn = std::max(first(ball.u, grid.fromU), 0);
  const int lastColumn = std::min(last(ball.u, grid.fromU), grid.columns - 1);
  for (int row = std::max(first(ball.v, grid.fromV), fromRow); row <= lastRow; ++row) {
    for (int column = firstColumn; column <= lastColumn; ++column) {
      Sight& sight = grid.lines[static_cast<std::size_t>(row) * grid.columns + column];
      if (ball.depth + ball.radius <= sight.near.back()) continue;
      const double u = grid.fromU + column * grid.spacing, v = grid.fromV + row * grid.spacing;
      const double inside =
          ball.radius * ball.radius - (u - ball.u) * (u - ball.u) - (v - ball.v) * (v - ball.v);
      if (inside < 0.0) continue;
      const double half = std::sqrt(inside);
      Stretch stretch{ball.depth + half, ball.depth - half};
      for (const Face& face : faces) cutBy(stretch, u, v, face);
      if (stretch.near > stretch.far && stretch.near > sight.near.back()) {
        sight.meet(stretch.near, ball.index);
      }
    }
  }
}

}  // namespace

std::vector<SeenGrain> visibleGrains(const std::vector<SeenGrain>& grains, const BedWindow& window,
                                     const SideView& view, double spacing) {
  if (grains.empty()) return {};
  const std::vector<Ball> balls = fromTheFront(grains, view);
  const std::array<Face, 3> faces = facesOf(window, view);
  SightGrid grid = makeGrid(balls, spacing);
  const int bands = (grid.rows + kRowsPerBand - 1) / kRowsPerBand;
#pragma omp parallel for schedule(dynamic)
  for (int band = 0; band < bands; ++band) {
    const int fromRow = band * kRowsPerBand;
    const int toRow = std::min(fromRow + kRowsPerBand, grid.rows);
    for (const Ball& ball : balls) lookAt(grid, ball, faces, fromRow, toRow);
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
