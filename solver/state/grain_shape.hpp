#pragma once

namespace holdground {

/// What a grain is made of: one sphere, or a rigid cluster of them.
enum class GrainShape { kSphere, kRounded, kAngular };

}  // namespace holdground
