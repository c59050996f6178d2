#pragma once
// The two faces of the scoop's fluke as functions of the station s (from the heel along the chord)
// and of the column: plan outline, bent edges, dish, and the keel under the solid toe.
//
// Across, the fluke is flat out to the bend line and slopes from there. Along, the face sags below
// the chord as a parabola. The lower face lies one thickness below, measured square to the upper;
// where two panels meet it is mitred. Frame and symbols: scoop_pattern.hpp. Metres.
// Checked by tests/unit/pattern/scoop_pattern_test.cpp.

#include "scenarios/pattern/scoop_pattern.hpp"
#include "solver/core/types.hpp"

namespace holdground {

class FlukeSurface {
 public:
  explicit FlukeSurface(const ScoopPattern& pattern) : p_(pattern) {}

  double seam() const { return p_.flukeLength - p_.toeLength; }  ///< where the plate ends [m]
  double halfWidth(double s) const;
  /// Half the width of the strip under the shank: its thickness, less where the toe is narrow.
  double stripHalfWidth(double s) const;
  double bendLine(double s) const;    ///< distance of the bend from the centreline
  double faceHeight(double s) const;  ///< of the flat part; <= 0, below the chord
  double thickness(double s, double y) const;

  Vec3 upper(double s, double y) const;
  Vec3 lower(double s, double y) const;

 private:
  Vec3 panelNormal(double s, double side) const;  ///< side: -1 starboard, 0 flat, +1 port

  const ScoopPattern& p_;
};

}  // namespace holdground
