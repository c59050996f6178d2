#pragma once
// The contact laws of a bed's grains: one for each pair of soils that may meet.
//
// Two elastic bodies in series, so E* and G* are those of Hertz and Mindlin, exactly. What carries
// load between them, friction, rolling friction and cohesion of either kind, is taken as a whole
// from the weaker soil: the one of less friction, at equal friction of less rolling friction, then
// of less cohesion. Term by term the lesser would be weaker than both, mud without friction on sand
// without cohesion an oiled plane; as a whole the interface is never weaker than the weaker of
// them. Restitution: both bodies feel one force, so each takes of the energy the share of its
// compliance
//   c = (1 - nu^2)/E, and is assumed to lose as much of that as among its equals:
//   1 - e^2 = (c1 (1 - e1^2) + c2 (1 - e2^2))/(c1 + c2).
// Symbols: e restitution [-]. Checked by: tests/unit/contact/soil_laws_test.cpp,
//   tests/verification/contact/two_soils_test.cpp

#include <cstddef>
#include <span>
#include <vector>

#include "solver/contact/hertz_mindlin.hpp"

namespace holdground {

/// Law of two grains of unlike soils; the order of the two does not matter.
ContactLaw contactLaw(const GrainMaterial& a, const GrainMaterial& b);

class SoilLaws {
 public:
  /// InputError for none or more than kMostSoils.
  explicit SoilLaws(std::span<const GrainMaterial> soils);

  /// Number of unordered pairs of soils.
  std::size_t size() const { return laws_.size(); }
  /// Place of a pair's law; 0 is that of soil 0 with itself.
  static std::size_t indexOf(std::size_t soilA, std::size_t soilB) {
    return soilA < soilB ? soilB * (soilB + 1) / 2 + soilA : soilA * (soilA + 1) / 2 + soilB;
  }
  const ContactLaw& operator[](std::size_t index) const { return laws_[index]; }
  const ContactLaw& of(std::size_t soilA, std::size_t soilB) const {
    return laws_[indexOf(soilA, soilB)];
  }
  /// Largest share of the radii over which any two attract each other [-].
  double reachShare() const;
  /// Some contacts keep a dent.
  bool keepDents() const;

 private:
  std::vector<ContactLaw> laws_;
};

}  // namespace holdground
