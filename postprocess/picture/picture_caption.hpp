#pragma once
// Everything that is drawn over a picture of the bed: title, scales, legend of speeds, direction of
// pull, and the figures of the moment. Composed here, painted by the viewing program.
// Checked by: tests/unit/picture/picture_caption_test.cpp

#include <string>
#include <vector>

#include "postprocess/chart/drawing.hpp"
#include "postprocess/chart/reading_units.hpp"
#include "postprocess/chart/trial_charts.hpp"
#include "postprocess/picture/bed_window.hpp"
#include "postprocess/picture/side_view.hpp"

namespace holdground {

/// Size of a picture and where the bed lies in it.
struct PictureFrame {
  int width = 1600;  ///< [px]
  int height = 900;  ///< [px]
  BedWindow window;
  double floorZ = -1.0;   ///< bottom of the bed [m]
  double topSpeed = 1.0;  ///< at the dark end of the colours [m/s]

  /// Size of type and strokes against those of a picture 1600 pixels wide.
  double typeScale() const;
};

/// The view that shows the window with room for title, scales and figures around it.
SideView viewOf(const PictureFrame& frame);

/// What is known at the moment shown, SI.
struct MomentFacts {
  double time = 0.0;       ///< [s]
  double drift = 0.0;      ///< [m]
  double load = 0.0;       ///< horizontal, at the shackle [N]
  double toeDepth = 0.0;   ///< [m]
  double heelDepth = 0.0;  ///< [m]
  double pitch = 0.0;      ///< [rad]
  double list = 0.0;       ///< [rad]
};

struct PictureText {
  std::string title;     ///< the anchor
  std::string subtitle;  ///< bed and trial
  std::string grains;    ///< their sizes, may be empty
  std::string caution;   ///< one line, may be empty
};

Drawing drawCaption(const PictureFrame& frame, const SideView& view, const std::vector<Vec3>& rode,
                    const MomentFacts& facts, const PictureText& text, const ReadingUnits& units);

/// Adds a small load curve in the upper right corner, bold up to `untilTime`, for films.
void addLoadTrace(Drawing& drawing, const PictureFrame& frame, const TrialCurves& curves,
                  double untilTime, const ReadingUnits& units);

}  // namespace holdground
