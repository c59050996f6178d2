#pragma once
// Plain values to bytes and back, for checkpoints: same machine type, bit for bit.

#include <cstddef>
#include <cstring>
#include <span>
#include <type_traits>
#include <utility>
#include <vector>

#include "solver/core/errors.hpp"

namespace holdground {

class ByteWriter {
 public:
  template <typename T>
  requires std::is_arithmetic_v<T>
  void put(T value) { append(&value, sizeof(T)); }
  /// Anything with data() and size() of doubles or integers, fixed size (Vec3, Quat coefficients).
  template <typename T>
  void putCoefficients(const T& values) {
    append(values.data(), sizeof(*values.data()) * static_cast<std::size_t>(values.size()));
  }
  /// A vector of plain records, with its length.
  template <typename Vector>
  void putVector(const Vector& values) {
    static_assert(std::is_trivially_copyable_v<typename Vector::value_type>);
    put(values.size());
    append(values.data(), values.size() * sizeof(typename Vector::value_type));
  }
  std::vector<std::byte> take() { return std::move(bytes_); }

 private:
  void append(const void* from, std::size_t size) {
    const auto* first = static_cast<const std::byte*>(from);
    bytes_.insert(bytes_.end(), first, first + size);
  }
  std::vector<std::byte> bytes_;
};

class ByteReader {
 public:
  explicit ByteReader(std::span<const std::byte> bytes) : bytes_(bytes) {}

  /// @throws SystemError when the bytes end too early.
  template <typename T>
  requires std::is_arithmetic_v<T> T get() {
    T value;
    extract(&value, sizeof(T));
    return value;
  }
  template <typename T>
  void getCoefficients(T& values) {
    extract(values.data(), sizeof(*values.data()) * static_cast<std::size_t>(values.size()));
  }
  template <typename Vector>
  void getVector(Vector& values) {
    static_assert(std::is_trivially_copyable_v<typename Vector::value_type>);
    const auto count = get<std::size_t>();
    if (count > remaining() / sizeof(typename Vector::value_type))
      throw SystemError("checkpoint is shorter than it should be");
    values.resize(count);
    extract(values.data(), count * sizeof(typename Vector::value_type));
  }
  std::size_t remaining() const { return bytes_.size() - at_; }

 private:
  void extract(void* to, std::size_t size) {
    if (remaining() < size) throw SystemError("checkpoint is shorter than it should be");
    if (size > 0) std::memcpy(to, bytes_.data() + at_, size);
    at_ += size;
  }
  std::span<const std::byte> bytes_;
  std::size_t at_ = 0;
};

}  // namespace holdground
