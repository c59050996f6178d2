#pragma once
// A picture as a list of lines, areas and words, in pixels from the top left corner, x right and
// y down. Charts and captions are composed once in this form; svg.hpp writes it as a file and the
// viewing program paints it over a rendered bed.

#include <array>
#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace holdground {

struct Colour {
  std::uint8_t red = 0;
  std::uint8_t green = 0;
  std::uint8_t blue = 0;
  double opacity = 1.0;  ///< 0 clear .. 1 solid

  Colour withOpacity(double value) const { return {red, green, blue, value}; }
};

using PagePoint = std::array<double, 2>;  ///< x, y [px]

struct Polyline {
  std::vector<PagePoint> points;
  Colour colour;
  double width = 1.0;  ///< [px]
  double dash = 0.0;   ///< length of dashes and gaps [px]; 0 draws a full line
};

struct Polygon {
  std::vector<PagePoint> points;
  Colour fill;
};

enum class Anchoring { Start, Middle, End };
enum class Weight { Regular, Bold };
enum class Turn { None, QuarterLeft };

struct Label {
  PagePoint at{};  ///< on the baseline, unless turned: then the middle of the line
  std::string text;
  Colour colour;
  double size = 14.0;  ///< height of the type [px]
  Anchoring anchoring = Anchoring::Start;
  Weight weight = Weight::Regular;
  Turn turn = Turn::None;
};

using DrawnItem = std::variant<Polyline, Polygon, Label>;

struct Drawing {
  double width = 0.0;            ///< [px]
  double height = 0.0;           ///< [px]
  std::vector<DrawnItem> items;  ///< painted in this order

  void line(PagePoint from, PagePoint to, Colour colour, double strokeWidth, double dash = 0.0);
  void rectangle(double left, double top, double right, double bottom, Colour fill);
  void dot(PagePoint centre, double radius, Colour fill);
  template <class Item>
  void add(Item item) {
    items.emplace_back(std::move(item));
  }
};

/// A dashed line as its dashes; a full line as itself.
std::vector<Polyline> dashes(const Polyline& line);

}  // namespace holdground
