#pragma once
// The text of a scenario file as it was read: runs keep it in their record.

#include <string>

namespace holdground {

struct SourceText {
  std::string path;  ///< as opened; messages name the file by it
  std::string text;
};

}  // namespace holdground
