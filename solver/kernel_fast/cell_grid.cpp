#include "solver/kernel_fast/cell_grid.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace holdground::fast {

namespace {

/// Spreads the low 21 bits of x three apart.
std::uint64_t spread(std::uint64_t x) {
  x &= 0x1fffff;
  x = (x | x << 32) & 0x1f00000000ffffull;
  x = (x | x << 16) & 0x1f0000ff0000ffull;
  x = (x | x << 8) & 0x100f00f00f00f00full;
  x = (x | x << 4) & 0x10c30c30c30c30c3ull;
  x = (x | x << 2) & 0x1249249249249249ull;
  return x;
}

}  // namespace

CellGrid::CellGrid(std::size_t count, const float unit[3], float reach) {
  constexpr double kSpan = 4294967296.0;  // domain units
  double width = reach;
  // z spans twice the domain's height and only its middle half is used: allow for that.
  const double allowed = 16.0 * static_cast<double>(count) + 512.0;
  for (;;) {
    double total = 1.0;
    for (int k = 0; k < 3; ++k) {
      const double n = std::floor(kSpan * static_cast<double>(unit[k]) / width);
      cells_[k] = static_cast<int>(std::clamp(n, 1.0, 2097151.0));
      total *= cells_[k];
    }
    if (total <= allowed) break;
    width *= 1.26;
  }
}

std::vector<std::uint32_t> CellGrid::mortonOrder(const PackedGrain* grains,
                                                 std::size_t count) const {
  std::vector<std::uint64_t> codes(count);
  for (std::size_t slot = 0; slot < count; ++slot) {
    const PackedGrain& g = grains[slot];
    codes[slot] = spread(static_cast<std::uint64_t>(cellX(g))) |
                  spread(static_cast<std::uint64_t>(cellY(g))) << 1 |
                  spread(static_cast<std::uint64_t>(cellZ(g))) << 2;
  }
  std::vector<std::uint32_t> order(count);
  std::iota(order.begin(), order.end(), 0u);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::uint32_t a, std::uint32_t b) { return codes[a] < codes[b]; });
  return order;
}

std::vector<float> CellGrid::largestAlong(int axis, const std::vector<float>& of) const {
  const int n = cells_[axis];
  const int stride = axis == 0 ? 1 : axis == 1 ? cells_[0] : cells_[0] * cells_[1];
  const bool periodic = axis < 2;
  std::vector<float> result(of.size());
#pragma omp parallel for
  for (std::size_t cell = 0; cell < of.size(); ++cell) {
    const int place = static_cast<int>(cell) / stride % n;
    const auto at = [&](int other) {
      return of[static_cast<std::size_t>(static_cast<int>(cell) + (other - place) * stride)];
    };
    const int before = periodic ? wrap(place - 1, n) : std::max(0, place - 1);
    const int after = periodic ? wrap(place + 1, n) : std::min(n - 1, place + 1);
    result[cell] = std::max({of[cell], at(before), at(after)});
  }
  return result;
}

void CellGrid::fill(const PackedGrain* grains, const float* skins, std::size_t count,
                    float stretch) {
  const std::size_t cells = static_cast<std::size_t>(cells_[0]) *
                            static_cast<std::size_t>(cells_[1]) *
                            static_cast<std::size_t>(cells_[2]);
  starts_.assign(cells + 1, 0);
  slots_.resize(count);
  for (auto* positions : {&x_, &y_, &z_}) positions->resize(count);
  reach_.resize(count);
  std::vector<std::uint32_t> cellOfSlot(count);
  for (std::size_t slot = 0; slot < count; ++slot) {
    cellOfSlot[slot] = static_cast<std::uint32_t>(cellOf(grains[slot]));
    ++starts_[cellOfSlot[slot] + 1];
  }
  for (std::size_t c = 0; c < cells; ++c) starts_[c + 1] += starts_[c];
  std::vector<std::uint32_t> next(starts_.begin(), starts_.end() - 1);
  for (std::size_t slot = 0; slot < count; ++slot) {
    const std::uint32_t place = next[cellOfSlot[slot]]++;
    const PackedGrain& g = grains[slot];
    slots_[place] = static_cast<std::uint32_t>(slot);
    x_[place] = g.position[0];
    y_[place] = g.position[1];
    z_[place] = g.position[2];
    reach_[place] = stretch * g.radius + (skins != nullptr ? skins[slot] : 0.0f);
  }
}

}  // namespace holdground::fast
