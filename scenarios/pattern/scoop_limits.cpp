#include "scenarios/pattern/scoop_limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "solver/core/errors.hpp"
#include "solver/core/units.hpp"

namespace holdground {

namespace {

constexpr double kDegree = kPi / 180.0;

constexpr std::array kLimits{
    ScoopLimit{"fluke_length", &ScoopPattern::flukeLength, 0.05, 3.0, "m"},
    ScoopLimit{"fluke_width", &ScoopPattern::flukeWidth, 0.03, 3.0, "m"},
    ScoopLimit{"heel_width", &ScoopPattern::heelWidth, 0.02, 3.0, "m"},
    ScoopLimit{"widest_at", &ScoopPattern::widestAt, 0.0, 2.5, "m"},
    ScoopLimit{"toe_width", &ScoopPattern::toeWidth, 0.002, 0.5, "m"},
    ScoopLimit{"toe_fullness", &ScoopPattern::toeFullness, 1.0, 5.0, ""},
    ScoopLimit{"fluke_thickness", &ScoopPattern::flukeThickness, 0.002, 0.1, "m"},
    ScoopLimit{"edge_bend", &ScoopPattern::edgeBend, -40.0 * kDegree, 40.0 * kDegree, "rad"},
    ScoopLimit{"bend_line", &ScoopPattern::bendLine, 0.02, 0.95, ""},
    ScoopLimit{"dish", &ScoopPattern::dish, -0.2, 0.2, "m"},
    ScoopLimit{"toe_length", &ScoopPattern::toeLength, 0.01, 1.5, "m"},
    ScoopLimit{"toe_thickness", &ScoopPattern::toeThickness, 0.002, 0.3, "m"},
    ScoopLimit{"tip_thickness", &ScoopPattern::tipThickness, 0.002, 0.1, "m"},
    ScoopLimit{"shank_thickness", &ScoopPattern::shankThickness, 0.003, 0.1, "m"},
    ScoopLimit{"shank_reach", &ScoopPattern::shankReach, 0.05, 4.0, "m"},
    ScoopLimit{"shank_height", &ScoopPattern::shankHeight, 0.02, 3.0, "m"},
    ScoopLimit{"shank_root_aft", &ScoopPattern::shankRootAft, 0.002, 2.0, "m"},
    ScoopLimit{"shank_root_length", &ScoopPattern::shankRootLength, 0.02, 2.0, "m"},
    ScoopLimit{"shank_rise", &ScoopPattern::shankRise, 20.0 * kDegree, 120.0 * kDegree, "rad"},
    ScoopLimit{"shank_nose", &ScoopPattern::shankNose, -60.0 * kDegree, 75.0 * kDegree, "rad"},
    ScoopLimit{"shank_depth", &ScoopPattern::shankDepth, 0.01, 0.5, "m"},
    ScoopLimit{"roll_bar_diameter", &ScoopPattern::rollBarDiameter, 0.0, 0.2, "m"},
    ScoopLimit{"roll_bar_wall", &ScoopPattern::rollBarWall, 0.0005, 0.1, "m"},
    ScoopLimit{"roll_bar_width", &ScoopPattern::rollBarWidth, 0.03, 3.0, "m"},
    ScoopLimit{"roll_bar_height", &ScoopPattern::rollBarHeight, 0.03, 3.0, "m"},
    ScoopLimit{"roll_bar_aft", &ScoopPattern::rollBarAft, 0.002, 2.0, "m"},
    ScoopLimit{"density", &ScoopPattern::density, 500.0, 20000.0, "kg/m^3"},
    ScoopLimit{"mesh_size", &ScoopPattern::meshSize, 0.004, 0.2, "m"},
};

std::string text(double value, std::string_view unit) {
  if (unit == "rad") return formatNumber(value / kDegree, 4) + " deg";
  return formatNumber(value, 4) + (unit.empty() ? "" : " ") + std::string(unit);
}

[[noreturn]] void refuse(std::string_view key, double found, const std::string& allowed) {
  throw InputError(fmt::format("pattern.{}: {} does not fit: {}", key, text(found, "m"), allowed));
}

void checkRanges(const ScoopPattern& p) {
  for (const ScoopLimit& limit : kLimits) {
    const double value = p.*limit.field;
    // Written so that NaN fails too.
    if (value >= limit.lowest && value <= limit.highest) continue;
    throw InputError(fmt::format("pattern.{}: found {}, allowed {} to {}", limit.key,
                                 text(value, limit.unit), text(limit.lowest, limit.unit),
                                 text(limit.highest, limit.unit)));
  }
}

void checkFluke(const ScoopPattern& p) {
  if (p.heelWidth > p.flukeWidth) {
    refuse("heel_width", p.heelWidth, "at most fluke_width, " + text(p.flukeWidth, "m"));
  }
  if (p.toeWidth > 0.8 * p.flukeWidth) {
    refuse("toe_width", p.toeWidth, "at most 0.8 fluke_width, " + text(0.8 * p.flukeWidth, "m"));
  }
  if (p.widestAt > 0.8 * p.flukeLength || p.widestAt < 0.02 * p.flukeLength) {
    refuse("widest_at", p.widestAt,
           fmt::format("0.02 to 0.8 of fluke_length, {} to {}", text(0.02 * p.flukeLength, "m"),
                       text(0.8 * p.flukeLength, "m")));
  }
  if (std::abs(p.dish) > 0.2 * p.flukeLength) {
    refuse("dish", p.dish, "at most 0.2 fluke_length, " + text(0.2 * p.flukeLength, "m"));
  }
  if (p.flukeThickness > 0.25 * p.heelWidth) {
    refuse("fluke_thickness", p.flukeThickness,
           "at most a quarter of heel_width, " + text(0.25 * p.heelWidth, "m"));
  }
  if (p.tipThickness > p.toeThickness) {
    refuse("tip_thickness", p.tipThickness, "at most toe_thickness, " + text(p.toeThickness, "m"));
  }
  if (p.toeThickness < p.flukeThickness) {
    refuse("toe_thickness", p.toeThickness,
           "at least fluke_thickness, " + text(p.flukeThickness, "m"));
  }
  if (p.toeThickness > 0.5 * p.toeLength) {
    refuse("toe_thickness", p.toeThickness,
           "at most half of toe_length, " + text(0.5 * p.toeLength, "m"));
  }
}

void checkShank(const ScoopPattern& p) {
  const double rootEnd = p.shankRootAft + p.shankRootLength;
  const double seam = p.flukeLength - p.toeLength;
  if (p.toeLength > 0.8 * p.flukeLength) {
    refuse("toe_length", p.toeLength,
           "at most 0.8 fluke_length, " + text(0.8 * p.flukeLength, "m"));
  }
  if (rootEnd > seam - 0.002) {
    refuse("shank_root_length", p.shankRootLength,
           "the root must end 2 mm or more aft of the solid toe, so at most " +
               text(seam - 0.002 - p.shankRootAft, "m"));
  }
  if (p.shankThickness > 0.3 * std::min(p.heelWidth, p.toeWidth + p.flukeWidth)) {
    refuse("shank_thickness", p.shankThickness,
           "at most 0.3 heel_width, " + text(0.3 * p.heelWidth, "m"));
  }
  if (p.shankReach < rootEnd) {
    refuse("shank_reach", p.shankReach,
           "the shackle must lie ahead of the shank's root, at least " + text(rootEnd, "m"));
  }
  if (p.shankHeight < 1.5 * p.shankDepth) {
    refuse("shank_height", p.shankHeight,
           "at least 1.5 shank_depth, " + text(1.5 * p.shankDepth, "m"));
  }
}

void checkRollBar(const ScoopPattern& p) {
  if (p.rollBarDiameter == 0.0) return;
  const double radius = 0.5 * p.rollBarDiameter, half = 0.5 * p.rollBarWidth;
  if (p.rollBarDiameter < 0.004) {
    refuse("roll_bar_diameter", p.rollBarDiameter, "0 for no roll bar, else at least 0.004 m");
  }
  if (p.rollBarWall > radius) {
    refuse("roll_bar_wall", p.rollBarWall,
           "at most half of roll_bar_diameter, " + text(radius, "m"));
  }
  // Radii of curvature of the ellipse at its feet and at its top.
  const double bend =
      std::min(p.rollBarHeight * p.rollBarHeight / half, half * half / p.rollBarHeight);
  if (p.rollBarDiameter > bend) {
    refuse("roll_bar_diameter", p.rollBarDiameter,
           "at most the hoop's smallest radius of bend, " + text(bend, "m"));
  }
  const double foremost = p.shankRootAft - radius;
  if (p.rollBarAft < radius || p.rollBarAft > foremost) {
    refuse("roll_bar_aft", p.rollBarAft,
           fmt::format("its feet stand on the fluke aft of the shank, from {} to {}",
                       text(radius, "m"), text(foremost, "m")));
  }
  const double widest = p.heelWidth - p.rollBarDiameter;
  if (p.rollBarWidth > widest) {
    refuse("roll_bar_width", p.rollBarWidth,
           "its feet stand on the fluke, so at most " + text(widest, "m"));
  }
}

}  // namespace

std::span<const ScoopLimit> scoopLimits() { return kLimits; }

void checkScoop(const ScoopPattern& pattern) {
  checkRanges(pattern);
  checkFluke(pattern);
  checkShank(pattern);
  checkRollBar(pattern);
}

}  // namespace holdground
