#include "scenarios/pattern/shank_outline.hpp"

#include <cmath>

#include "scenarios/pattern/fluke_surface.hpp"

namespace holdground {

namespace {

constexpr double kHandle = 0.38;      // length of a cubic's handles over the distance spanned
constexpr int kNoseSections = 3;      // facets of the rounded nose on either edge
constexpr double kNoseEnd = kPi / 3;  // the nose is cut off flat from here [rad]

struct Cubic {
  Vec3 from, fromHandle, toHandle, to;

  Vec3 at(double t) const {
    const double u = 1.0 - t;
    return u * u * u * from + 3.0 * u * u * t * fromHandle + 3.0 * u * t * t * toHandle +
           t * t * t * to;
  }
};

Cubic edge(const Vec3& from, const Vec3& fromDirection, const Vec3& to, const Vec3& toDirection) {
  const double handle = kHandle * (to - from).norm();
  return {from, from + handle * fromDirection, to - handle * toDirection, to};
}

Vec3 direction(double slope) { return {std::cos(slope), 0.0, std::sin(slope)}; }

}  // namespace

std::vector<ShankSection> shankSections(const ScoopPattern& pattern) {
  const FlukeSurface fluke(pattern);
  const double foot = pattern.shankRootAft, front = foot + pattern.shankRootLength;
  const Vec3 shackle(pattern.shankReach, 0.0, pattern.shankHeight);
  const Vec3 rise = direction(pattern.shankRise), along = direction(pattern.shankNose);
  const Vec3 across(-along.z(), 0.0, along.x());
  const double radius = 0.5 * pattern.shankDepth;

  const Cubic aft =
      edge({foot, 0.0, fluke.faceHeight(foot)}, rise, shackle + radius * across, along);
  const Cubic fore =
      edge({front, 0.0, fluke.faceHeight(front)}, rise, shackle - radius * across, along);
  const double length = 0.5 * ((aft.to - aft.from).norm() + (fore.to - fore.from).norm());
  const int count = std::max(4, static_cast<int>(std::ceil(1.15 * length / pattern.meshSize)));

  std::vector<ShankSection> sections;
  for (int i = 0; i <= count; ++i) {
    const double t = static_cast<double>(i) / count;
    sections.push_back({aft.at(t), fore.at(t)});
  }
  for (int i = 1; i <= kNoseSections; ++i) {
    const double angle = kNoseEnd * i / kNoseSections;
    const Vec3 ahead = radius * std::sin(angle) * along, aside = radius * std::cos(angle) * across;
    sections.push_back({shackle + ahead + aside, shackle + ahead - aside});
  }
  return sections;
}

}  // namespace holdground
