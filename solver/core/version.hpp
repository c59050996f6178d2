#pragma once

namespace holdground {

/// Version of the program, as records carry it.
const char* versionString();

/// Compiler and the flags that decide the bits of a result.
const char* buildFlags();

}  // namespace holdground
