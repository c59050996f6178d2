// The grains of a tile before they settle.
#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/bed/stone_shape.hpp"
#include "solver/bed/tile.hpp"
#include "solver/core/random.hpp"

namespace holdground {

namespace {

enum Stream : std::uint64_t { kDiameters, kOrder, kJitter, kVelocities, kShapes, kTurns, kPlaces };

constexpr int kTries = 4;       // places a stone is tried at
constexpr double kGap = 0.02;   // left between stones, over the smallest diameter
constexpr double kShake = 0.1;  // speeds that grains start with, to break the order [m/s]

/// Diameter at a uniform share u of the grading. Even over mass means dN/dd ~ d^-3.
double diameterAt(const TileRecipe& recipe, double u) {
  const double a = recipe.smallestDiameter, b = recipe.largestDiameter;
  if (a == b) return a;
  if (recipe.gradingBasis == GradingBasis::kNumber) return a + u * (b - a);
  const double ia = 1.0 / (a * a), ib = 1.0 / (b * b);
  return 1.0 / std::sqrt(ia + u * (ib - ia));
}

/// Stones, or single grains as stones of one sphere, until their volume fills the bed.
std::vector<ShapedStone> drawStones(const TileRecipe& recipe) {
  const CounterRandom random(recipe.seed, kDiameters), shapes(recipe.seed, kShapes);
  const double wanted = kLooseFraction * recipe.length * recipe.width * recipe.depth;
  std::vector<ShapedStone> stones;
  for (double filled = 0.0; filled < wanted;) {
    const double diameter = diameterAt(recipe, random.uniform(stones.size()));
    stones.push_back(
        makeStone(recipe.shape, diameter, recipe.material.density, shapes, stones.size()));
    filled += stones.back().stone.mass / recipe.material.density;
  }
  return stones;
}

void add(GrainSet& set, const Vec3& position, double radius, const Vec3& velocity, bool held) {
  set.position.push_back(position);
  set.velocity.push_back(velocity);
  set.spin.push_back(Vec3::Zero());
  set.radius.push_back(radius);
  set.frozen.push_back(held ? 1 : 0);
}

/// The ground so far, seen from above: how high a sphere that comes down at (x, y) stops.
class Pile {
 public:
  Pile(const TileRecipe& recipe, double largestRadius)
      : length_(recipe.length, recipe.width), largest_(largestRadius) {
    for (int axis = 0; axis < 2; ++axis)
      cells_[axis] = std::max(1, static_cast<int>(length_[axis] / (2.0 * largestRadius)));
    columns_.resize(static_cast<std::size_t>(cells_[0] * cells_[1]));
  }

  void put(const Vec3& centre, double radius) {
    columns_[column(cell(centre.x(), 0), cell(centre.y(), 1))].push_back({centre, radius});
  }

  /// Lowest height of a centre over all it would touch.
  double rest(double x, double y, double radius) const {
    double height = -std::numeric_limits<double>::infinity();
    const int reach[2] = {cellsWithin(radius + largest_, 0), cellsWithin(radius + largest_, 1)};
    for (int iy = -reach[1]; iy <= reach[1]; ++iy)
      for (int ix = -reach[0]; ix <= reach[0]; ++ix)
        for (const Sphere& s : columns_[column(cell(x, 0) + ix, cell(y, 1) + iy)]) {
          const double dx = std::remainder(x - s.centre.x(), length_[0]);
          const double dy = std::remainder(y - s.centre.y(), length_[1]);
          const double sum = radius + s.radius, under = sum * sum - dx * dx - dy * dy;
          if (under > 0.0) height = std::max(height, s.centre.z() + std::sqrt(under));
        }
    return height;
  }

 private:
  struct Sphere {
    Vec3 centre;
    double radius;
  };

  int cell(double place, int axis) const {
    return static_cast<int>(std::floor((place / length_[axis] + 0.5) * cells_[axis]));
  }
  int cellsWithin(double distance, int axis) const {
    return std::min(1 + static_cast<int>(distance * cells_[axis] / length_[axis]),
                    (cells_[axis] - 1) / 2 + 1);
  }
  std::size_t column(int ix, int iy) const {
    const auto wrap = [](int k, int n) { return ((k % n) + n) % n; };
    return static_cast<std::size_t>(wrap(iy, cells_[1]) * cells_[0] + wrap(ix, cells_[0]));
  }

  Eigen::Vector2d length_;
  double largest_;
  int cells_[2];
  std::vector<std::vector<Sphere>> columns_;
};

/// Stones let down one by one, each where it comes to lie lowest of a few places, near to each
/// other but not touching: tall columns of loose stones would take long to fall.
void stackStones(const TileRecipe& recipe, GrainSet& set) {
  const std::vector<ShapedStone> stones = drawStones(recipe);
  const CounterRandom places(recipe.seed, kPlaces), turns(recipe.seed, kTurns);
  double largest = 0.0;
  for (const ShapedStone& stone : stones)
    for (const double radius : stone.radii) largest = std::max(largest, radius);
  const double gap = kGap * recipe.smallestDiameter;
  Pile pile(recipe, largest + gap);
  for (std::size_t id = 0; id < set.size(); ++id)
    pile.put(set.position[id], set.radius[id] + 0.5 * gap);
  for (std::size_t k = 0; k < stones.size(); ++k) {
    Stone stone = stones[k].stone;
    stone.firstSphere = static_cast<std::uint32_t>(set.size());
    stone.orientation = randomOrientation(turns, k);
    Vec3 lowest(0.0, 0.0, std::numeric_limits<double>::infinity());
    for (int attempt = 0; attempt < kTries; ++attempt) {
      const auto draw = 2 * (kTries * k + static_cast<std::size_t>(attempt));
      Vec3 place(places.uniform(draw, -0.5 * recipe.length, 0.5 * recipe.length),
                 places.uniform(draw + 1, -0.5 * recipe.width, 0.5 * recipe.width),
                 -std::numeric_limits<double>::infinity());
      for (std::size_t s = 0; s < stone.places.size(); ++s) {
        const Vec3 arm = stone.orientation * stone.places[s];
        place.z() = std::max(place.z(), pile.rest(place.x() + arm.x(), place.y() + arm.y(),
                                                  stones[k].radii[s] + 0.5 * gap) -
                                            arm.z());
      }
      if (place.z() < lowest.z()) lowest = place;
    }
    stone.centreOfMass = lowest;
    for (std::size_t s = 0; s < stone.places.size(); ++s) {
      add(set, stone.sphere(s), stones[k].radii[s], Vec3::Zero(), false);
      pile.put(stone.sphere(s), stones[k].radii[s] + 0.5 * gap);
    }
    set.stones.push_back(std::move(stone));
  }
}

/// Single grains on a shaken lattice.
void hangGrains(const TileRecipe& recipe, GrainSet& set) {
  const std::vector<ShapedStone> grains = drawStones(recipe);
  const CounterRandom jitter(recipe.seed, kJitter), velocities(recipe.seed, kVelocities);
  const double pitch = 1.08 * recipe.largestDiameter;
  const int nx = std::max(1, static_cast<int>(recipe.length / pitch));
  const int ny = std::max(1, static_cast<int>(recipe.width / pitch));
  const double spare = 0.5 * (pitch - recipe.largestDiameter);
  for (std::size_t k = 0; k < grains.size(); ++k) {
    const int x = static_cast<int>(k % static_cast<std::size_t>(nx));
    const int y = static_cast<int>(k / static_cast<std::size_t>(nx)) % ny;
    const auto layer = static_cast<double>(k / static_cast<std::size_t>(nx * ny));
    const Vec3 shake(jitter.uniform(3 * k, -spare, spare), jitter.uniform(3 * k + 1, -spare, spare),
                     jitter.uniform(3 * k + 2, -spare, spare));
    Vec3 velocity;
    for (int axis = 0; axis < 3; ++axis)
      velocity[axis] = velocities.uniform(3 * k + static_cast<std::size_t>(axis), -kShake, kShake);
    add(set,
        Vec3(((x + 0.5) / nx - 0.5) * recipe.length, ((y + 0.5) / ny - 0.5) * recipe.width,
             recipe.largestDiameter + layer * pitch) +
            shake,
        grains[k].radii.front(), velocity, false);
  }
}

}  // namespace

GrainSet looseGrains(const TileRecipe& recipe) {
  GrainSet set;
  const double small = recipe.smallestDiameter;
  const int floorX = static_cast<int>(std::ceil(recipe.length / small));
  const int floorY = static_cast<int>(std::ceil(recipe.width / small));
  for (int y = 0; y < floorY; ++y)
    for (int x = 0; x < floorX; ++x)
      add(set,
          {((x + 0.5) / floorX - 0.5) * recipe.length, ((y + 0.5) / floorY - 0.5) * recipe.width,
           0.0},
          0.5 * small, Vec3::Zero(), true);
  recipe.shape == GrainShape::kSphere ? hangGrains(recipe, set) : stackStones(recipe, set);
  double top = set.position.back().z();
  for (const Stone& stone : set.stones) top = std::max(top, stone.centreOfMass.z());
  set.domain = {recipe.length, recipe.width, -recipe.largestDiameter,
                top + 2.0 * recipe.largestDiameter};
  return set;
}

GrainSet smallestGrain(const TileRecipe& recipe) {
  ShapedStone one = makeStone(recipe.shape, recipe.smallestDiameter, recipe.material.density,
                              CounterRandom(recipe.seed, kShapes), 0);
  GrainSet set;
  set.radius = one.radii;
  set.frozen.assign(one.radii.size(), 0);
  set.position = one.stone.places;
  if (recipe.shape != GrainShape::kSphere) set.stones = {std::move(one.stone)};
  return set;
}

}  // namespace holdground
