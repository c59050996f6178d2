#include "scenarios/cli/last_resort.hpp"

#include <unistd.h>

#include <array>
#include <cstring>
#include <exception>
#include <new>
#include <string>

#include "scenarios/cli/command_line.hpp"
#include "solver/core/errors.hpp"

namespace holdground {
namespace {

// Plain arrays: what ends the program may not allocate. Empty: nothing to remove.
using PlainPath = std::array<char, 4096>;
PlainPath fileToRemove{}, temporaryToRemove{}, folderToRemove{};

void put(PlainPath& plain, const std::string& path) {
  plain[0] = '\0';
  if (path.size() < plain.size()) std::memcpy(plain.data(), path.c_str(), path.size() + 1);
}

void removeHalfWritten() {
  if (fileToRemove[0] == '\0') return;
  ::unlink(fileToRemove.data());
  ::unlink(temporaryToRemove.data());
  if (folderToRemove[0] != '\0') ::rmdir(folderToRemove.data());
  fileToRemove[0] = '\0';
}

[[noreturn]] void endWith(const char* text, ExitStatus status) {
  removeHalfWritten();
  // A progress line may stand open on a terminal.
  for (const char* piece : {isatty(STDERR_FILENO) ? "\r\x1b[K" : "", "holdground: ", text, "\n"}) {
    const ssize_t written = ::write(STDERR_FILENO, piece, std::strlen(piece));
    if (written < 0) break;
  }
  ::_exit(status);
}

[[noreturn]] void endForLackOfMemory() { endWith("not enough memory", kSystemFault); }

[[noreturn]] void endUncaught() {
  try {
    if (const auto current = std::current_exception()) std::rethrow_exception(current);
  } catch (const std::bad_alloc&) {
    endForLackOfMemory();
  } catch (const SystemError& error) {
    endWith(error.what(), kSystemFault);
  } catch (const std::exception& error) {
    endWith(error.what(), kInternalFault);
  } catch (...) {
  }
  endWith("internal fault", kInternalFault);
}

}  // namespace

void endAtOnceWhenNothingElseHelps() {
  std::set_new_handler(endForLackOfMemory);
  std::set_terminate(endUncaught);
}

HalfWritten::HalfWritten(const std::filesystem::path& file) {
  std::error_code ignored;
  const auto folder = std::filesystem::absolute(file, ignored).parent_path();
  put(folderToRemove, std::filesystem::exists(folder, ignored) ? "" : folder.string());
  put(temporaryToRemove, (folder / file.filename()).string() + ".new");
  put(fileToRemove, (folder / file.filename()).string());
}

HalfWritten::~HalfWritten() { removeHalfWritten(); }

void HalfWritten::keep() { fileToRemove[0] = '\0'; }

}  // namespace holdground
