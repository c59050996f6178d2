#define HG_PASSES kAvx512Passes
#define HG_SET "avx512"
#include "solver/kernel_fast/block_pass_impl.hpp"
