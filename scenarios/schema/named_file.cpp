#include "scenarios/schema/named_file.hpp"

#include "scenarios/schema/wording.hpp"

namespace holdground {

std::filesystem::path namedFile(const Reading& reading, const std::filesystem::path& folder,
                                const std::string& key, const std::string& written,
                                const std::string& allowed) {
  const auto path = (folder / written).lexically_normal();
  if (std::filesystem::is_regular_file(path)) return path;
  const bool isThere = std::filesystem::exists(path);
  throw reading.fault(key, "found " + inQuotes(written) +
                               (isThere ? ", a folder or device" : ", no such file") + " (" +
                               onOneLine(path.string(), 300) + "), allowed is " + allowed);
}

}  // namespace holdground
