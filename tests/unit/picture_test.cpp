// Reading pictures, which the tests of what is drawn stand on.

#include "tests/support/picture.hpp"

#include <gtest/gtest.h>

#include "tests/support/temporary_folder.hpp"

namespace holdground {

TEST(Picture, IsReadAsItWasWritten) {
  const TemporaryFolder folder;
  const Picture drawn{
      3, 2, {{255, 0, 0}, {0, 255, 0}, {0, 0, 255}, {9, 9, 9}, {0, 0, 0}, {1, 2, 3}}};
  writePng(folder / "a.png", drawn);
  const Picture read = readPng(folder / "a.png");
  EXPECT_EQ(read.width, 3);
  EXPECT_EQ(read.height, 2);
  EXPECT_EQ(read.pixels, drawn.pixels);
  EXPECT_EQ(read.at(2, 1), (Pixel{1, 2, 3}));
  EXPECT_DOUBLE_EQ(read.share([](const Pixel& pixel) { return chroma(pixel) > 100; }), 0.5);
  EXPECT_EQ(read.colours(), 4U);
}

TEST(Picture, ThatIsNoPngIsAnError) {
  const TemporaryFolder folder;
  EXPECT_THROW(readPng(writeText(folder / "a.png", "no picture")), std::runtime_error);
}

}  // namespace holdground
