#pragma once

namespace holdground {

/// What a part's steel does to a grain that touches it. Per area of steel that grains cover.
struct Surface {
  double friction = 0.30;        ///< Coulomb coefficient grain on steel [-]
  double rollingFriction = 0.0;  ///< coefficient of rolling resistance on the surface [-]
  double adhesion = 0.0;         ///< shear stress carried at no normal stress [Pa]
  double tension = 0.0;          ///< normal stress that pulls the ground off, apart from it [Pa]
};

}  // namespace holdground
