#include "solver/kernel_reference/cell_grid.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace holdground {
namespace {

/// Spreads the bits of a number so that two zero bits follow each.
std::uint64_t spreadBits(std::uint64_t value) {
  std::uint64_t spread = 0;
  for (int bit = 0; bit < 21; ++bit) spread |= ((value >> bit) & 1) << (3 * bit);
  return spread;
}

int cellsAlong(double length, double edge) {
  return std::max(1, static_cast<int>(std::floor(length / edge)));
}

}  // namespace

CellGrid::CellGrid(const Domain& domain, double lowerZ, double upperZ, double smallestEdge,
                   std::size_t grains)
    : lower_(-0.5 * domain.lengthX, -0.5 * domain.lengthY, lowerZ) {
  const Vec3 size(domain.lengthX, domain.lengthY, std::max(upperZ - lowerZ, smallestEdge));
  const double mostCells = 4.0 * static_cast<double>(grains) + 64.0;
  double edge = smallestEdge;
  const auto cells = [&] {
    return (std::floor(size.x() / edge) + 1.0) * (std::floor(size.y() / edge) + 1.0) *
           (std::floor(size.z() / edge) + 1.0);
  };
  while (cells() > mostCells) edge *= 1.2;
  nx_ = cellsAlong(size.x(), edge);
  ny_ = cellsAlong(size.y(), edge);
  nz_ = cellsAlong(size.z(), edge);
  inverseEdge_ = Vec3(nx_ / size.x(), ny_ / size.y(), nz_ / size.z());

  const std::size_t count = static_cast<std::size_t>(nx_) * ny_ * nz_;
  std::vector<std::uint64_t> code(count);
  for (int z = 0; z < nz_; ++z)
    for (int y = 0; y < ny_; ++y)
      for (int x = 0; x < nx_; ++x)
        code[(static_cast<std::size_t>(z) * ny_ + y) * nx_ + x] =
            spreadBits(x) | (spreadBits(y) << 1) | (spreadBits(z) << 2);
  std::vector<std::uint32_t> byCode(count);
  std::iota(byCode.begin(), byCode.end(), 0u);
  std::sort(byCode.begin(), byCode.end(),
            [&](std::uint32_t a, std::uint32_t b) { return code[a] < code[b]; });
  rank_.resize(count);
  for (std::size_t rank = 0; rank < count; ++rank)
    rank_[byCode[rank]] = static_cast<std::uint32_t>(rank);
  starts_.assign(count + 1, 0);
}

CellGrid::Index CellGrid::indexOf(const Vec3& position) const {
  const Vec3 cell = (position - lower_).cwiseProduct(inverseEdge_);
  const auto whole = [](double value) { return static_cast<int>(std::floor(value)); };
  return {whole(cell.x()), whole(cell.y()), std::clamp(whole(cell.z()), 0, nz_ - 1)};
}

std::vector<std::uint32_t> CellGrid::sort(const std::vector<Vec3>& positions) {
  std::vector<std::uint32_t> cell(positions.size());
  std::fill(starts_.begin(), starts_.end(), 0u);
  for (std::size_t k = 0; k < positions.size(); ++k) {
    const Index at = indexOf(positions[k]);
    cell[k] = rankOf(modulo(at.x, nx_), modulo(at.y, ny_), at.z);
    ++starts_[cell[k] + 1];
  }
  std::partial_sum(starts_.begin(), starts_.end(), starts_.begin());
  std::vector<std::uint32_t> next(starts_.begin(), starts_.end() - 1);
  std::vector<std::uint32_t> order(positions.size());
  for (std::size_t k = 0; k < positions.size(); ++k)
    order[next[cell[k]]++] = static_cast<std::uint32_t>(k);
  return order;
}

}  // namespace holdground
