#define HG_PASSES kBaselinePasses
#define HG_SET "baseline"
#include "solver/kernel_fast/block_pass_impl.hpp"
