#include <cstdio>

#include "solver/core/version.hpp"

int main() { std::printf("holdground %s\n", holdground::versionString()); }
