#include "tests/support/picture.hpp"

#include <png.h>

#include <algorithm>
#include <set>
#include <stdexcept>

namespace holdground {
namespace {

[[noreturn]] void fail(const std::filesystem::path& file, const png_image& image) {
  throw std::runtime_error(file.string() + ": " + image.message);
}

}  // namespace

double Picture::share(const std::function<bool(const Pixel&)>& condition) const {
  const auto count = std::count_if(pixels.begin(), pixels.end(), condition);
  return static_cast<double>(count) / static_cast<double>(pixels.size());
}

std::size_t Picture::colours() const {
  std::set<Pixel> found;
  for (const Pixel& pixel : pixels) {
    found.insert({static_cast<std::uint8_t>(pixel[0] / 16),
                  static_cast<std::uint8_t>(pixel[1] / 16),
                  static_cast<std::uint8_t>(pixel[2] / 16)});
  }
  return found.size();
}

Picture readPng(const std::filesystem::path& file) {
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  if (png_image_begin_read_from_file(&image, file.c_str()) == 0) fail(file, image);
  image.format = PNG_FORMAT_RGB;
  Picture picture;
  picture.width = static_cast<int>(image.width);
  picture.height = static_cast<int>(image.height);
  picture.pixels.resize(static_cast<std::size_t>(image.width) * image.height);
  const png_color white{255, 255, 255};
  if (png_image_finish_read(&image, &white, picture.pixels.data(), 0, nullptr) == 0) {
    fail(file, image);
  }
  return picture;
}

void writePng(const std::filesystem::path& file, const Picture& picture) {
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.format = PNG_FORMAT_RGB;
  image.width = static_cast<png_uint_32>(picture.width);
  image.height = static_cast<png_uint_32>(picture.height);
  if (png_image_write_to_file(&image, file.c_str(), 0, picture.pixels.data(), 0, nullptr) == 0) {
    fail(file, image);
  }
}

}  // namespace holdground
