#include "scenarios/schema/reading.hpp"

#include "scenarios/schema/wording.hpp"

namespace holdground {

InputError Reading::fault(const std::string& path, const std::string& text) const {
  Place place;
  for (std::string at = path;;) {
    const auto found = places_.find(at);
    if (found != places_.end()) {
      place = found->second;
      break;
    }
    const auto dot = at.rfind('.');
    if (dot == std::string::npos) break;
    at.resize(dot);
  }
  const std::string key = path.empty() ? "" : onOneLine(path, 200) + ": ";
  return InputError(source_.path + ":" + std::to_string(place.line) + ":" +
                    std::to_string(place.column) + ": " + key + text);
}

InputError Reading::faultOf(const InputError& error) const {
  const std::string text = error.what();
  const auto colon = text.find(": ");
  return colon == std::string::npos ? fault("", text)
                                    : fault(text.substr(0, colon), text.substr(colon + 2));
}

void Reading::demand(const std::string& path, const std::string& allowed) const {
  if (!has(path)) throw fault(path, "missing key, needed is " + allowed);
}

}  // namespace holdground
