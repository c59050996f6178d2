#include <fmt/format.h>

#include <iterator>

#include "postprocess/measure/summary.hpp"

namespace holdground {
namespace {

/// Dimension of the SI unit a column is stored in; a number when there is none.
Dimension dimensionOf(std::string_view symbol) {
  for (const Unit& unit : allUnits())
    if (unit.symbol == symbol && unit.numerator == unit.denominator) return unit.dimension;
  return Dimension::kNumber;
}

/// How the values of one column are written.
struct Scale {
  std::string unit;
  double factor;  ///< shown value over SI value
};

Scale scaleFor(const std::string& siUnit, const DisplayUnits* units) {
  const Dimension dimension = dimensionOf(siUnit);
  if (units == nullptr || dimension == Dimension::kNumber) return {siUnit, 1.0};
  return {std::string(units->symbol(dimension)), units->fromSi(1.0, dimension)};
}

/// Lays out head and cells in the same order.
class Sheet {
 public:
  explicit Sheet(const DisplayUnits* units) : units_(units) {}

  void head(const std::string& name, const std::string& unit) {
    scales_.push_back(scaleFor(unit, units_));
    text_ += fmt::format("{}{} [{}]", scales_.size() == 1 ? "" : ",", name, scales_.back().unit);
  }
  void head(const std::string& name, const std::string& unit, std::string_view axes) {
    for (const char axis : axes) head(name + "_" + axis, unit);
  }
  void cell(double value) {
    const double factor = scales_[column_].factor;
    fmt::format_to(std::back_inserter(text_), "{}{}", column_++ == 0 ? "" : ",",
                   factor == 1.0 ? value : value * factor);
  }
  void cell(std::uint64_t value) {
    fmt::format_to(std::back_inserter(text_), "{}{}", column_++ == 0 ? "" : ",", value);
  }
  void cells(const Vec3& value) {
    for (int k = 0; k < 3; ++k) cell(value[k]);
  }
  void endLine() {
    text_ += "\n";
    column_ = 0;
  }
  std::string take() { return std::move(text_); }

 private:
  const DisplayUnits* units_;
  std::vector<Scale> scales_;
  std::size_t column_ = 0;
  std::string text_;
};

}  // namespace

std::string seriesCsv(const RunDescription& run, const std::vector<SeriesRow>& series,
                      const DisplayUnits* units) {
  Sheet sheet(units);
  const char* demandUnit = run.loadMode == LoadMode::kPrescribedLoad ? "N" : "m/s";
  for (const auto& column : kScalarColumns)
    sheet.head(column.name, column.field == &SeriesRow::demand ? demandUnit : column.unit);
  for (const auto& column : kVectorColumns) sheet.head(column.name, column.unit, "xyz");
  for (const auto& column : kCountColumns) sheet.head(column.name, column.unit);
  sheet.head("orientation", "1", "wxyz");
  for (const auto& part : run.anchor.parts) sheet.head("force_on_" + part.name, "N", "xyz");
  sheet.endLine();
  for (const auto& row : series) {
    for (const auto& column : kScalarColumns) sheet.cell(row.*column.field);
    for (const auto& column : kVectorColumns) sheet.cells(row.*column.field);
    for (const auto& column : kCountColumns) sheet.cell(row.*column.field);
    const Quat& q = row.orientation;
    for (const double value : {q.w(), q.x(), q.y(), q.z()}) sheet.cell(value);
    for (std::size_t k = 0; k < run.anchor.parts.size(); ++k)
      sheet.cells(k < row.partForce.size() ? row.partForce[k] : Vec3(Vec3::Zero()));
    sheet.endLine();
  }
  return sheet.take();
}

}  // namespace holdground
