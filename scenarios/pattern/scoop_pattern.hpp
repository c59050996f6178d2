#pragma once
// A generic scoop anchor of our own invention, drawn from its dimensions: plate fluke with its
// edges bent, a solid toe, a plate shank, and over the heel a roll bar if wanted.
//
// Anchor frame [m]: origin at the heel, x along the chord from heel to toe, y to port, z away from
// the fluke's face, toward the shackle. The chord joins heel and toe on the fluke's upper face.
//
//           z            ___----o  shackle (shankReach, shankHeight)
//           |       _--'__---
//           |     /  /           fluke angle = atan(shankHeight / shankReach)
//   heel  o-+----+--+--------======>  toe (flukeLength, 0)      x
//
// Fluke, toe and shank abut at shared facets, the roll bar stands on the fluke's face: no steel is
// counted twice.
// Checked by tests/unit/pattern/scoop_pattern_test.cpp.

#include <string>
#include <vector>

#include "solver/anchor/anchor.hpp"
#include "solver/core/types.hpp"

namespace holdground {

/// Every dimension of the pattern. In a scenario file each is a key of [pattern], in snake_case.
struct ScoopPattern {
  // Fluke, in plan.
  double flukeLength = 0.42;  ///< heel to toe along the chord [m]
  double flukeWidth = 0.42;   ///< greatest width [m]
  double heelWidth = 0.38;    ///< width at the heel [m]
  double widestAt = 0.12;     ///< from the heel to the greatest width [m]
  double toeWidth = 0.12;     ///< width of the blunt point [m]
  double toeFullness = 3.0;   ///< 1: straight sides to the toe, 2: parabolic, fuller [-]
  // Fluke, in section.
  double flukeThickness = 0.011;         ///< of the plate [m]
  double edgeBend = 25.0 * kPi / 180.0;  ///< edges bent down (away from the shackle) [rad]
  double bendLine = 0.30;  ///< share of the half width beside the shank that stays flat [-]
  double dish = 0.012;     ///< sag of the face below the chord, mid length [m]
  // Solid toe.
  double toeLength = 0.21;      ///< from the toe aft to where the plate begins [m]
  double toeThickness = 0.022;  ///< greatest thickness, on the centreline [m]
  double tipThickness = 0.011;  ///< at the point [m]
  // Shank, a flat plate in the plane y = 0.
  double shankThickness = 0.010;          ///< of the plate [m]
  double shankReach = 0.66;               ///< shackle ahead of the heel, along the chord [m]
  double shankHeight = 0.27;              ///< shackle above the chord [m]
  double shankRootAft = 0.05;             ///< from the heel to the aft end of the root [m]
  double shankRootLength = 0.15;          ///< of the root along the fluke [m]
  double shankRise = 75.0 * kPi / 180.0;  ///< slope of the shank where it leaves the fluke [rad]
  double shankNose = 12.0 * kPi / 180.0;  ///< slope of the shank at the shackle, upward + [rad]
  double shankDepth = 0.062;              ///< depth of the plate at the shackle [m]
  // Roll bar, a hoop of tube over the heel.
  double rollBarDiameter = 0.0;  ///< of the tube, outside; 0: no roll bar [m]
  double rollBarWall = 0.003;    ///< thickness of the tube's wall [m]
  double rollBarWidth = 0.30;    ///< between its feet, middle to middle [m]
  double rollBarHeight = 0.25;   ///< of its top above its feet, to the middle of the tube [m]
  double rollBarAft = 0.025;     ///< from the heel to the middle of its feet [m]

  double density = 7850.0;  ///< of the steel [kg/m^3]
  double meshSize = 0.022;  ///< aim for the edges of the triangles [m]
};

/// What the pattern draws: closed parts "fluke", "toe", "shank", with a roll bar "roll-bar" too,
/// and the three named points.
struct PatternAnchor {
  std::vector<AnchorPart> parts;
  Vec3 shackle = Vec3::Zero();
  Vec3 toe = Vec3::Zero();
  Vec3 heel = Vec3::Zero();
};

/// Draws the anchor. Throws InputError naming the key (snake_case, under "pattern") when a
/// dimension is out of range or dimensions contradict each other.
PatternAnchor drawScoop(const ScoopPattern& pattern);

/// Angle at the heel between the line to the shackle and the chord [rad].
double flukeAngle(const ScoopPattern& pattern);

}  // namespace holdground
