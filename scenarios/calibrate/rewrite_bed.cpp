#include "scenarios/calibrate/rewrite_bed.hpp"

#include <toml++/toml.h>
#include <algorithm>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

constexpr const char* kMark = "# Calibrated: ";  // begins each line of notes

/// A stretch of the text and what replaces it.
struct Edit {
  std::size_t begin, end;
  std::string text;
};

/// Offset of a place in the text; columns count characters, not bytes.
std::size_t offsetOf(const std::string& text, toml::source_position place) {
  std::size_t at = 0;
  for (unsigned line = 1; line < place.line; ++line) at = text.find('\n', at) + 1;
  for (unsigned column = 1; column < place.column; ++column) {
    ++at;
    while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80) ++at;
  }
  return at;
}

/// Where the key begins whose value begins at `value`, and whether it stands in an inline table.
struct KeyPlace {
  std::size_t begin;
  bool isInline;
};
KeyPlace keyBefore(const std::string& text, std::size_t value) {
  const std::size_t before = text.find_last_of("\n{,", value == 0 ? 0 : value - 1);
  const std::size_t from = before == std::string::npos ? 0 : before + 1;
  return {text.find_first_not_of(" \t", from), before != std::string::npos && text[before] != '\n'};
}

/// The value of the table that stands first.
const toml::node* firstValue(const toml::table& table) {
  const toml::node* first = nullptr;
  for (const auto& [key, node] : table) {
    if (!node.is_value()) continue;
    const toml::source_position here = node.source().begin;
    if (first == nullptr || here < first->source().begin) first = &node;
  }
  return first;
}

Edit editFor(const SourceText& source, const toml::table& root, const KeyChange& change) {
  const std::string& text = source.text;
  const toml::table* table = change.table.empty() ? &root : root[change.table].as_table();
  if (table != nullptr) {
    if (const toml::node* node = table->get(change.key))
      return {offsetOf(text, node->source().begin), offsetOf(text, node->source().end),
              change.value};
    if (const toml::node* first = firstValue(*table)) {
      const KeyPlace place = keyBefore(text, offsetOf(text, first->source().begin));
      const std::string name =
          text.substr(place.begin, text.find_first_of(" \t=", place.begin) - place.begin);
      const std::size_t dot = name.rfind('.');
      const std::string prefix = dot == std::string::npos ? "" : name.substr(0, dot + 1);
      return {place.begin, place.begin,
              prefix + change.key + " = " + change.value + (place.isInline ? ", " : "\n")};
    }
  }
  throw InputError(source.path + ": " + change.table + "." + change.key +
                   ": cannot be written there; write it by hand: " + change.key + " = " +
                   change.value);
}

/// The text without notes of an earlier call, and without a byte-order mark.
std::string withoutNotes(std::string text) {
  if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
  const std::string mark = kMark;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    const std::size_t next = end == std::string::npos ? text.size() : end + 1;
    if (text.compare(at, mark.size(), mark) == 0)
      text.erase(at, next - at);
    else
      at = next;
  }
  return text;
}

}  // namespace

std::string rewritten(const SourceText& source, std::span<const KeyChange> changes,
                      std::span<const std::string> notes) {
  const SourceText bare{source.path, withoutNotes(source.text)};
  const toml::table root = toml::parse(bare.text, bare.path);
  std::vector<Edit> edits;
  for (const KeyChange& change : changes) edits.push_back(editFor(bare, root, change));
  // From the end, so that places before stay good; equal places in the order asked for.
  std::stable_sort(edits.begin(), edits.end(),
                   [](const Edit& a, const Edit& b) { return a.begin > b.begin; });
  std::string text = bare.text;
  for (const Edit& edit : edits) text.replace(edit.begin, edit.end - edit.begin, edit.text);
  std::string head;
  for (const std::string& note : notes) head += kMark + note + '\n';
  return head + text;
}

}  // namespace holdground
