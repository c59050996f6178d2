#include "scenarios/pattern/plate_loft.hpp"

#include <cassert>

namespace holdground {

namespace {

class Loft {
 public:
  Loft(const PointGrid& upper, Diagonals diagonals)
      : diagonals_(diagonals),
        rows_(upper.rows),
        columns_(upper.columns),
        lowerStart_(upper.points.size()) {}

  std::uint32_t upper(int row, int column) const {
    return static_cast<std::uint32_t>(row * columns_ + column);
  }
  std::uint32_t lower(int row, int column) const {
    return static_cast<std::uint32_t>(lowerStart_) + upper(row, column);
  }
  bool isMirrored(int column) const {
    return diagonals_ == Diagonals::kMirrored && 2 * column + 1 < columns_ - 1;
  }

  /// a, b, c, d counter-clockwise from outside, cut from a to c.
  void quad(std::uint32_t a, std::uint32_t b, std::uint32_t c, std::uint32_t d) {
    triangles.push_back({a, b, c});
    triangles.push_back({a, c, d});
  }

  void faces() {
    for (int r = 0; r + 1 < rows_; ++r) {
      for (int c = 0; c + 1 < columns_; ++c) {
        if (isMirrored(c)) {
          quad(upper(r, c), upper(r + 1, c), upper(r + 1, c + 1), upper(r, c + 1));
          quad(lower(r, c), lower(r, c + 1), lower(r + 1, c + 1), lower(r + 1, c));
        } else {
          quad(upper(r + 1, c), upper(r + 1, c + 1), upper(r, c + 1), upper(r, c));
          quad(lower(r, c + 1), lower(r + 1, c + 1), lower(r + 1, c), lower(r, c));
        }
      }
    }
  }

  void sides() {
    const int last = columns_ - 1;
    for (int r = 0; r + 1 < rows_; ++r) {
      quad(upper(r, 0), lower(r, 0), lower(r + 1, 0), upper(r + 1, 0));
      quad(upper(r, last), upper(r + 1, last), lower(r + 1, last), lower(r, last));
    }
  }

  void ends() {
    const int last = rows_ - 1;
    for (int c = 0; c + 1 < columns_; ++c) {
      if (isMirrored(c)) {  // cut from the lower outer corner to the upper inner one
        quad(lower(0, c), upper(0, c), upper(0, c + 1), lower(0, c + 1));
        quad(lower(last, c), lower(last, c + 1), upper(last, c + 1), upper(last, c));
      } else {
        quad(upper(0, c), upper(0, c + 1), lower(0, c + 1), lower(0, c));
        quad(upper(last, c), lower(last, c), lower(last, c + 1), upper(last, c + 1));
      }
    }
  }

  std::vector<std::array<std::uint32_t, 3>> triangles;

 private:
  Diagonals diagonals_;
  int rows_, columns_;
  std::size_t lowerStart_;
};

}  // namespace

TriangleMesh loftPlate(const PointGrid& upper, const PointGrid& lower, Diagonals diagonals) {
  assert(upper.rows >= 2 && upper.columns >= 2);
  assert(upper.rows == lower.rows && upper.columns == lower.columns);
  Loft loft(upper, diagonals);
  loft.faces();
  loft.sides();
  loft.ends();
  TriangleMesh mesh;
  mesh.vertices = upper.points;
  mesh.vertices.insert(mesh.vertices.end(), lower.points.begin(), lower.points.end());
  mesh.triangles = std::move(loft.triangles);
  return mesh;
}

}  // namespace holdground
