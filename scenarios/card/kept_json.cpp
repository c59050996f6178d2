#include "scenarios/card/kept_json.hpp"

#include <fmt/format.h>

#include <fstream>
#include <iostream>

#include "scenarios/run/output_file.hpp"
#include "solver/core/errors.hpp"

namespace holdground {

using Json = nlohmann::ordered_json;

void keepJson(const std::filesystem::path& file, const Json& json, const std::string& what) {
  std::error_code ignored;  // told by the writing
  std::filesystem::create_directories(file.parent_path(), ignored);
  try {
    writeTextFile(file, json.dump(1) + '\n');
  } catch (const SystemError& error) {
    std::cerr << fmt::format("holdground: {}; {} is not kept\n", error.what(), what);
  }
}

Json keptJson(const std::filesystem::path& file, const std::string& key) {
  std::ifstream in(file);
  if (!in) return nullptr;
  Json json = Json::parse(in, nullptr, false);
  return json.is_object() && json.contains(key) ? json : Json(nullptr);
}

}  // namespace holdground
