#define HG_PASSES kAvx2Passes
#define HG_SET "avx2"
#include "solver/kernel_fast/block_pass_impl.hpp"
