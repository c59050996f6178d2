#include "solver/material/restitution.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <mutex>

#include "solver/core/errors.hpp"
#include "solver/core/types.hpp"

namespace holdground {
namespace {

struct Phase {
  double overlap;
  double rate;
};

/// Derivative by s, where time = s^4: x^(1/4) is then smooth at first touch and Runge-Kutta keeps
/// its order.
Phase slope(const Phase& at, double s, double alpha) {
  const double stretch = 4.0 * s * s * s;
  const double x = std::max(at.overlap, 0.0);
  const double force = x * std::sqrt(x) + alpha * std::sqrt(std::sqrt(x)) * at.rate;
  return {stretch * at.rate, -stretch * force};
}

Phase rungeKutta(const Phase& at, double s, double step, double alpha) {
  const auto ahead = [&](const Phase& k, double h) {
    return Phase{at.overlap + h * k.overlap, at.rate + h * k.rate};
  };
  const Phase k1 = slope(at, s, alpha);
  const Phase k2 = slope(ahead(k1, 0.5 * step), s + 0.5 * step, alpha);
  const Phase k3 = slope(ahead(k2, 0.5 * step), s + 0.5 * step, alpha);
  const Phase k4 = slope(ahead(k3, step), s + step, alpha);
  return {at.overlap + step / 6.0 * (k1.overlap + 2.0 * (k2.overlap + k3.overlap) + k4.overlap),
          at.rate + step / 6.0 * (k1.rate + 2.0 * (k2.rate + k3.rate) + k4.rate)};
}

/// Has the sign of the force: force = x^(1/4) (x^(5/4) + alpha x').
double forceSign(const Phase& at, double alpha) {
  const double x = std::max(at.overlap, 0.0);
  return x * std::sqrt(std::sqrt(x)) + alpha * at.rate;
}

}  // namespace

double restitutionOfDamping(double alpha) {
  if (alpha == 0.0) return 1.0;
  // The contact lasts about 3 time units; strong damping makes its first part faster.
  const double step = 2e-3 / (1.0 + 0.2 * alpha);
  Phase at{0.0, 1.0};
  double s = 0.0;
  for (;;) {
    const Phase next = rungeKutta(at, s, step, alpha);
    if (next.rate < 0.0 && forceSign(next, alpha) <= 0.0) break;
    at = next;
    s += step;
  }
  double low = 0.0, high = step;
  for (int k = 0; k < 60; ++k) {
    const double middle = 0.5 * (low + high);
    const Phase there = rungeKutta(at, s, middle, alpha);
    (forceSign(there, alpha) > 0.0 ? low : high) = middle;
  }
  return -rungeKutta(at, s, low, alpha).rate;
}

double dampingOfRestitution(double restitution) {
  if (!(restitution >= kSmallestRestitution && restitution <= 1.0))
    throw InputError(fmt::format("restitution coefficient {} is outside the allowed range {} to 1",
                                 restitution, kSmallestRestitution));
  if (restitution == 1.0) return 0.0;
  static std::mutex mutex;
  static std::map<double, double> solved;
  const std::scoped_lock lock(mutex);
  const auto known = solved.find(restitution);
  if (known != solved.end()) return known->second;
  double low = 0.0, high = 1.0;
  while (restitutionOfDamping(high) > restitution) high *= 2.0;
  // Bisection: the restitution falls monotonically with alpha.
  while (high - low > 1e-10 * (1.0 + high)) {
    const double middle = 0.5 * (low + high);
    (restitutionOfDamping(middle) > restitution ? low : high) = middle;
  }
  return solved[restitution] = 0.5 * (low + high);
}

double dampingOfRestitutionWithTension(double restitution) {
  const double logarithm = -std::log(restitution);
  return std::sqrt(5.0) * logarithm / std::sqrt(kPi * kPi + logarithm * logarithm);
}

}  // namespace holdground
