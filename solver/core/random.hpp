#pragma once
// Random numbers by counter: number k of a stream depends on the seed, the stream and k alone, so
// the same bed comes out on any machine with any number of threads.
// Checked by: tests/unit/core/random_test.cpp

#include <cstdint>

#include "solver/core/hash.hpp"

namespace holdground {

class CounterRandom {
 public:
  CounterRandom(std::uint64_t seed, std::uint64_t stream) : key_(mixBits(mixBits(seed) ^ stream)) {}

  /// Uniform in [0, 1), 53 bits.
  double uniform(std::uint64_t counter) const {
    return static_cast<double>(mixBits(key_ ^ mixBits(counter)) >> 11) * 0x1p-53;
  }
  double uniform(std::uint64_t counter, double from, double to) const {
    return from + (to - from) * uniform(counter);
  }

 private:
  std::uint64_t key_;
};

}  // namespace holdground
