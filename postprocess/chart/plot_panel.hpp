#pragma once
// One set of axes with its curves, drawn into a Drawing. Curves are named where they end, not in a
// key; areas go under the grid, curves over it.

#include <optional>
#include <string>
#include <vector>

#include "postprocess/chart/axis.hpp"
#include "postprocess/chart/drawing.hpp"

namespace holdground {

enum class VerticalSense { Upward, Downward };  ///< which way readings grow on the page

struct PanelPlace {
  double left, top, right, bottom;  ///< the area inside the axes [px]
};

struct Curve {
  std::string name;              ///< printed at the curve's end; empty for none
  std::vector<double> readings;  ///< along the vertical axis, one for each abscissa
  Colour colour;
  double width = 2.0;  ///< [px]
};

/// A level that is named in the right margin.
struct LevelNote {
  double reading;
  std::string text;
  Colour colour;
  double from;  ///< abscissa at which the drawn line starts
  double to;    ///< abscissa at which it ends; no line when it equals `from`
};

class PlotPanel {
 public:
  PlotPanel(Drawing& drawing, const PanelPlace& place, const Range& across, const Range& along,
            VerticalSense sense);

  const Axis& across() const { return across_; }
  const Axis& along() const { return along_; }

  /// Fills between two abscissae over the full height.
  void band(double from, double to, Colour fill, const std::string& name);
  /// Fills between two readings over the full width.
  void layer(double from, double to, Colour fill);
  void grid();
  void titles(const std::string& title, const std::string& subtitle);
  void acrossTitle(const std::string& text);
  void alongTitle(const std::string& text);
  void curve(const std::vector<double>& abscissae, const Curve& curve);
  void note(const LevelNote& note);
  void mark(double abscissa, double reading, Colour colour);
  /// Prints the names of curves and levels in the right margin, moved apart where they would touch.
  void marginNotes();

 private:
  struct MarginNote {
    double y;
    std::string text;
    Colour colour;
  };

  double clampedAlong(double reading) const;

  Drawing& drawing_;
  PanelPlace place_;
  Axis across_;
  Axis along_;
  std::vector<MarginNote> marginNotes_;
};

}  // namespace holdground
