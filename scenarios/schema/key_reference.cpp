#include "scenarios/schema/key_reference.hpp"

#include <type_traits>
#include <vector>

#include "scenarios/schema/anchor_file.hpp"
#include "scenarios/schema/bed_file.hpp"
#include "scenarios/schema/probe_file.hpp"
#include "scenarios/schema/quantity.hpp"
#include "scenarios/schema/trial_file.hpp"
#include "scenarios/schema/wording.hpp"

namespace holdground {
namespace {

/// A cell of a Markdown table: no bars.
std::string cell(const std::string& text) {
  std::string safe;
  for (const char c : text) safe += c == '|' ? '/' : c;
  return safe;
}

std::string kindOf(const Key& key) {
  return std::visit(
      [&key](const auto& target) -> std::string {
        using T = std::decay_t<decltype(target)>;
        if constexpr (std::is_same_v<T, TextTarget>) {
          return "text";
        } else if constexpr (std::is_same_v<T, ScopeTarget>) {
          return "scope";
        } else if constexpr (std::is_same_v<T, WholeNumberTarget>) {
          return "whole number";
        } else if constexpr (std::is_same_v<T, CountTarget> || std::is_same_v<T, FlagTarget> ||
                             std::is_same_v<T, ChoiceTarget>) {
          return allowedValues(key);
        } else {
          std::string name(nameOf(target.dimension));
          if constexpr (std::is_same_v<T, OptionalQuantityTarget>) {
            if (!target.word.empty()) name += " or \"" + target.word + "\"";
          }
          if constexpr (std::is_same_v<T, VectorTarget> ||
                        std::is_same_v<T, OptionalVectorTarget>) {
            return "[x, y, z], each a " + name;
          }
          if constexpr (std::is_same_v<T, QuantityListTarget>) return "list, each a " + name;
          return name;
        }
      },
      key.target);
}

/// @param path  of the table, with a dot behind it; empty for the whole file
void appendTable(std::string& text, const TableSchema& schema, const std::string& header,
                 const std::string& meaning, const std::string& path = "") {
  if (!schema.keys.empty()) {
    text += "\n### " + header + "\n\n" + meaning + "\n\n";
    text += "| key | value | default | range | meaning |\n|---|---|---|---|---|\n";
    for (const Key& key : schema.keys) {
      std::string fallback = defaultText(key);
      if (key.isRequired) fallback = "**required**";
      if (!key.whenRequired.empty()) fallback = "**required** " + key.whenRequired;
      text += "| `" + key.name + "` | " + cell(kindOf(key)) + " | " + cell(fallback) + " | " +
              cell(rangeText(key)) + " | " + cell(key.meaning) + " |\n";
    }
  }
  for (const TableSchema& sub : schema.subTables) {
    appendTable(text, sub, "`[" + path + sub.name + "]`", sub.meaning + ".", path + sub.name + ".");
  }
  for (const auto& array : schema.arrays) {
    appendTable(text, *array.sample, "`[[" + path + array.name + "]]`", array.meaning + ".",
                path + array.name + ".");
  }
}

}  // namespace

std::string keyReference(const TableSchema& schema) {
  std::string title = schema.name;
  title.front() = static_cast<char>(title.front() - 'a' + 'A');
  std::string text = "\n## " + title + "\n";
  appendTable(text, schema, "Top of the file", schema.meaning);
  return text;
}

std::string keyReference() {
  std::string text =
      "# Keys of the scenario files\n\n"
      "Made by `holdground keys` from the schema the program reads with. A quantity is a text with "
      "a number and a unit: `\"0.4 m\"`, `\"5/32 in\"`, `\"3 1/2 in\"`, `\"750 lbf\"`, "
      "`\"1.5 kn\"`. A pure number is `0.5`, `\"1/2\"` or `\"50 %\"`. Paths are relative to the "
      "file they stand in.\n\n"
      "## Units\n\n| quantity | units |\n|---|---|\n";
  for (int k = 1; k < kDimensionCount; ++k) {
    const auto dimension = static_cast<Dimension>(k);
    std::vector<std::string> symbols;
    for (const Unit& unit : allUnits()) {
      if (unit.dimension == dimension) symbols.emplace_back(unit.symbol);
    }
    text += "| " + std::string(nameOf(dimension)) + " | " + joined(symbols) + " |\n";
  }
  text += "| scope | 7:1 |\n";
  BedDraft bed;
  AnchorDraft anchor;
  TrialDraft trial;
  ProbeDraft probe;
  return text + keyReference(trialSchema(trial)) + keyReference(bedSchema(bed)) +
         keyReference(anchorSchema(anchor)) + keyReference(probeSchema(probe));
}

}  // namespace holdground
