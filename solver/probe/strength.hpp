#pragma once
// What shear cells say of a bed: critical state at one stress, and the line through several.
//
// sin phi' = (s1 - s3)/(s1 + s3) from the full stress tensor. Critical state is the mean over the
//   strains beyond `kSteadyFrom` of the whole strain; its standard error is that of the means of
//   kBlocks blocks in a row, which are longer than the memory of the bed (strain of about 0.1).
//   Peak: the greatest t of the stress averaged over a strain of kPeakWindow.
// Line: t = s sin phi + c cos phi with s, t centre and radius of the largest Mohr circle, fitted to
//   the circles' critical states with weights of their errors; scatter beyond these widens them.
// Dilatancy: tan psi = -d(volumetric strain)/d(shear strain), greatest over the same window before
//   critical state, from the solid fraction in the slice. All stresses in Pa, compression positive.
// Checked by: tests/unit/probe/strength_test.cpp

#include <span>
#include <vector>

#include "solver/probe/shear_cell.hpp"

namespace holdground {

inline constexpr double kSteadyFrom = 0.5;  ///< of the whole strain [-]
inline constexpr int kBlocks = 8;
inline constexpr double kPeakWindow = 0.05;  ///< of strain [-]

struct Estimate {
  double mean = 0.0;
  double standardError = 0.0;
};

/// Mean of some blocks' values and the standard error of it.
Estimate estimateOf(std::span<const double> blocks);

/// One shear cell's result.
struct ShearStrength {
  double normalStress = 0.0;          ///< on the lid [Pa]
  Estimate sine;                      ///< of the friction angle, critical state [-]
  Estimate mean, shear;               ///< s and t, critical state [Pa]
  Estimate shearRatio;                ///< sigma_xz/sigma_zz of the slice, critical state [-]
  Estimate solidFraction;             ///< critical state [-]
  Estimate coordination;              ///< critical state [-]
  double initialSolidFraction = 0.0;  ///< under the lid, before shearing [-]
  double pressedHeight = 0.0;         ///< between held and glued grains, before shearing [m]
  double peakSine = 0.0;              ///< [-]
  double peakShear = 0.0;             ///< t there [Pa]
  double peakStrain = 0.0;            ///< [-]
  double dilatancy = 0.0;       ///< tan psi at its greatest; below 0: contracts all the way [-]
  double inertialNumber = 0.0;  ///< of the slice's own rate of shear, critical state [-]
  double shearShare = 0.0;      ///< the slice's rate over that of the whole height [-]
  double lidNormalShare = 0.0;  ///< force on the lid over area over sigma_zz of the slice [-]
  double lidShearShare = 0.0;   ///< the same along x [-]
};

ShearStrength shearStrength(const ShearRecord& record);

struct StrengthLine {
  Estimate sine;      ///< sin phi [-]
  Estimate cohesion;  ///< c [Pa]
};

/// At least two cells at different stresses.
StrengthLine strengthLine(std::span<const ShearStrength> cells);

/// Strength against stress as a survey gives it: t = su0 + slope sigma, sigma that on the lid.
struct StrengthByStress {
  Estimate atNone;  ///< su0 [Pa]
  Estimate slope;   ///< [-]
};

/// At least two cells at different stresses.
StrengthByStress strengthByStress(std::span<const ShearStrength> cells);

/// One-dimensional stiffness [Pa]: stress over strain between the least and the most pressed cell
/// of one tile, before they are sheared. At least two cells at different stresses, in order.
double oedometerModulus(std::span<const ShearStrength> cells);

/// Mean friction angle with no cohesion [rad], weighted, over several cells.
Estimate frictionAngle(std::span<const ShearStrength> cells);

}  // namespace holdground
