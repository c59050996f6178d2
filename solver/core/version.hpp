#pragma once

namespace holdground {

/// Version of the program, as records carry it.
const char* versionString();

}  // namespace holdground
