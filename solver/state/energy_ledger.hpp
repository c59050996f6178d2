#pragma once
// Where the work goes. Cumulative since the start of the run, in joules; every dissipation is
// positive when it takes energy out of the system.
//
//   residual = (work in) - (kinetic + elastic + stored rolling, change) - (all dissipation)
//
// Work in = rode + potential released (gravity less buoyancy) + other prescribed work.

namespace holdground {

struct EnergyLedger {
  // State functions, evaluated on demand.
  double kinetic = 0.0;        ///< grains and anchor, at the full step
  double elasticNormal = 0.0;  ///< grain-grain and grain-steel, less what cohesion binds
  double elasticTangential = 0.0;
  double elasticRolling = 0.0;
  double potential = 0.0;  ///< gravity less buoyancy, from a level that stays the same
  // Path integrals.
  double friction = 0.0;  ///< Coulomb sliding
  double normalDamping = 0.0;
  double tangentialDamping = 0.0;
  double rolling = 0.0;  ///< plastic rolling and rolling damping
  double plastic = 0.0;  ///< dents pressed into contacts, and pulled flat again
  double waterDrag = 0.0;
  double rode = 0.0;  ///< work done by the rode on the anchor (in)
  double historyArtefact =
      0.0;                  ///< lost (+) or made (-) by the rule that rescales tangential springs
  double prescribed = 0.0;  ///< work done by bodies with prescribed motion (in)

  double stored() const { return kinetic + elasticNormal + elasticTangential + elasticRolling; }
  double dissipated() const {
    return friction + normalDamping + tangentialDamping + rolling + plastic + waterDrag +
           historyArtefact;
  }
};

/// Work put in since the start [J]: by the rode, by what is driven and by what sank.
inline double workIn(const EnergyLedger& start, const EnergyLedger& now) {
  return (now.rode - start.rode) + (now.prescribed - start.prescribed) -
         (now.potential - start.potential);
}

/// What the ledger cannot account for [J]: work in, less what is stored and what was taken.
inline double energyResidual(const EnergyLedger& start, const EnergyLedger& now) {
  return workIn(start, now) - (now.stored() - start.stored()) -
         (now.dissipated() - start.dissipated());
}

}  // namespace holdground
