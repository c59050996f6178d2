#pragma once

#include <algorithm>
#include <vector>

#include "solver/state/grain_kernel.hpp"

namespace holdground {

/// Nearest-rank percentiles of overlap over diameter [-], one entry per touching pair.
inline OverlapStatistics overlapStatisticsOf(std::vector<double> shares) {
  OverlapStatistics result;
  result.contacts = shares.size();
  if (shares.empty()) return result;
  std::sort(shares.begin(), shares.end());
  const auto rank = [&](double share) {
    const auto k = static_cast<std::size_t>(share * static_cast<double>(shares.size() - 1) + 0.5);
    return shares[k];
  };
  result.p50 = rank(0.50);
  result.p90 = rank(0.90);
  result.p99 = rank(0.99);
  result.maximum = shares.back();
  return result;
}

}  // namespace holdground
