#pragma once
// A checkpoint: named blocks of bytes from which a run continues bit for bit.
//
// File, in the byte order of the machine: 16 bytes "holdground-check", u32 byte-order mark
// 0x01020304, u32 version, u64 number of blocks; for each u64 length and bytes of its name, u64
// length and bytes of its content; at the end u32 CRC-32 of all that precedes (ISO 3309, zlib).
// Written beside as NAME.new, forced to the disk, then renamed: a checkpoint is whole or absent.
// Checked by: tests/unit/record/checkpoint_test.cpp

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <map>
#include <span>
#include <string>
#include <type_traits>
#include <vector>

namespace holdground {

class Checkpoint {
 public:
  static constexpr std::uint32_t kVersion = 4;

  /// Reads and verifies. InputError with one line: missing, foreign, other version, damaged.
  static Checkpoint read(const std::filesystem::path& path);
  /// Replaces the file at `path`; on failure a former one stays. SystemError.
  void write(const std::filesystem::path& path) const;

  void put(const std::string& name, std::vector<std::byte> bytes);
  /// InputError when there is no such block.
  std::span<const std::byte> bytes(const std::string& name) const;
  bool has(const std::string& name) const { return blocks_.contains(name); }

  /// A value whose bytes are its meaning.
  template <class Value>
  requires std::is_trivially_copyable_v<Value>
  void putValue(const std::string& name, const Value& value) {
    const auto view = std::as_bytes(std::span(&value, 1));
    put(name, {view.begin(), view.end()});
  }
  /// InputError when there is no such block or it has another size.
  template <class Value>
  requires std::is_trivially_copyable_v<Value> Value value(const std::string& name)
  const {
    Value result;
    copyExactly(name, &result, sizeof result);
    return result;
  }

 private:
  void copyExactly(const std::string& name, void* target, std::size_t size) const;

  std::map<std::string, std::vector<std::byte>> blocks_;
};

}  // namespace holdground
