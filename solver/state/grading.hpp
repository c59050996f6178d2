#pragma once

namespace holdground {

/// Over what the diameters of a grading are spread evenly.
enum class GradingBasis { kNumber, kMass };

}  // namespace holdground
