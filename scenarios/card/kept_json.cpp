#include "scenarios/card/kept_json.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <fstream>
#include <iostream>

namespace holdground {

using Json = nlohmann::ordered_json;

void keepJson(const std::filesystem::path& file, const Json& json, const std::string& what) {
  const std::filesystem::path beside = file.string() + fmt::format(".{}", getpid());
  std::error_code failed;
  std::filesystem::create_directories(file.parent_path(), failed);
  {
    std::ofstream out(beside);
    out << json.dump(1) << '\n';
    out.flush();
    if (!out) failed = std::make_error_code(std::errc::io_error);
  }
  if (!failed) std::filesystem::rename(beside, file, failed);
  if (!failed) return;
  std::error_code ignored;
  std::filesystem::remove(beside, ignored);
  std::cerr << fmt::format("holdground: {}: cannot be written; {} is not kept\n", file.string(),
                           what);
}

Json keptJson(const std::filesystem::path& file, const std::string& key) {
  std::ifstream in(file);
  if (!in) return nullptr;
  Json json = Json::parse(in, nullptr, false);
  return json.is_object() && json.contains(key) ? json : Json(nullptr);
}

}  // namespace holdground
