// Lays copies of a tile, and finds the surface of a bed.
#include <algorithm>
#include <cmath>

#include "solver/bed/tile.hpp"
#include "solver/state/height_map.hpp"

namespace holdground {

namespace {

/// Whole periods to add to `from` to bring it next to `to`.
int periodsTo(double from, double to, double period) {
  return static_cast<int>(std::lround((to - from) / period));
}

int wrapped(int k, int n) { return ((k % n) + n) % n; }

}  // namespace

GrainSet layTiles(const Tile& tile, int copiesX, int copiesY) {
  const GrainSet& one = tile.grains;
  const std::size_t count = one.size();
  GrainSet bed;
  bed.domain = one.domain;
  bed.domain.lengthX *= copiesX;
  bed.domain.lengthY *= copiesY;
  for (int cy = 0; cy < copiesY; ++cy)
    for (int cx = 0; cx < copiesX; ++cx) {
      const Vec3 shift((cx - 0.5 * (copiesX - 1)) * one.domain.lengthX,
                       (cy - 0.5 * (copiesY - 1)) * one.domain.lengthY, 0.0);
      for (std::size_t k = 0; k < count; ++k) bed.position.push_back(one.position[k] + shift);
      bed.velocity.insert(bed.velocity.end(), one.velocity.begin(), one.velocity.end());
      bed.spin.insert(bed.spin.end(), one.spin.begin(), one.spin.end());
      bed.radius.insert(bed.radius.end(), one.radius.begin(), one.radius.end());
      bed.frozen.insert(bed.frozen.end(), one.frozen.begin(), one.frozen.end());
      bed.soil.insert(bed.soil.end(), one.soil.begin(), one.soil.end());
      for (Stone stone : one.stones) {
        stone.firstSphere +=
            static_cast<std::uint32_t>(count * static_cast<std::size_t>(cy * copiesX + cx));
        stone.centreOfMass += shift;
        bed.stones.push_back(std::move(stone));
      }
    }
  bed.contacts.reserve(one.contacts.size() * static_cast<std::size_t>(copiesX * copiesY));
  for (int cy = 0; cy < copiesY; ++cy)
    for (int cx = 0; cx < copiesX; ++cx)
      for (const ContactMemory& c : one.contacts) {
        // A contact across the tile's side joins grain a of this copy to grain b of the next.
        const int nextX = wrapped(
            cx + periodsTo(one.position[c.b].x(), one.position[c.a].x(), one.domain.lengthX),
            copiesX);
        const int nextY = wrapped(
            cy + periodsTo(one.position[c.b].y(), one.position[c.a].y(), one.domain.lengthY),
            copiesY);
        ContactMemory copy = c;
        copy.a =
            static_cast<std::uint32_t>(static_cast<std::size_t>(cy * copiesX + cx) * count + c.a);
        copy.b = static_cast<std::uint32_t>(
            static_cast<std::size_t>(nextY * copiesX + nextX) * count + c.b);
        bed.contacts.push_back(copy);
      }
  return bed;
}

void setOrigin(GrainSet& bed, double x, double y) {
  const Vec3 way(-x, -y, 0.0);
  const auto wrap = [&](Vec3& place) {
    place.x() -= bed.domain.lengthX * std::round(place.x() / bed.domain.lengthX);
    place.y() -= bed.domain.lengthY * std::round(place.y() / bed.domain.lengthY);
  };
  for (Vec3& place : bed.position) wrap(place += way);
  for (Stone& stone : bed.stones) wrap(stone.centreOfMass += way);
}

double surfaceLevel(const GrainSet& set) {
  double sum = 0.0;
  std::size_t seen = 0;
  for (const double h : heightMap(set).height) {
    if (!std::isfinite(h)) continue;
    sum += h;
    ++seen;
  }
  return sum / static_cast<double>(std::max<std::size_t>(1, seen));
}

}  // namespace holdground
