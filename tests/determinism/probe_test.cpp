// A probe gives the same bits for any number of threads.

#include <gtest/gtest.h>
#include <omp.h>

#include "tests/support/kernels.hpp"
#include "tests/support/lid_over_bed.hpp"

namespace holdground {

class Probe : public KernelTest {};

TEST_P(Probe, HasTheSameStateForAnyNumberOfThreads) {
  const int before = omp_get_max_threads();
  std::uint64_t first = 0;
  for (const int threads : {1, 2, 3, 8}) {
    omp_set_num_threads(threads);
    LidOverBed world(GetParam());
    ASSERT_GE(world.probe().kernel().size(), 3u * 256u);  // three blocks: threads share the work
    run(world.probe(), 0.12);
    ASSERT_GT(world.probe().steel(LidOverBed::kFloor).load().contacts, 32u);
    if (threads == 1) first = world.probe().stateHash();
    EXPECT_EQ(world.probe().stateHash(), first) << threads << " threads";
  }
  omp_set_num_threads(before);
}

// The comparison can fail: a nanometre per second of one drive is seen.
TEST_P(Probe, HasAnotherStateUnderAnotherDrive) {
  LidOverBed world(GetParam()), other(GetParam());
  EXPECT_EQ(world.probe().stateHash(), other.probe().stateHash());
  BodyDrive drive = other.probe().drive(LidOverBed::kLid);
  drive.axis[0].value += 1e-9;
  other.probe().setDrive(LidOverBed::kLid, drive);
  run(world.probe(), 0.01);
  run(other.probe(), 0.01);
  EXPECT_NE(world.probe().stateHash(), other.probe().stateHash());
}

HOLDGROUND_ON_EVERY_KERNEL(Probe);

}  // namespace holdground
