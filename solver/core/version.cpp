#include "solver/core/version.hpp"

namespace holdground {

const char* versionString() { return HOLDGROUND_VERSION; }

}  // namespace holdground
