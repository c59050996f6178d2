#include "solver/kernel_reference/pair_list.hpp"

#include <gtest/gtest.h>

namespace holdground {

TEST(Blocks, CoverEverySlotOnceWhateverTheCount) {
  for (const std::size_t count : {1u, 63u, 64u, 65u, 5000u, 100000u}) {
    const std::vector<Block> blocks = cutIntoBlocks(count);
    std::uint32_t next = 0;
    for (const Block& block : blocks) {
      EXPECT_EQ(block.begin, next);
      EXPECT_GT(block.end, block.begin);
      next = block.end;
    }
    EXPECT_EQ(next, count);
  }
}

TEST(RememberedContacts, TurnsSpringsToTheGrainOfLowerId) {
  GrainSet set;
  set.position.resize(8);
  ContactMemory memory;
  memory.a = 6;
  memory.b = 2;
  memory.tangentialForce = Vec3(1.0, 2.0, 3.0);
  memory.rollingMoment = Vec3(-4.0, 5.0, 6.0);
  memory.tangentialStiffness = 7.0;
  set.contacts = {memory};
  memory.a = 2;
  memory.b = 5;
  set.contacts.push_back(memory);
  const RememberedContacts remembered(set);
  EXPECT_EQ(remembered.find(2, 6).tangentialForce, Vec3(-1.0, -2.0, -3.0));
  EXPECT_EQ(remembered.find(2, 6).rollingMoment, Vec3(4.0, -5.0, -6.0));
  EXPECT_EQ(remembered.find(2, 5).tangentialForce, Vec3(1.0, 2.0, 3.0));
  EXPECT_EQ(remembered.find(2, 5).tangentialStiffness, 7.0);
  EXPECT_EQ(remembered.find(5, 6).tangentialStiffness, 0.0);
}

}  // namespace holdground
