#pragma once
// Hashes for comparing states and naming cached things. Not cryptographic.

#include <cstdint>
#include <cstring>
#include <string_view>

namespace holdground {

/// Finaliser of SplitMix64 (Steele, Lea and Flood 2014): every input bit moves every output bit.
inline std::uint64_t mixBits(std::uint64_t x) {
  x += 0x9e3779b97f4a7c15ull;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9ull;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebull;
  return x ^ (x >> 31);
}

/// Bits of a plain value, chained onto `seed` eight bytes at a time.
template <typename T>
std::uint64_t hashBits(std::uint64_t seed, const T& value) {
  unsigned char bytes[(sizeof(T) + 7) / 8 * 8] = {};
  std::memcpy(bytes, &value, sizeof(T));
  for (std::size_t k = 0; k < sizeof(bytes); k += 8) {
    std::uint64_t word;
    std::memcpy(&word, bytes + k, 8);
    seed = mixBits(seed ^ word);
  }
  return seed;
}

inline std::uint64_t hashText(std::string_view text, std::uint64_t seed = 0) {
  for (const char c : text) seed = mixBits(seed ^ static_cast<unsigned char>(c));
  return seed;
}

}  // namespace holdground
