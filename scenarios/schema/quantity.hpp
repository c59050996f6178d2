#pragma once
// Reads a quantity as people write it: "5/32 in", "3 1/2 in", "750 lbf", "1.2e3 kN/m", "30 deg".
//
//   quantity = number [spaces] unit          (no unit for a pure number)
//   number   = [+-] (decimal | whole/whole | whole whole/whole)
//   decimal  = digits [. digits] [exponent] | . digits [exponent]
//   unit     = one of the whitelist of its dimension (solver/core/units.hpp), case kept
//
// Refused on purpose: a bare number where a unit is needed; a force in lb or kg; 0.25" (inches or
// seconds of arc); a comma in a number (point or thousands, who knows); compound 3 ft 6 in.
// Accepted on purpose: oz is the avoirdupois ounce, nmi the nautical mile, kn the knot.
// Checked by tests/unit/scenarios/quantity_test.cpp, against UDUNITS-2.

#include <string>
#include <string_view>

#include "solver/core/units.hpp"

namespace holdground {

/// Value in SI. Throws InputError saying what was found and what is allowed.
double parseQuantity(std::string_view text, Dimension dimension);

/// Scope as "7:1": length of rode over height, above 1. Throws InputError.
double parseScope(std::string_view text);

/// "a force with a unit (N, kN, lbf, ...)", for messages and the reference of keys.
std::string allowedUnits(Dimension dimension);

}  // namespace holdground
