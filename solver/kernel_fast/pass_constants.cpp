#include "solver/kernel_fast/pass_constants.hpp"

#include <cmath>

namespace holdground::fast {

PassConstants passConstants(const ContactLaw& law, const float (&unit)[3], double dt,
                            double netGravity) {
  const double ratio = 4.0 * law.effectiveShear / law.effectiveYoung;
  const double rollingRatio = 2.25 * law.rollingFriction * law.rollingFriction / ratio;
  return {{unit[0], unit[1], unit[2]},
          static_cast<float>(dt),
          static_cast<float>(0.5 / dt),
          static_cast<float>(2.0 * law.effectiveYoung),
          static_cast<float>(ratio),
          static_cast<float>(law.damping),
          static_cast<float>(law.damping * std::sqrt(ratio)),
          static_cast<float>(kLargestDashpot / dt),
          static_cast<float>(law.friction),
          static_cast<float>(law.rollingFriction),
          static_cast<float>(rollingRatio),
          static_cast<float>(rollingRatio > 0.0 ? 1.0 / rollingRatio : 0.0),
          static_cast<float>(2.0 * kRollingDampingRatio * std::sqrt(rollingRatio * ratio)),
          static_cast<float>(kLargestRollingDashpot / dt),
          static_cast<float>(netGravity),
          static_cast<float>(16.0 * law.pullOff.stress),
          static_cast<float>(0.25 / law.pullOff.range),
          static_cast<float>(4.0 / 3.0 * law.dents.stiffening * law.effectiveYoung),
          static_cast<float>(law.dents.stiffening),
          static_cast<float>(law.dents.adhesiveShare),
          static_cast<float>(law.dents.pressedShare),
          static_cast<float>(law.dents.pulledShare),
          static_cast<float>(0.6 * law.dents.pressedLoss() / dt),
          static_cast<float>(0.6 * law.dents.pulledLoss() / dt)};
}

}  // namespace holdground::fast
