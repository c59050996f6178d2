#pragma once
// UDUNITS-2 (Unidata) as an independent reader of quantities. Not thread-safe.

#include <optional>
#include <string>

#include "solver/core/units.hpp"

namespace holdground {

class Udunits {
 public:
  Udunits();
  ~Udunits();
  Udunits(const Udunits&) = delete;
  Udunits& operator=(const Udunits&) = delete;

  /// `value` of `unit` in the SI unit of a dimension; nothing when UDUNITS-2 cannot say.
  std::optional<double> toSi(double value, const std::string& unit, Dimension dimension) const;

  /// How UDUNITS-2 spells a unit of ours. The differences, and why:
  ///   kn, deg, lbs, lbm, tf, psf are unknown to it; mph is something else;
  ///   nmi is a nano-mile, oz a volume (and its avoirdupois ounce is rounded to 7
  ///   digits); fathom goes by the survey foot.
  static std::string spelling(const Unit& unit);

 private:
  void* system_;
};

}  // namespace holdground
