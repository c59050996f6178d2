#include "scenarios/schema/quantity.hpp"

#include <charconv>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "scenarios/schema/wording.hpp"
#include "solver/core/errors.hpp"

namespace holdground {
namespace {

bool isDigit(char c) { return c >= '0' && c <= '9'; }

/// Moves through a text; every `take` leaves the place alone when it does not match.
class Scanner {
 public:
  explicit Scanner(std::string_view text) : rest_(text) {}

  std::string_view rest() const { return rest_; }
  bool startsWith(char c) const { return !rest_.empty() && rest_.front() == c; }

  bool take(char c) {
    if (!startsWith(c)) return false;
    rest_.remove_prefix(1);
    return true;
  }

  bool takeSpaces() {
    const bool any = startsWith(' ');
    while (take(' ')) {
    }
    return any;
  }

  std::string_view takeDigits() {
    std::size_t count = 0;
    while (count < rest_.size() && isDigit(rest_[count])) ++count;
    const std::string_view digits = rest_.substr(0, count);
    rest_.remove_prefix(count);
    return digits;
  }

 private:
  std::string_view rest_;
};

std::optional<double> toDouble(std::string_view digits) {
  double value = 0.0;
  const auto end = digits.data() + digits.size();
  const auto result = std::from_chars(digits.data(), end, value);
  // Out of range: infinite or zero, which the reader refuses or takes by its own limits.
  if (result.ec == std::errc::result_out_of_range)
    value = std::strtod(std::string(digits).c_str(), nullptr);
  else if (result.ec != std::errc())
    return std::nullopt;
  if (result.ptr != end) return std::nullopt;
  return value;
}

/// whole/whole; the denominator must not be zero.
std::optional<double> takeFraction(Scanner& scanner) {
  Scanner ahead = scanner;
  const std::string_view above = ahead.takeDigits();
  if (above.empty() || !ahead.take('/')) return std::nullopt;
  const std::string_view below = ahead.takeDigits();
  if (below.empty() || ahead.startsWith('.')) return std::nullopt;
  const auto numerator = toDouble(above), denominator = toDouble(below);
  if (!numerator || !denominator || *denominator == 0.0) return std::nullopt;
  scanner = ahead;
  return *numerator / *denominator;
}

std::optional<double> takeDecimal(Scanner& scanner) {
  Scanner ahead = scanner;
  const std::string_view whole = ahead.takeDigits();
  if (ahead.take('.') && ahead.takeDigits().empty()) return std::nullopt;
  if (whole.empty() && ahead.rest().size() == scanner.rest().size()) return std::nullopt;
  Scanner exponent = ahead;
  if (exponent.take('e') || exponent.take('E')) {
    if (!exponent.take('-')) exponent.take('+');
    if (!exponent.takeDigits().empty()) ahead = exponent;
  }
  const auto value =
      toDouble(scanner.rest().substr(0, scanner.rest().size() - ahead.rest().size()));
  if (value) scanner = ahead;
  return value;
}

std::optional<double> takeNumber(Scanner& scanner) {
  const bool negative = scanner.take('-');
  if (!negative) scanner.take('+');
  std::optional<double> value = takeFraction(scanner);
  if (!value) {
    Scanner mixed = scanner;
    const std::string_view whole = mixed.takeDigits();
    if (!whole.empty() && mixed.takeSpaces()) {
      const auto fraction = takeFraction(mixed);
      const auto units = toDouble(whole);
      // Proper: 1 3/2 is no way to write 2.5, but a slip.
      if (fraction && units && *fraction < 1.0) {
        value = *units + *fraction;
        scanner = mixed;
      }
    }
  }
  if (!value) value = takeDecimal(scanner);
  if (value && negative) value = -*value;
  return value;
}

std::string_view withoutOuterSpaces(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

std::string lowered(std::string_view text) {
  std::string lower(text);
  for (char& c : lower) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return lower;
}

/// `symbol` with its unit of mass made a unit of force: lb/ft becomes lbf/ft.
std::string withForceForMass(std::string_view symbol) {
  const auto end = std::min(symbol.find_first_of(" /"), symbol.size());
  const std::string_view head = symbol.substr(0, end);
  std::string force;
  if (head == "lb" || head == "lbs" || head == "lbm") force = "lbf";
  if (head == "kg") force = "kgf";
  if (head == "t") force = "tf";
  return force.empty() ? force : force + std::string(symbol.substr(end));
}

std::string hintFor(std::string_view symbol, Dimension dimension) {
  const std::string force = withForceForMass(symbol);
  if (!force.empty() && findUnit(force, dimension)) {
    return "; " + std::string(symbol) + " is a mass, write " + force + " for the force";
  }
  if (dimension == Dimension::kMass) {
    if (symbol == "lbf") return "; lbf is a force, write lb for the mass";
    if (symbol == "kgf") return "; kgf is a force, write kg for the mass";
  }
  if (symbol == "\"" || symbol == "''" || symbol == "”" || symbol == "″") {
    return "; write in for inches";
  }
  if (symbol == "'" || symbol == "’" || symbol == "′") return "; write ft for feet";
  for (const Unit& unit : allUnits()) {
    if (unit.dimension == dimension && lowered(unit.symbol) == lowered(symbol)) {
      return "; did you mean " + std::string(unit.symbol) + "?";
    }
  }
  for (const Unit& unit : allUnits()) {
    if (unit.symbol == symbol) {
      return "; " + std::string(symbol) + " is a unit of " + std::string(nameOf(unit.dimension));
    }
  }
  return "";
}

[[noreturn]] void refuse(std::string_view text, std::string_view fault, Dimension dimension,
                         std::string_view hint = "") {
  throw InputError("found " + inQuotes(text) + std::string(fault) + ", allowed is " +
                   allowedUnits(dimension) + std::string(hint));
}

}  // namespace

double parseQuantity(std::string_view text, Dimension dimension) {
  Scanner scanner(withoutOuterSpaces(text));
  const auto number = takeNumber(scanner);
  if (!number) refuse(text, " (not a number)", dimension);
  if (!std::isfinite(*number)) refuse(text, " (too large)", dimension);
  scanner.takeSpaces();
  const std::string_view symbol = scanner.rest();
  if (symbol.empty() && dimension != Dimension::kNumber) refuse(text, " without a unit", dimension);
  const Unit* unit = findUnit(symbol, dimension);
  if (!unit) {
    const bool comma = symbol.front() == ',';
    refuse(text, "", dimension,
           comma ? "; write a point for decimals and nothing between thousands"
                 : hintFor(symbol, dimension));
  }
  const double value = unit->toSi(*number);
  if (!std::isfinite(value)) refuse(text, " (too large)", dimension);
  return value;
}

double parseScope(std::string_view text) {
  Scanner scanner(withoutOuterSpaces(text));
  const auto scope = takeDecimal(scanner);
  if (!scope || scanner.rest() != ":1" || !(*scope > 1.0)) {
    throw InputError("found " + inQuotes(text) + ", allowed is a scope above 1:1 such as \"7:1\"");
  }
  return *scope;
}

std::string allowedUnits(Dimension dimension) {
  if (dimension == Dimension::kNumber) return "a pure number";
  std::string list;
  const Unit* group = nullptr;
  for (const Unit& unit : allUnits()) {
    if (unit.dimension != dimension) continue;
    bool alias = false;
    for (const Unit* other = group; other && other != &unit; ++other) {
      alias = alias || other->toSi(1.0) == unit.toSi(1.0);
    }
    if (!group) group = &unit;
    if (!alias) list += (list.empty() ? "" : ", ") + std::string(unit.symbol);
  }
  const std::string name(nameOf(dimension));
  const bool vowel = std::string("aeiou").find(name.front()) != std::string::npos;
  return (vowel ? "an " : "a ") + name + " with a unit (" + list + ")";
}

}  // namespace holdground
