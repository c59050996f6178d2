#pragma once

namespace holdground {

/// What a part's steel does to a grain that touches it.
struct Surface {
  double friction = 0.30;        ///< Coulomb coefficient grain on steel [-]
  double rollingFriction = 0.0;  ///< coefficient of rolling resistance on the surface [-]
};

}  // namespace holdground
