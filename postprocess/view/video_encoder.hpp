#pragma once
// A film file, fed picture by picture through ffmpeg (H.264, plays everywhere). The file gets its
// name only when the film is whole.

#include <sys/types.h>

#include <filesystem>
#include <optional>

#include "postprocess/picture/raster.hpp"
#include "postprocess/view/under_way.hpp"

namespace holdground {

class VideoEncoder {
 public:
  /// SystemError when ffmpeg is not installed or cannot be started. Width and height must be even.
  VideoEncoder(const std::filesystem::path& file, int width, int height, double framesPerSecond);
  ~VideoEncoder();
  VideoEncoder(const VideoEncoder&) = delete;
  VideoEncoder& operator=(const VideoEncoder&) = delete;

  /// SystemError when ffmpeg has given up, with its reason.
  void add(const Raster& raster);
  /// Ends the film. SystemError when the file is not whole.
  void finish();

 private:
  void end();
  [[noreturn]] void fail();

  std::filesystem::path file_;
  std::filesystem::path unfinished_;
  int pictures_ = -1;  ///< pipe to ffmpeg, -1 once closed
  int messages_ = -1;  ///< pipe from ffmpeg's error output
  pid_t encoder_ = 0;
  std::optional<UnderWay> underWay_;
  int status_ = 0;
};

}  // namespace holdground
