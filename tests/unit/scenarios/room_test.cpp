#include "scenarios/run/room.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <limits>

#include "solver/core/errors.hpp"

namespace holdground {
namespace {

Forecast needing(double memory, double disk) {
  Forecast forecast;
  forecast.memory = memory;
  forecast.disk = disk;
  return forecast;
}

std::string refusal(const Forecast& forecast, const Room& room) {
  try {
    checkRoom(forecast, room);
  } catch (const SystemError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST(Room, IsRefusedInOneLineThatSaysHowMuchIsMissing) {
  EXPECT_EQ(refusal(needing(1e9, 2e9), {1.1e9, 2.1e9}), "");
  EXPECT_THAT(
      refusal(needing(1e9, 2e9), {0.5e9, 3e9}),
      testing::StartsWith("not enough memory: about 1000 MB are needed, 500 MB are free; "));
  EXPECT_THAT(refusal(needing(1e9, 2e9), {1.1e9, 1e9}),
              testing::StartsWith("not enough disk: about 2000 MB are needed, 1000 MB are free; "));
  constexpr double kUnknown = std::numeric_limits<double>::infinity();
  EXPECT_EQ(refusal(needing(1e15, 1e15), {kUnknown, kUnknown}), "");
}

TEST(Room, OfThisMachineIsFoundForAFolderThatIsNotThereYet) {
  const Room room = roomFor("/no/such/folder");
  EXPECT_GT(room.memory, 0.0);
  EXPECT_TRUE(std::isfinite(room.memory));
  // What this user may still write; others write meanwhile.
  const auto free = static_cast<double>(std::filesystem::space("/").available);
  EXPECT_NEAR(room.disk, free, 0.01 * free);
}

}  // namespace holdground
