#pragma once
// Lanes floats at a time, in the compiler's own vector types. Only operations that IEEE 754 rounds
// in one way are used (+ - * / sqrt, fused multiply-add, comparisons), so every machine gives the
// same bits whatever the width of its registers. Everything is inlined into the translation unit
// that is compiled for one instruction set; nothing here may have linkage.

#include <cstdint>
#if defined(__x86_64__)
#include <immintrin.h>
#endif

namespace holdground::fast {
namespace {

typedef float Lanes __attribute__((vector_size(32)));
typedef std::int32_t Mask __attribute__((vector_size(32)));
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
HG_INLINE Lanes keep(Mask mask, Lanes x) {
  return reinterpret_cast<Lanes>(mask & reinterpret_cast<Mask>(x));
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

/// a b + c, rounded once.
HG_INLINE Lanes fused(Lanes a, Lanes b, Lanes c) {
#if defined(__FMA__)
  return reinterpret_cast<Lanes>(_mm256_fmadd_ps(
      reinterpret_cast<__m256>(a), reinterpret_cast<__m256>(b), reinterpret_cast<__m256>(c)));
#elif defined(__aarch64__)
  Lanes r;
  for (int k = 0; k < 8; ++k) r[k] = __builtin_fmaf(a[k], b[k], c[k]);
  return r;
#else
  // The product is exact in double. The sum is rounded to odd (Boldo & Melquiond 2008): when it is
  // inexact its last bit is set, so that rounding it to float rounds as if there had been one step.
  typedef double Doubles __attribute__((vector_size(64)));
  typedef std::int64_t Bits __attribute__((vector_size(64)));
  const Doubles product = __builtin_convertvector(a, Doubles) * __builtin_convertvector(b, Doubles);
  const Doubles addend = __builtin_convertvector(c, Doubles);
  const Doubles sum = product + addend, part = sum - product;
  const Doubles error = (product - (sum - part)) + (addend - part);  // exact (Knuth 1969)
  const Bits bits = reinterpret_cast<const Bits&>(sum);
  const Bits inexact = (error > 0.0) | (error < 0.0);
  const Bits away = (error > 0.0) == (sum > 0.0);  // the exact sum is longer than the rounded one
  const Bits step = inexact & ((bits & 1) == 0) & (away | 1);  // -1 or 1, 0 when exact or odd
  const Bits odd = bits - step;
  return __builtin_convertvector(reinterpret_cast<const Doubles&>(odd), Lanes);
#endif
}
/// c - a b, rounded once.
HG_INLINE Lanes fusedLess(Lanes c, Lanes a, Lanes b) { return fused(-a, b, c); }

HG_INLINE Lanes squareRoot(Lanes x) {
#if defined(__AVX__)
  return reinterpret_cast<Lanes>(_mm256_sqrt_ps(reinterpret_cast<__m256>(x)));
#else
  Lanes r;
  for (int k = 0; k < 8; ++k) r[k] = __builtin_sqrtf(x[k]);
  return r;
#endif
}

HG_INLINE bool any(Mask mask) {
#if defined(__AVX__)
  return _mm256_movemask_ps(reinterpret_cast<__m256>(mask)) != 0;
#else
  std::int32_t bits = 0;
  for (int k = 0; k < 8; ++k) bits |= mask[k];
  return bits != 0;
#endif
}

/// Four rows of eight become eight of four: result[k] holds lane k of the rows, then lane k + 4.
HG_INLINE void interleave(const Lanes row[4], Lanes result[4]) {
  const Lanes t0 = __builtin_shufflevector(row[0], row[1], 0, 8, 1, 9, 4, 12, 5, 13);
  const Lanes t1 = __builtin_shufflevector(row[0], row[1], 2, 10, 3, 11, 6, 14, 7, 15);
  const Lanes t2 = __builtin_shufflevector(row[2], row[3], 0, 8, 1, 9, 4, 12, 5, 13);
  const Lanes t3 = __builtin_shufflevector(row[2], row[3], 2, 10, 3, 11, 6, 14, 7, 15);
  result[0] = __builtin_shufflevector(t0, t2, 0, 1, 8, 9, 4, 5, 12, 13);
  result[1] = __builtin_shufflevector(t0, t2, 2, 3, 10, 11, 6, 7, 14, 15);
  result[2] = __builtin_shufflevector(t1, t3, 0, 1, 8, 9, 4, 5, 12, 13);
  result[3] = __builtin_shufflevector(t1, t3, 2, 3, 10, 11, 6, 7, 14, 15);
}
/// The first and the second halves of two interleaved sets put together: eight rows of eight.
HG_INLINE void join(const Lanes s[4], const Lanes t[4], Lanes r[8]) {
  for (int k = 0; k < 4; ++k) {
    r[k] = __builtin_shufflevector(s[k], t[k], 0, 1, 2, 3, 8, 9, 10, 11);
    r[k + 4] = __builtin_shufflevector(s[k], t[k], 4, 5, 6, 7, 12, 13, 14, 15);
  }
}
/// Rows become columns: r[i][k] -> r[k][i].
HG_INLINE void transpose(Lanes r[8]) {
  Lanes s[4], t[4];
  interleave(r, s);
  interleave(r + 4, t);
  join(s, t, r);
}

}  // namespace
}  // namespace holdground::fast
