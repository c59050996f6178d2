// The grains of a tile before they settle.
#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

#include "solver/bed/stone_shape.hpp"
#include "solver/bed/tile.hpp"
#include "solver/core/random.hpp"

namespace holdground {

namespace {

enum Stream : std::uint64_t { kDiameters, kOrder, kJitter, kVelocities, kShapes, kTurns, kPlaces };

constexpr int kTries = 4;        // places a stone is tried at
constexpr double kGap = 0.02;    // left between stones, over the smallest diameter
constexpr double kShake = 0.1;   // speeds that grains start with, to break the order [m/s]
constexpr double kPitch = 1.08;  // of the lattice grains hang on, over the largest diameter

/// Diameter at a uniform share u of the grading. Even over mass means dN/dd ~ d^-3.
template <typename Grading>
double diameterAt(const Grading& recipe, double u) {
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
          const double dx = apart(x, s.centre.x(), 0), dy = apart(y, s.centre.y(), 1);
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

  /// Distance along an axis, round the sides; of places that lie up to half a tile outside.
  double apart(double a, double b, int axis) const {
    const double distance = std::abs(a - b);
    return distance > 0.5 * length_[axis] ? length_[axis] - distance : distance;
  }
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

/// Diameters of the grains of a stack, layer by layer from the bottom up, and how many each has.
struct StackGrains {
  std::vector<double> diameters;
  std::vector<std::size_t> counts;
};

StackGrains drawStack(const TileRecipe& recipe) {
  const CounterRandom random(recipe.seed, kDiameters);
  StackGrains grains;
  for (auto layer = recipe.layers.rbegin(); layer != recipe.layers.rend(); ++layer) {
    const double wanted = kLooseFraction * recipe.length * recipe.width * layer->thickness;
    const std::size_t before = grains.diameters.size();
    for (double filled = 0.0; filled < wanted;) {
      const double d = diameterAt(*layer, random.uniform(grains.diameters.size()));
      grains.diameters.push_back(d);
      filled += kPi / 6.0 * d * d * d;
    }
    grains.counts.push_back(grains.diameters.size() - before);
  }
  return grains;
}

/// Single grains on a shaken lattice, of a pitch for grains of up to `largest`, from a height on.
/// Returns the height on which more may be hung.
double hangGrains(const TileRecipe& recipe, std::span<const double> diameters, double largest,
                  double lowest, GrainSet& set, std::size_t drawn) {
  const CounterRandom jitter(recipe.seed, kJitter), velocities(recipe.seed, kVelocities);
  const double pitch = kPitch * largest;
  const int nx = std::max(1, static_cast<int>(recipe.length / pitch));
  const int ny = std::max(1, static_cast<int>(recipe.width / pitch));
  const double spare = 0.5 * (pitch - largest);
  double height = lowest;
  for (std::size_t n = 0; n < diameters.size(); ++n) {
    const std::size_t k = drawn + n;
    const int x = static_cast<int>(n % static_cast<std::size_t>(nx));
    const int y = static_cast<int>(n / static_cast<std::size_t>(nx)) % ny;
    const auto layer = static_cast<double>(n / static_cast<std::size_t>(nx * ny));
    const Vec3 shake(jitter.uniform(3 * k, -spare, spare), jitter.uniform(3 * k + 1, -spare, spare),
                     jitter.uniform(3 * k + 2, -spare, spare));
    Vec3 velocity;
    for (int axis = 0; axis < 3; ++axis)
      velocity[axis] = velocities.uniform(3 * k + static_cast<std::size_t>(axis), -kShake, kShake);
    height = lowest + layer * pitch;
    add(set,
        Vec3(((x + 0.5) / nx - 0.5) * recipe.length, ((y + 0.5) / ny - 0.5) * recipe.width,
             height) +
            shake,
        0.5 * diameters[n], velocity, false);
  }
  return height + 0.5 * pitch;
}

/// Single grains of one soil.
void hangSoil(const TileRecipe& recipe, GrainSet& set) {
  std::vector<double> diameters;
  for (const ShapedStone& grain : drawStones(recipe))
    diameters.push_back(2.0 * grain.radii.front());
  hangGrains(recipe, diameters, recipe.largestDiameter, recipe.largestDiameter, set, 0);
}

/// A stack from the bottom up; the floor is of its lowest soil.
void hangStack(const TileRecipe& recipe, GrainSet& set) {
  const StackGrains grains = drawStack(recipe);
  const std::size_t soils = recipe.layers.size();
  set.soil.assign(set.size(), static_cast<std::uint8_t>(soils - 1));
  double height = 0.0;
  std::size_t drawn = 0;
  for (std::size_t k = 0; k < soils; ++k) {
    const double largest = recipe.layers[soils - 1 - k].largestDiameter;
    height = hangGrains(recipe, std::span(grains.diameters).subspan(drawn, grains.counts[k]),
                        largest, std::max(height + 0.5 * kPitch * largest, largest), set, drawn);
    drawn += grains.counts[k];
    set.soil.resize(set.size(), static_cast<std::uint8_t>(soils - 1 - k));
  }
}

}  // namespace

GrainSet looseGrains(const TileRecipe& recipe) {
  GrainSet set;
  const double small =
      recipe.layers.empty() ? recipe.smallestDiameter : recipe.layers.back().smallestDiameter;
  const int floorX = static_cast<int>(std::ceil(recipe.length / small));
  const int floorY = static_cast<int>(std::ceil(recipe.width / small));
  for (int y = 0; y < floorY; ++y)
    for (int x = 0; x < floorX; ++x)
      add(set,
          {((x + 0.5) / floorX - 0.5) * recipe.length, ((y + 0.5) / floorY - 0.5) * recipe.width,
           0.0},
          0.5 * small, Vec3::Zero(), true);
  if (!recipe.layers.empty()) {
    hangStack(recipe, set);
  } else {
    recipe.shape == GrainShape::kSphere ? hangSoil(recipe, set) : stackStones(recipe, set);
  }
  double top = set.position.back().z();
  for (const Stone& stone : set.stones) top = std::max(top, stone.centreOfMass.z());
  set.domain = {recipe.length, recipe.width, -recipe.largestDiameter,
                top + 2.0 * recipe.largestDiameter};
  return set;
}

GrainSet smallestGrain(const TileRecipe& recipe) {
  if (!recipe.layers.empty()) {
    GrainSet set;
    const std::size_t held =
        recipe.bottom == StackBottom::kHardPan ? recipe.layers.size() - 1 : recipe.layers.size();
    for (std::size_t k = 0; k < recipe.layers.size(); ++k) {
      add(set, Vec3::Zero(), 0.5 * recipe.layers[k].smallestDiameter, Vec3::Zero(), k == held);
      set.soil.push_back(static_cast<std::uint8_t>(k));
    }
    return set;
  }
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
