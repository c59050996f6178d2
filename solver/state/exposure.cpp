#include "solver/state/exposure.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace holdground {
namespace {

/// Grains sorted into cells at least as wide as the farthest a shelter can be.
class Cells {
 public:
  Cells(const Domain& domain, const std::vector<Vec3>& positions, double reach)
      : domain_(domain), lowest_(positions.front().z()) {
    double highest = lowest_;
    for (const Vec3& p : positions) {
      lowest_ = std::min(lowest_, p.z());
      highest = std::max(highest, p.z());
    }
    const auto cells = [&](double length) {
      return static_cast<int>(std::clamp(std::floor(length / reach), 1.0, kMostPerSide));
    };
    count_[0] = cells(domain.lengthX);
    count_[1] = cells(domain.lengthY);
    count_[2] = cells(highest - lowest_);
    edge_ = {domain.lengthX / count_[0], domain.lengthY / count_[1],
             std::max(reach, (highest - lowest_) / count_[2])};
    sort(positions);
  }

  /// Calls visit(grain) for those in the cells around and above a place, until it returns true.
  template <typename Visit>
  bool anyAbove(const Vec3& place, const Visit& visit) const {
    const Index at = indexOf(place);
    for (int z = at[2]; z <= std::min(at[2] + 1, count_[2] - 1); ++z)
      for (int y = at[1] - 1; y <= at[1] + 1; ++y)
        for (int x = at[0] - 1; x <= at[0] + 1; ++x) {
          const std::size_t cell = cellAt({wrapped(x, count_[0]), wrapped(y, count_[1]), z});
          for (std::uint32_t k = starts_[cell]; k < starts_[cell + 1]; ++k)
            if (visit(order_[k])) return true;
        }
    return false;
  }

 private:
  using Index = std::array<int, 3>;
  static constexpr double kMostPerSide = 1000.0;

  static int wrapped(int k, int count) { return ((k % count) + count) % count; }

  Index indexOf(const Vec3& p) const {
    const auto at = [](double place, double edge) {
      return static_cast<int>(std::floor(place / edge));
    };
    return {wrapped(at(p.x() + 0.5 * domain_.lengthX, edge_.x()), count_[0]),
            wrapped(at(p.y() + 0.5 * domain_.lengthY, edge_.y()), count_[1]),
            std::clamp(at(p.z() - lowest_, edge_.z()), 0, count_[2] - 1)};
  }

  std::size_t cellAt(const Index& at) const {
    return (static_cast<std::size_t>(at[2]) * static_cast<std::size_t>(count_[1]) +
            static_cast<std::size_t>(at[1])) *
               static_cast<std::size_t>(count_[0]) +
           static_cast<std::size_t>(at[0]);
  }

  void sort(const std::vector<Vec3>& positions) {
    const std::size_t cells = cellAt({count_[0] - 1, count_[1] - 1, count_[2] - 1}) + 1;
    starts_.assign(cells + 1, 0);
    std::vector<std::uint32_t> cellOf(positions.size());
    for (std::size_t k = 0; k < positions.size(); ++k) {
      cellOf[k] = static_cast<std::uint32_t>(cellAt(indexOf(positions[k])));
      ++starts_[cellOf[k] + 1];
    }
    for (std::size_t cell = 0; cell < cells; ++cell) starts_[cell + 1] += starts_[cell];
    std::vector<std::uint32_t> next(starts_.begin(), starts_.end() - 1);
    order_.resize(positions.size());
    for (std::size_t k = 0; k < positions.size(); ++k)
      order_[next[cellOf[k]]++] = static_cast<std::uint32_t>(k);
  }

  Domain domain_;
  double lowest_;  // centre of a grain [m]
  Index count_{};
  Vec3 edge_;
  std::vector<std::uint32_t> starts_, order_;
};

}  // namespace

std::vector<std::uint8_t> exposedGrains(const Domain& domain, const std::vector<Vec3>& positions,
                                        const std::vector<double>& radii) {
  std::vector<std::uint8_t> exposed(positions.size(), 1);
  if (positions.empty()) return exposed;
  const double largest = *std::max_element(radii.begin(), radii.end());
  const Cells cells(domain, positions, (1.0 + kShelterGap) * 2.0 * largest);
#pragma omp parallel for schedule(dynamic, 1024)
  for (std::size_t k = 0; k < positions.size(); ++k) {
    const bool sheltered = cells.anyAbove(positions[k], [&](std::uint32_t other) {
      Vec3 d = positions[other] - positions[k];
      if (!(d.z() > 0.0)) return false;
      d.x() -= domain.lengthX * std::round(d.x() / domain.lengthX);
      d.y() -= domain.lengthY * std::round(d.y() / domain.lengthY);
      const double beside = d.x() * d.x() + d.y() * d.y();
      const double reach = (1.0 + kShelterGap) * (radii[k] + radii[other]);
      return d.z() * d.z() >= beside && d.z() * d.z() + beside <= reach * reach;
    });
    if (sheltered) exposed[k] = 0;
  }
  return exposed;
}

}  // namespace holdground
