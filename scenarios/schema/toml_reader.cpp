#include "scenarios/schema/toml_reader.hpp"

#include <toml++/toml.h>
#include <algorithm>
#include <charconv>
#include <cmath>
#include <fstream>
#include <limits>
#include <sstream>

#include "scenarios/schema/quantity.hpp"
#include "scenarios/schema/wording.hpp"

namespace holdground {
namespace {

constexpr std::uintmax_t kLargestFile = 1u << 20;  // [bytes]; ours are a few thousand
// Dots on one line nest tables; this keeps their depth, and with it the stack, small.
constexpr std::size_t kLongestLine = 4096;

Reading::Place placeOf(const toml::source_region& region) {
  return {std::max<unsigned>(1, region.begin.line), std::max<unsigned>(1, region.begin.column)};
}

std::string withPath(const std::string& table, const std::string& key) {
  return table.empty() ? key : table + "." + key;
}

std::string asWritten(const toml::node& node) {
  if (const auto* text = node.as_string()) return inQuotes(text->get());
  if (node.is_table()) return "a table";
  if (node.is_array()) return "a list";
  if (const auto* number = node.as_floating_point()) {
    char shortest[40];
    return {shortest, std::to_chars(shortest, shortest + sizeof shortest, number->get()).ptr};
  }
  std::ostringstream out;
  node.visit([&out](const auto& value) {
    if constexpr (toml::is_value<decltype(value)>) out << value;
  });
  return onOneLine(out.str());
}

/// Puts one node into the target of one key.
class ValueFiller {
 public:
  ValueFiller(const Reading& reading, const Key& key, std::string path)
      : reading_(reading), key_(key), path_(std::move(path)) {}

  void fill(const toml::node& node) const {
    std::visit([&](const auto& target) { put(node, target); }, key_.target);
  }

 private:
  [[noreturn]] void refuse(const toml::node& node, const std::string& text) const {
    Reading at = reading_;
    at.mark(path_, placeOf(node.source()));
    throw at.fault(path_, text);
  }

  [[noreturn]] void refuseKind(const toml::node& node) const {
    refuse(node, "found " + asWritten(node) + ", allowed is " + allowedValues(key_));
  }

  void checkRange(const toml::node& node, double value, Dimension dimension) const {
    bool inside = true;
    if (key_.lower) {
      const double lower = parseQuantity(key_.lower->text, dimension);
      inside = key_.lower->inclusive ? value >= lower : value > lower;
    }
    if (key_.upper && inside) {
      const double upper = parseQuantity(key_.upper->text, dimension);
      inside = key_.upper->inclusive ? value <= upper : value < upper;
    }
    if (!inside) {
      refuse(node, "found " + asWritten(node) + ", allowed is " + rangeText(key_));
    }
  }

  double quantity(const toml::node& node, Dimension dimension) const {
    double value = 0.0;
    if (const auto* text = node.as_string()) {
      try {
        value = parseQuantity(text->get(), dimension);
      } catch (const InputError& error) {
        refuse(node, error.what());
      }
    } else if (node.is_number()) {
      if (dimension != Dimension::kNumber) {
        refuse(node, "found " + asWritten(node) + " without a unit, allowed is " +
                         allowedValues(key_) + " in quotes");
      }
      value = node.value<double>().value_or(std::numeric_limits<double>::quiet_NaN());
      if (!(std::abs(value) <= std::numeric_limits<double>::max())) refuseKind(node);
    } else {
      refuseKind(node);
    }
    checkRange(node, value, dimension);
    return value;
  }

  std::vector<double> list(const toml::node& node, Dimension dimension) const {
    const auto* array = node.as_array();
    if (!array) refuseKind(node);
    if (array->empty()) refuse(node, "found an empty list, allowed is " + allowedValues(key_));
    std::vector<double> values;
    for (const toml::node& element : *array) values.push_back(quantity(element, dimension));
    return values;
  }

  Vec3 vector(const toml::node& node, Dimension dimension) const {
    const std::vector<double> values = list(node, dimension);
    if (values.size() != 3) {
      refuse(node, "found a list of " + std::to_string(values.size()) + ", allowed is " +
                       allowedValues(key_));
    }
    return {values[0], values[1], values[2]};
  }

  bool isWord(const toml::node& node, const std::string& word) const {
    return !word.empty() && node.is_string() && node.as_string()->get() == word;
  }

  void put(const toml::node& node, const TextTarget& target) const {
    if (!node.is_string()) refuseKind(node);
    *target.field = node.as_string()->get();
    if (key_.isRequired && target.field->empty())
      refuse(node, "found \"\", allowed is a text in quotes that is not empty");
    const auto isControl = [](char c) { return static_cast<unsigned char>(c) < 32 || c == 127; };
    if (key_.name != "note" && std::ranges::any_of(*target.field, isControl))
      refuse(node, "found a control character, allowed is one line of plain text");
  }
  void put(const toml::node& node, const QuantityTarget& target) const {
    *target.field = quantity(node, target.dimension);
  }
  void put(const toml::node& node, const OptionalQuantityTarget& target) const {
    if (isWord(node, target.word)) {
      target.field->reset();
    } else {
      *target.field = quantity(node, target.dimension);
    }
  }
  void put(const toml::node& node, const ScopeTarget& target) const {
    if (!node.is_string()) refuseKind(node);
    try {
      *target.field = parseScope(node.as_string()->get());
    } catch (const InputError& error) {
      refuse(node, error.what());
    }
  }
  void put(const toml::node& node, const VectorTarget& target) const {
    *target.field = vector(node, target.dimension);
  }
  void put(const toml::node& node, const OptionalVectorTarget& target) const {
    *target.field = vector(node, target.dimension);
  }
  void put(const toml::node& node, const QuantityListTarget& target) const {
    *target.field = list(node, target.dimension);
  }
  void put(const toml::node& node, const WholeNumberTarget& target) const {
    const auto* number = node.as_integer();
    if (!number || number->get() < 0) refuseKind(node);
    *target.field = static_cast<std::uint64_t>(number->get());
  }
  void put(const toml::node& node, const CountTarget& target) const {
    if (isWord(node, "auto")) {
      target.field->reset();
      return;
    }
    const auto* number = node.as_integer();
    if (!number) refuseKind(node);
    checkRange(node, static_cast<double>(number->get()), Dimension::kNumber);
    *target.field = static_cast<int>(number->get());
  }
  void put(const toml::node& node, const FlagTarget& target) const {
    if (!node.is_boolean()) refuseKind(node);
    *target.field = node.as_boolean()->get();
  }
  void put(const toml::node& node, const ChoiceTarget& target) const {
    if (!node.is_string()) refuseKind(node);
    const std::string& word = node.as_string()->get();
    const auto found = std::find(target.words.begin(), target.words.end(), word);
    if (found == target.words.end()) {
      const auto near = nearestName(word, target.words);
      refuse(node, "found " + inQuotes(word) + ", allowed is " + allowedValues(key_) +
                       (near ? "; did you mean " + *near + "?" : ""));
    }
    target.choose(static_cast<std::size_t>(found - target.words.begin()));
  }

  const Reading& reading_;
  const Key& key_;
  std::string path_;
};

/// Walks the tables of a file beside the tables of its schema.
class TableFiller {
 public:
  TableFiller(Reading& reading, const TableSchema& root) : reading_(reading), root_(root) {}

  void fill(const toml::table& table, const TableSchema& schema, const std::string& path) {
    for (auto&& [name, node] : table) {
      const std::string key(name.str());
      reading_.mark(withPath(path, key), placeOf(name.source()));
      if (!knows(schema, key)) refuseUnknown(schema, path, key);
    }
    for (const Key& key : schema.keys) {
      const toml::node* node = table.get(key.name);
      const std::string keyPath = withPath(path, key.name);
      if (node) ValueFiller(reading_, key, keyPath).fill(*node);
      if (!node && key.isRequired) reading_.demand(keyPath, allowedValues(key));
    }
    for (const TableSchema& sub : schema.subTables) fillSubTable(table, sub, path);
    for (const auto& array : schema.arrays) fillArray(table, array, path);
  }

 private:
  void fillSubTable(const toml::table& table, const TableSchema& sub, const std::string& path) {
    const std::string subPath = withPath(path, sub.name);
    const toml::node* node = table.get(sub.name);
    static const toml::table kAbsent;
    if (node && !node->is_table()) {
      throw reading_.fault(subPath,
                           "found " + asWritten(*node) + ", allowed is a table [" + subPath + "]");
    }
    if (node) reading_.mark(subPath, placeOf(node->source()));
    fill(node ? *node->as_table() : kAbsent, sub, subPath);
  }

  void fillArray(const toml::table& table, const TableSchema::Array& array,
                 const std::string& path) {
    const std::string arrayPath = withPath(path, array.name);
    const toml::node* node = table.get(array.name);
    if (!node) return;
    const toml::array* entries = node->as_array();
    const bool tablesOnly =
        entries && std::all_of(entries->begin(), entries->end(),
                               [](const toml::node& entry) { return entry.is_table(); });
    if (!tablesOnly) {
      throw reading_.fault(arrayPath, "found " + asWritten(*node) + ", allowed is one or more [[" +
                                          arrayPath + "]]");
    }
    std::size_t count = 0;
    for (const toml::node& entry : *entries) {
      const std::string entryPath = arrayPath + "[" + std::to_string(++count) + "]";
      reading_.mark(entryPath, placeOf(entry.source()));
      fill(*entry.as_table(), array.append(), entryPath);
    }
  }

  static std::vector<std::string> namesIn(const TableSchema& schema) {
    std::vector<std::string> names;
    for (const Key& key : schema.keys) names.push_back(key.name);
    for (const TableSchema& sub : schema.subTables) names.push_back(sub.name);
    for (const auto& array : schema.arrays) names.push_back(array.name);
    return names;
  }

  static bool knows(const TableSchema& schema, const std::string& name) {
    const auto names = namesIn(schema);
    return std::find(names.begin(), names.end(), name) != names.end();
  }

  /// Header of the table that has this key, such as "[grains]"; empty when none has.
  static std::string homeOf(const TableSchema& schema, const std::string& path,
                            const std::string& name) {
    if (knows(schema, name)) return path.empty() ? "the top of the file" : "[" + path + "]";
    for (const TableSchema& sub : schema.subTables) {
      std::string home = homeOf(sub, withPath(path, sub.name), name);
      if (!home.empty()) return home;
    }
    for (const auto& array : schema.arrays) {
      if (knows(*array.sample, name)) return "[[" + withPath(path, array.name) + "]]";
    }
    return "";
  }

  /// Kind of file that has this at its top; "" when none has.
  static std::string kindToldBy(const std::string& name) {
    for (const auto& [kind, names] :
         {std::pair{"trial file", std::vector{"pull", "bed", "anchor"}},
          std::pair{"probe file", std::vector{"body", "phase"}},
          std::pair{"bed file", std::vector{"grains", "layer", "tile", "water"}},
          std::pair{"anchor file", std::vector{"part", "points"}}})
      if (std::find(names.begin(), names.end(), name) != names.end()) return kind;
    return "";
  }

  [[noreturn]] void refuseUnknown(const TableSchema& schema, const std::string& path,
                                  const std::string& name) const {
    const auto names = namesIn(schema);
    const auto near = nearestName(name, names);
    const std::string home = near ? "" : homeOf(root_, "", name);
    std::string text = "unknown key, allowed is " + joined(names);
    if (near) text += "; did you mean " + *near + "?";
    if (!home.empty()) text += "; it belongs in " + home;
    const std::string kind = path.empty() && !near ? kindToldBy(name) : "";
    if (!kind.empty()) text += "; this looks like the " + kind + ", needed is the " + root_.name;
    throw reading_.fault(withPath(path, name), text);
  }

  Reading& reading_;
  const TableSchema& root_;
};

/// The parser's words for a broken file, in ours.
std::string tomlFault(std::string_view description) {
  constexpr std::string_view kOpening = "Error while parsing ";
  if (description.substr(0, kOpening.size()) == kOpening)
    description.remove_prefix(kOpening.size());
  const std::string why = onOneLine(description, 300);
  const bool twice = why.find("cannot redefine existing") != std::string::npos;
  if (twice) return "key or table given twice: " + why.substr(why.find(": ") + 2);
  if (why.find("invalid utf-8") != std::string::npos)
    return "not valid TOML: found bytes that are no text, allowed is text in UTF-8";
  const auto hint = [&why](const char* words, const char* ours) {
    return why.find(words) == std::string::npos ? std::string() : std::string("; ") + ours;
  };
  return "not valid TOML, in " + why + hint("determine value type", "a text stands in quotes") +
         hint("control characters", "a text ends with a quote on the line it begins");
}

void refuseLongLines(const SourceText& source) {
  unsigned line = 1;
  std::size_t start = 0;
  while (start <= source.text.size()) {
    const std::size_t end = std::min(source.text.find('\n', start), source.text.size());
    if (end - start > kLongestLine) {
      throw InputError(source.path + ":" + std::to_string(line) + ":1: found a line of " +
                       std::to_string(end - start) + " bytes, allowed is at most " +
                       std::to_string(kLongestLine));
    }
    start = end + 1;
    ++line;
  }
}

}  // namespace

SourceText readSource(const std::filesystem::path& path) {
  const std::string name = onOneLine(path.string(), 1000);
  std::error_code error;
  const auto status = std::filesystem::status(path, error);
  if (!std::filesystem::exists(status)) throw InputError(name + ": no such file");
  if (!std::filesystem::is_regular_file(status)) {
    throw InputError(name + ": found a folder or device, allowed is a TOML file");
  }
  std::ifstream file(path, std::ios::binary);
  if (!file) throw InputError(name + ": cannot be opened for reading");
  const auto size = std::filesystem::file_size(path, error);
  if (!error && size > kLargestFile) {
    throw InputError(name + ": found " + std::to_string(size) + " bytes, allowed is at most " +
                     std::to_string(kLargestFile));
  }
  std::ostringstream text;
  text << file.rdbuf();
  if (file.bad()) throw InputError(name + ": cannot be read");
  return {name, text.str()};
}

Reading fillFromToml(const SourceText& source, const TableSchema& schema) {
  refuseLongLines(source);
  Reading reading(source);
  toml::table table;
  try {
    table = toml::parse(source.text, source.path);
  } catch (const toml::parse_error& error) {
    reading.mark("", placeOf(error.source()));
    throw reading.fault("", tomlFault(error.description()));
  }
  TableFiller(reading, schema).fill(table, schema, "");
  return reading;
}

}  // namespace holdground
