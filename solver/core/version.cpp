#include "solver/core/version.hpp"

namespace holdground {

const char* versionString() { return HOLDGROUND_VERSION; }

const char* buildFlags() { return HOLDGROUND_BUILD_FLAGS; }

}  // namespace holdground
