#include "solver/state/exposure.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace holdground {
namespace {

/// What the search reads of a grain: half a cache line.
struct Ball {
  double x, y, z, radius;  // [m]
  std::uint32_t index;
};

/// Grains in the order of their cells, which are at least as wide as the farthest a shelter can be.
class Cells {
 public:
  Cells(const Domain& domain, const std::vector<Vec3>& positions, const std::vector<double>& radii)
      : domain_(domain), lowest_(positions.front().z()) {
    const double largest = *std::max_element(radii.begin(), radii.end());
    const double reach = (1.0 + kShelterGap) * 2.0 * largest;
    double highest = lowest_;
    for (const Vec3& p : positions) {
      lowest_ = std::min(lowest_, p.z());
      highest = std::max(highest, p.z());
    }
    const auto cells = [&](double length) {
      return static_cast<int>(std::clamp(std::floor(length / reach), 1.0, kMostPerSide));
    };
    count_ = {cells(domain.lengthX), cells(domain.lengthY), cells(highest - lowest_)};
    edge_ = {domain.lengthX / count_[0], domain.lengthY / count_[1],
             std::max(reach, (highest - lowest_) / count_[2])};
    sort(positions, radii);
  }

  std::size_t cells() const { return starts_.size() - 1; }

  /// Calls visit(grain, sheltered) for the grains of one cell.
  template <typename Visit>
  void visitCell(std::size_t cell, const Visit& visit) const {
    if (starts_[cell] == starts_[cell + 1]) return;
    const Near near = around(cell);
    for (std::uint32_t k = starts_[cell]; k < starts_[cell + 1]; ++k)
      visit(balls_[k], isSheltered(balls_[k], near));
  }

 private:
  using Index = std::array<int, 3>;
  /// The cells around one and above it, straight above first: most shelters stand there.
  struct Near {
    std::array<std::size_t, 18> cells;
    int count = 0;
  };
  static constexpr double kMostPerSide = 1000.0;

  static int wrapped(int k, int count) { return ((k % count) + count) % count; }

  Near around(std::size_t cell) const {
    const auto flat = static_cast<int>(cell);
    const Index at = {flat % count_[0], flat / count_[0] % count_[1],
                      flat / (count_[0] * count_[1])};
    Near near;
    for (const int z : {at[2] + 1, at[2]}) {
      if (z >= count_[2]) continue;
      for (const int y : {0, -1, 1})
        for (const int x : {0, -1, 1})
          near.cells[static_cast<std::size_t>(near.count++)] =
              cellAt({wrapped(at[0] + x, count_[0]), wrapped(at[1] + y, count_[1]), z});
    }
    return near;
  }

  bool isSheltered(const Ball& ball, const Near& near) const {
    const double halfX = 0.5 * domain_.lengthX, halfY = 0.5 * domain_.lengthY;
    for (int n = 0; n < near.count; ++n) {
      const std::size_t cell = near.cells[static_cast<std::size_t>(n)];
      for (std::uint32_t k = starts_[cell]; k < starts_[cell + 1]; ++k) {
        const Ball& other = balls_[k];
        const double up = other.z - ball.z;
        double x = std::abs(other.x - ball.x), y = std::abs(other.y - ball.y);
        if (x > halfX) x = domain_.lengthX - x;
        if (y > halfY) y = domain_.lengthY - y;
        const double beside = x * x + y * y;
        const double reach = (1.0 + kShelterGap) * (ball.radius + other.radius);
        if (up > 0.0 && up * up >= beside && up * up + beside <= reach * reach) return true;
      }
    }
    return false;
  }

  std::size_t cellOf(const Vec3& p) const {
    const auto at = [](double place, double edge) {
      return static_cast<int>(std::floor(place / edge));
    };
    return cellAt({wrapped(at(p.x() + 0.5 * domain_.lengthX, edge_.x()), count_[0]),
                   wrapped(at(p.y() + 0.5 * domain_.lengthY, edge_.y()), count_[1]),
                   std::clamp(at(p.z() - lowest_, edge_.z()), 0, count_[2] - 1)});
  }

  std::size_t cellAt(const Index& at) const {
    return static_cast<std::size_t>((at[2] * count_[1] + at[1]) * count_[0] + at[0]);
  }

  void sort(const std::vector<Vec3>& positions, const std::vector<double>& radii) {
    starts_.assign(cellAt({count_[0] - 1, count_[1] - 1, count_[2] - 1}) + 2, 0);
    std::vector<std::uint32_t> cellOfGrain(positions.size());
    for (std::size_t k = 0; k < positions.size(); ++k) {
      cellOfGrain[k] = static_cast<std::uint32_t>(cellOf(positions[k]));
      ++starts_[cellOfGrain[k] + 1];
    }
    std::partial_sum(starts_.begin(), starts_.end(), starts_.begin());
    std::vector<std::uint32_t> next(starts_.begin(), starts_.end() - 1);
    balls_.resize(positions.size());
    for (std::size_t k = 0; k < positions.size(); ++k) {
      const Vec3& p = positions[k];
      balls_[next[cellOfGrain[k]]++] = {p.x(), p.y(), p.z(), radii[k],
                                        static_cast<std::uint32_t>(k)};
    }
  }

  Domain domain_;
  double lowest_;  // centre of a grain [m]
  Index count_{};
  Vec3 edge_;
  std::vector<std::uint32_t> starts_;
  std::vector<Ball> balls_;
};

}  // namespace

std::vector<std::uint8_t> exposedGrains(const Domain& domain, const std::vector<Vec3>& positions,
                                        const std::vector<double>& radii) {
  std::vector<std::uint8_t> exposed(positions.size(), 1);
  if (positions.empty()) return exposed;
  const Cells cells(domain, positions, radii);
#pragma omp parallel for schedule(dynamic, 256)
  for (std::size_t cell = 0; cell < cells.cells(); ++cell)
    cells.visitCell(cell, [&](const Ball& ball, bool sheltered) {
      if (sheltered) exposed[ball.index] = 0;
    });
  return exposed;
}

}  // namespace holdground
