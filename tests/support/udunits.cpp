#include "tests/support/udunits.hpp"

#include <udunits2.h>

#include <map>
#include <string_view>

namespace holdground {

Udunits::Udunits() {
  ut_set_error_message_handler(ut_ignore);
  system_ = ut_read_xml(nullptr);
}

Udunits::~Udunits() { ut_free_system(static_cast<ut_system*>(system_)); }

std::optional<double> Udunits::toSi(double value, const std::string& unit,
                                    Dimension dimension) const {
  std::string si;
  for (const Unit& candidate : allUnits()) {
    if (candidate.dimension == dimension) {
      si = candidate.symbol;
      break;
    }
  }
  auto* system = static_cast<ut_system*>(system_);
  ut_unit* from = ut_parse(system, unit.empty() ? "1" : unit.c_str(), UT_UTF8);
  ut_unit* to = ut_parse(system, si.empty() ? "1" : si.c_str(), UT_UTF8);
  std::optional<double> result;
  if (from && to && ut_are_convertible(from, to)) {
    cv_converter* converter = ut_get_converter(from, to);
    result = cv_convert_double(converter, value);
    cv_free(converter);
  }
  ut_free(from);
  ut_free(to);
  return result;
}

std::string Udunits::spelling(const Unit& unit) {
  static const std::map<std::string_view, std::string> kOther = {
      {"kn", "knot"},      {"deg", "degree"},  {"lbs", "pound"},      {"lbm", "pound"},
      {"tf", "1000 kgf"},  {"psf", "lbf/ft2"}, {"mph", "mile/h"},     {"nmi", "nautical_mile"},
      {"oz", "0.0625 lb"}, {"fathom", "6 ft"}, {"deg/s", "degree/s"},
  };
  const auto found = kOther.find(unit.symbol);
  return found == kOther.end() ? std::string(unit.symbol) : found->second;
}

}  // namespace holdground
