#include "scenarios/schema/wording.hpp"

#include <algorithm>
#include <vector>

namespace holdground {

std::string onOneLine(std::string_view text, std::size_t longest) {
  std::string line;
  const bool cut = text.size() > longest;
  std::size_t end = std::min(text.size(), longest);
  // A byte 10xxxxxx continues a character: step back to where that character starts.
  while (cut && end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80) --end;
  for (const char c : text.substr(0, end)) {
    const auto byte = static_cast<unsigned char>(c);
    line += byte < 0x20 || byte == 0x7F ? '?' : c;
  }
  return cut ? line + "..." : line;
}

std::string inQuotes(std::string_view text) { return '"' + onOneLine(text) + '"'; }

std::size_t editDistance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replace = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({replace, last[j] + 1, row[j - 1] + 1});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], before[j - 2] + 1);
      }
    }
    std::swap(before, last);
    std::swap(last, row);
  }
  return last[b.size()];
}

std::optional<std::string> nearestName(std::string_view written,
                                       std::span<const std::string> known) {
  if (written.size() > 100) return std::nullopt;
  std::optional<std::string> nearest;
  std::size_t fewest = 0;
  for (const std::string& name : known) {
    const std::size_t edits = editDistance(written, name);
    if (edits > std::max<std::size_t>(1, name.size() / 3)) continue;
    if (!nearest || edits < fewest) {
      nearest = name;
      fewest = edits;
    }
  }
  if (nearest) return nearest;
  // Another first word before the same long ending: weight_per_length for mass_per_length.
  for (const std::string& name : known) {
    const std::size_t cut = name.find('_'), writtenCut = written.find('_');
    if (cut == std::string::npos || writtenCut == std::string_view::npos) continue;
    const bool isLong = 2 * (name.size() - cut) > name.size();
    if (isLong && name.substr(cut) == written.substr(writtenCut)) return name;
  }
  return std::nullopt;
}

std::string joined(std::span<const std::string> words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

}  // namespace holdground
