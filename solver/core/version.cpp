#include "solver/core/version.hpp"

namespace holdground {

const char* versionString() { return "0.1.0"; }

}  // namespace holdground
