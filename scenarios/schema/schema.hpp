#pragma once
// A scenario file described as tables of keys. Each key is bound to the field it fills, and the
// value that field has beforehand is the default, so that file, struct and reference agree.
//
// A schema holds pointers into the struct it describes: use it while that struct lives.
// Checked by tests/unit/scenarios/schema_test.cpp.

#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "solver/core/types.hpp"
#include "solver/core/units.hpp"

namespace holdground {

// Where a value goes. Quantities are in SI; `dimension` says which units a person may write.
struct TextTarget {
  std::string* field;
};
struct QuantityTarget {
  double* field;
  Dimension dimension;
};
/// Empty while the key is absent or says `word` (when there is one, such as "auto").
struct OptionalQuantityTarget {
  std::optional<double>* field;
  Dimension dimension;
  std::string word;
};
struct ScopeTarget {
  std::optional<double>* field;
};
struct VectorTarget {
  Vec3* field;
  Dimension dimension;
};
struct OptionalVectorTarget {
  std::optional<Vec3>* field;
  Dimension dimension;
};
struct QuantityListTarget {
  std::vector<double>* field;
  Dimension dimension;
};
struct WholeNumberTarget {
  std::uint64_t* field;
};
/// A whole number of at least 1, or the word "auto" (empty).
struct CountTarget {
  std::optional<int>* field;
};
struct FlagTarget {
  bool* field;
};
struct ChoiceTarget {
  std::vector<std::string> words;
  std::size_t current;                      ///< word that stands for the default
  std::function<void(std::size_t)> choose;  ///< called with the index of the word found
};

using Target = std::variant<TextTarget, QuantityTarget, OptionalQuantityTarget, ScopeTarget,
                            VectorTarget, OptionalVectorTarget, QuantityListTarget,
                            WholeNumberTarget, CountTarget, FlagTarget, ChoiceTarget>;

/// One end of a range, as people write it.
struct Bound {
  std::string text;
  bool inclusive = true;
};

/// One key of a table.
class Key {
 public:
  Key(std::string keyName, Target keyTarget, std::string keyMeaning)
      : name(std::move(keyName)), target(std::move(keyTarget)), meaning(std::move(keyMeaning)) {}

  Key& required();
  /// Needed only in some files; `when` completes "required ...": "with mode = \"load\"".
  Key& requiredWhen(std::string when);
  /// What an absent optional key means, for the reference: "one largest diameter".
  Key& otherwise(std::string text);
  Key& atLeast(std::string bound);
  Key& above(std::string bound);
  Key& atMost(std::string bound);
  Key& below(std::string bound);
  /// Unit in which the reference shows the default.
  Key& shownIn(std::string unit);

  std::string name;
  Target target;
  std::string meaning;
  bool isRequired = false;
  std::string whenRequired;
  std::string absentMeans;
  std::optional<Bound> lower, upper;
  std::string shownUnit;
};

/// A table of keys, its sub-tables and its arrays of tables.
class TableSchema {
 public:
  TableSchema(std::string tableName, std::string tableMeaning)
      : name(std::move(tableName)), meaning(std::move(tableMeaning)) {}

  Key& text(std::string key, std::string& field, std::string what);
  Key& quantity(std::string key, double& field, Dimension dimension, std::string what);
  Key& quantity(std::string key, std::optional<double>& field, Dimension dimension,
                std::string what, std::string word = "");
  Key& scope(std::string key, std::optional<double>& field, std::string what);
  Key& point(std::string key, Vec3& field, std::string what);
  Key& point(std::string key, std::optional<Vec3>& field, std::string what);
  Key& quantities(std::string key, std::vector<double>& field, Dimension dimension,
                  std::string what);
  Key& wholeNumber(std::string key, std::uint64_t& field, std::string what);
  Key& count(std::string key, std::optional<int>& field, std::string what);
  Key& flag(std::string key, bool& field, std::string what);

  /// One word of several, each standing for a value of an enum or the like.
  template <class Value>
  Key& choice(std::string key, Value& field, std::vector<std::pair<std::string, Value>> words,
              std::string what) {
    ChoiceTarget target{{}, words.size(), {}};
    for (std::size_t k = 0; k < words.size(); ++k) {
      target.words.push_back(words[k].first);
      if (words[k].second == field) target.current = k;
    }
    target.choose = [&field, words](std::size_t k) { field = words[k].second; };
    return add(std::move(key), std::move(target), std::move(what));
  }

  TableSchema& table(std::string tableName, std::string what);

  /// An array of tables: for every [[entry]] in the file `append` makes a field to fill and
  /// returns the schema bound to it, which may hold arrays again. `sample` is the schema of one
  /// entry, for the reference.
  void tables(std::string tableName, std::string what, std::function<TableSchema()> append,
              TableSchema sample);

  struct Array {
    std::string name, meaning;
    std::function<TableSchema()> append;
    std::shared_ptr<TableSchema> sample;
  };

  std::string name;
  std::string meaning;
  std::deque<Key> keys;  // deque: references stay valid while keys are added
  std::deque<TableSchema> subTables;
  std::deque<Array> arrays;

 private:
  Key& add(std::string key, Target target, std::string what);
};

/// "length", "one of fast, reference", ... for messages and the reference.
std::string allowedValues(const Key& key);

/// "from 1 mm to 2 m", "above 0", "" without bounds.
std::string rangeText(const Key& key);

/// The default as a person would write it; empty when there is none.
std::string defaultText(const Key& key);

}  // namespace holdground
