#pragma once
// Eight floats at a time, in the compiler's own vector types. Only operations that IEEE 754 rounds
// in one way are used (+ - * / sqrt, comparisons), so every machine gives the same bits whatever
// the width of its registers. Everything is inlined into the translation unit that is compiled for
// one instruction set; nothing here may have linkage.

#include <cstdint>
#if defined(__x86_64__)
#include <immintrin.h>
#endif

namespace holdground::fast {
namespace {

typedef float Lanes __attribute__((vector_size(32)));
typedef std::int32_t IntLanes __attribute__((vector_size(32)));
typedef std::uint32_t UintLanes __attribute__((vector_size(32)));
typedef float Quad __attribute__((vector_size(16)));
typedef std::int32_t IntQuad __attribute__((vector_size(16)));
typedef std::uint32_t UintQuad __attribute__((vector_size(16)));

#define HG_INLINE inline __attribute__((always_inline))

HG_INLINE Lanes all(float x) { return Lanes{x, x, x, x, x, x, x, x}; }
HG_INLINE Lanes load(const float* p) { return *reinterpret_cast<const Lanes*>(p); }
HG_INLINE void store(float* p, Lanes x) { *reinterpret_cast<Lanes*>(p) = x; }
HG_INLINE Lanes lesser(Lanes a, Lanes b) { return a < b ? a : b; }
HG_INLINE Lanes greater(Lanes a, Lanes b) { return a > b ? a : b; }
/// x where the mask is set, else 0.
HG_INLINE Lanes keep(IntLanes mask, Lanes x) {
  return reinterpret_cast<Lanes>(mask & reinterpret_cast<IntLanes>(x));
}

/// While it lives, numbers below the normal range of a float count as zero on this thread: springs
/// that fade away would otherwise cost tens of cycles an operation.
class FlushTinyToZero {
 public:
#if defined(__x86_64__)
  FlushTinyToZero() : saved_(_mm_getcsr()) { _mm_setcsr(saved_ | 0x8040); }
  ~FlushTinyToZero() { _mm_setcsr(saved_); }

 private:
  unsigned saved_;
#elif defined(__aarch64__)
  FlushTinyToZero() {
    asm volatile("mrs %0, fpcr" : "=r"(saved_));
    asm volatile("msr fpcr, %0" ::"r"(saved_ | (1ull << 24)));
  }
  ~FlushTinyToZero() { asm volatile("msr fpcr, %0" ::"r"(saved_)); }

 private:
  std::uint64_t saved_;
#endif
};

HG_INLINE Lanes squareRoot(Lanes x) {
#if defined(__AVX__)
  return reinterpret_cast<Lanes>(_mm256_sqrt_ps(reinterpret_cast<__m256>(x)));
#else
  Lanes r;
  for (int k = 0; k < 8; ++k) r[k] = __builtin_sqrtf(x[k]);
  return r;
#endif
}

HG_INLINE bool any(IntLanes mask) {
#if defined(__AVX__)
  return _mm256_movemask_ps(reinterpret_cast<__m256>(mask)) != 0;
#else
  std::int32_t bits = 0;
  for (int k = 0; k < 8; ++k) bits |= mask[k];
  return bits != 0;
#endif
}

/// Rows become columns: r[i][k] -> r[k][i].
HG_INLINE void transpose(Lanes r[8]) {
  Lanes t[8], s[8];
  for (int k = 0; k < 4; ++k) {
    t[2 * k] = __builtin_shufflevector(r[2 * k], r[2 * k + 1], 0, 8, 1, 9, 4, 12, 5, 13);
    t[2 * k + 1] = __builtin_shufflevector(r[2 * k], r[2 * k + 1], 2, 10, 3, 11, 6, 14, 7, 15);
  }
  for (int k = 0; k < 2; ++k) {
    s[4 * k] = __builtin_shufflevector(t[4 * k], t[4 * k + 2], 0, 1, 8, 9, 4, 5, 12, 13);
    s[4 * k + 1] = __builtin_shufflevector(t[4 * k], t[4 * k + 2], 2, 3, 10, 11, 6, 7, 14, 15);
    s[4 * k + 2] = __builtin_shufflevector(t[4 * k + 1], t[4 * k + 3], 0, 1, 8, 9, 4, 5, 12, 13);
    s[4 * k + 3] = __builtin_shufflevector(t[4 * k + 1], t[4 * k + 3], 2, 3, 10, 11, 6, 7, 14, 15);
  }
  for (int k = 0; k < 4; ++k) {
    r[k] = __builtin_shufflevector(s[k], s[k + 4], 0, 1, 2, 3, 8, 9, 10, 11);
    r[k + 4] = __builtin_shufflevector(s[k], s[k + 4], 4, 5, 6, 7, 12, 13, 14, 15);
  }
}

}  // namespace
}  // namespace holdground::fast
