#include "scenarios/schema/schema.hpp"

#include "scenarios/schema/quantity.hpp"
#include "scenarios/schema/wording.hpp"

namespace holdground {

Key& Key::required() {
  isRequired = true;
  return *this;
}

Key& Key::requiredWhen(std::string when) {
  whenRequired = std::move(when);
  return *this;
}

Key& Key::otherwise(std::string text) {
  absentMeans = std::move(text);
  return *this;
}

Key& Key::atLeast(std::string bound) {
  lower = Bound{std::move(bound), true};
  return *this;
}

Key& Key::above(std::string bound) {
  lower = Bound{std::move(bound), false};
  return *this;
}

Key& Key::atMost(std::string bound) {
  upper = Bound{std::move(bound), true};
  return *this;
}

Key& Key::below(std::string bound) {
  upper = Bound{std::move(bound), false};
  return *this;
}

Key& Key::shownIn(std::string unit) {
  shownUnit = std::move(unit);
  return *this;
}

Key& TableSchema::add(std::string key, Target target, std::string what) {
  return keys.emplace_back(std::move(key), std::move(target), std::move(what));
}

Key& TableSchema::text(std::string key, std::string& field, std::string what) {
  return add(std::move(key), TextTarget{&field}, std::move(what));
}

Key& TableSchema::quantity(std::string key, double& field, Dimension dimension, std::string what) {
  return add(std::move(key), QuantityTarget{&field, dimension}, std::move(what));
}

Key& TableSchema::quantity(std::string key, std::optional<double>& field, Dimension dimension,
                           std::string what, std::string word) {
  return add(std::move(key), OptionalQuantityTarget{&field, dimension, std::move(word)},
             std::move(what));
}

Key& TableSchema::scope(std::string key, std::optional<double>& field, std::string what) {
  return add(std::move(key), ScopeTarget{&field}, std::move(what));
}

Key& TableSchema::point(std::string key, Vec3& field, std::string what) {
  return add(std::move(key), VectorTarget{&field, Dimension::kLength}, std::move(what));
}

Key& TableSchema::point(std::string key, std::optional<Vec3>& field, std::string what) {
  return add(std::move(key), OptionalVectorTarget{&field, Dimension::kLength}, std::move(what));
}

Key& TableSchema::quantities(std::string key, std::vector<double>& field, Dimension dimension,
                             std::string what) {
  return add(std::move(key), QuantityListTarget{&field, dimension}, std::move(what));
}

Key& TableSchema::wholeNumber(std::string key, std::uint64_t& field, std::string what) {
  return add(std::move(key), WholeNumberTarget{&field}, std::move(what));
}

Key& TableSchema::count(std::string key, std::optional<int>& field, std::string what) {
  return add(std::move(key), CountTarget{&field}, std::move(what));
}

Key& TableSchema::flag(std::string key, bool& field, std::string what) {
  return add(std::move(key), FlagTarget{&field}, std::move(what));
}

TableSchema& TableSchema::table(std::string tableName, std::string what) {
  return subTables.emplace_back(std::move(tableName), std::move(what));
}

void TableSchema::tables(std::string tableName, std::string what,
                         std::function<TableSchema()> append, TableSchema sample) {
  arrays.push_back({std::move(tableName), std::move(what), std::move(append),
                    std::make_shared<TableSchema>(std::move(sample))});
}

namespace {

/// Overloads of one visitor.
template <class... Functions>
struct Overloaded : Functions... {
  using Functions::operator()...;
};
template <class... Functions>
Overloaded(Functions...) -> Overloaded<Functions...>;

std::string shown(double value, Dimension dimension, const std::string& unit) {
  const Unit* wanted = unit.empty() ? nullptr : findUnit(unit, dimension);
  if (!wanted) return DisplayUnits().format(value, dimension, 6);
  return formatNumber(wanted->fromSi(value), 6) + " " + unit;
}

std::string shown(const Vec3& value, Dimension dimension, const std::string& unit) {
  std::string text = "[";
  for (int k = 0; k < 3; ++k) {
    text += (k ? ", \"" : "\"") + shown(value[k], dimension, unit) + '"';
  }
  return text + "]";
}

}  // namespace

std::string allowedValues(const Key& key) {
  const auto quantityWords = [](Dimension dimension, const std::string& word) {
    return allowedUnits(dimension) + (word.empty() ? "" : " or \"" + word + "\"");
  };
  return std::visit(
      Overloaded{
          [](const TextTarget&) -> std::string { return "a text in quotes"; },
          [&](const QuantityTarget& t) { return quantityWords(t.dimension, ""); },
          [&](const OptionalQuantityTarget& t) { return quantityWords(t.dimension, t.word); },
          [](const ScopeTarget&) -> std::string { return "a scope such as \"7:1\""; },
          [](const VectorTarget& t) {
            return "a list of three, [x, y, z], each " + allowedUnits(t.dimension);
          },
          [](const OptionalVectorTarget& t) {
            return "a list of three, [x, y, z], each " + allowedUnits(t.dimension);
          },
          [](const QuantityListTarget& t) { return "a list, each " + allowedUnits(t.dimension); },
          [](const WholeNumberTarget&) -> std::string { return "a whole number from 0"; },
          [](const CountTarget&) -> std::string { return "a whole number or \"auto\""; },
          [](const FlagTarget&) -> std::string { return "true or false"; },
          [](const ChoiceTarget& t) { return "one of " + joined(t.words); },
      },
      key.target);
}

std::string rangeText(const Key& key) {
  if (key.lower && key.upper && key.lower->inclusive && key.upper->inclusive) {
    return "from " + key.lower->text + " to " + key.upper->text;
  }
  std::string text;
  if (key.lower) text += (key.lower->inclusive ? "at least " : "above ") + key.lower->text;
  if (key.lower && key.upper) text += ", ";
  if (key.upper) text += (key.upper->inclusive ? "at most " : "below ") + key.upper->text;
  return text;
}

std::string defaultText(const Key& key) {
  if (key.isRequired || !key.whenRequired.empty()) return "";
  if (!key.absentMeans.empty()) return key.absentMeans;
  return std::visit(
      Overloaded{
          [](const TextTarget& t) -> std::string { return t.field->empty() ? "" : *t.field; },
          [&](const QuantityTarget& t) { return shown(*t.field, t.dimension, key.shownUnit); },
          [&](const OptionalQuantityTarget& t) {
            return *t.field ? shown(**t.field, t.dimension, key.shownUnit) : t.word;
          },
          [](const ScopeTarget&) -> std::string { return ""; },
          [&](const VectorTarget& t) { return shown(*t.field, t.dimension, key.shownUnit); },
          [](const OptionalVectorTarget&) -> std::string { return ""; },
          [](const QuantityListTarget&) -> std::string { return ""; },
          [](const WholeNumberTarget& t) { return std::to_string(*t.field); },
          [](const CountTarget& t) -> std::string {
            return *t.field ? std::to_string(**t.field) : "auto";
          },
          [](const FlagTarget& t) -> std::string { return *t.field ? "true" : "false"; },
          [](const ChoiceTarget& t) -> std::string {
            return t.current < t.words.size() ? t.words[t.current] : "";
          },
      },
      key.target);
}

}  // namespace holdground
