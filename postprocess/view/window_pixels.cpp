#include "postprocess/view/window_pixels.hpp"

#include <vtkFloatArray.h>
#include <vtkImageData.h>
#include <vtkNew.h>
#include <vtkPNGWriter.h>
#include <vtkRenderWindow.h>
#include <vtkUnsignedCharArray.h>

#include <algorithm>
#include <string>

#include "postprocess/measure/whole_file.hpp"

namespace holdground {
namespace {

// VTK's rows run from the bottom, ours from the top. `channels` values a pixel.
template <class Value>
void copyUpsideDown(const Value* from, Value* to, int width, int height, int channels) {
  const std::size_t row = static_cast<std::size_t>(width) * static_cast<std::size_t>(channels);
  for (int y = 0; y < height; ++y) {
    const Value* source = from + row * static_cast<std::size_t>(height - 1 - y);
    std::copy(source, source + row, to + row * static_cast<std::size_t>(y));
  }
}

}  // namespace

Raster pixelsOf(vtkRenderWindow* window) {
  const int* size = window->GetSize();
  Raster raster{size[0], size[1], {}};
  raster.rgb.resize(3 * raster.pixels());
  vtkNew<vtkUnsignedCharArray> bytes;
  window->GetPixelData(0, 0, raster.width - 1, raster.height - 1, 0, bytes);
  copyUpsideDown(bytes->GetPointer(0), raster.rgb.data(), raster.width, raster.height, 3);
  return raster;
}

std::vector<float> depthsOf(vtkRenderWindow* window) {
  const int* size = window->GetSize();
  vtkNew<vtkFloatArray> values;
  window->GetZbufferData(0, 0, size[0] - 1, size[1] - 1, values);
  std::vector<float> depths(static_cast<std::size_t>(values->GetNumberOfValues()));
  copyUpsideDown(values->GetPointer(0), depths.data(), size[0], size[1], 1);
  return depths;
}

void writePng(const Raster& raster, const std::filesystem::path& file) {
  vtkNew<vtkImageData> image;
  image->SetDimensions(raster.width, raster.height, 1);
  image->AllocateScalars(VTK_UNSIGNED_CHAR, 3);
  copyUpsideDown(raster.rgb.data(), static_cast<std::uint8_t*>(image->GetScalarPointer()),
                 raster.width, raster.height, 3);
  vtkNew<vtkPNGWriter> writer;
  writer->WriteToMemoryOn();  // so that errors of the file system are ours to name
  writer->SetInputData(image);
  writer->Write();
  vtkUnsignedCharArray* bytes = writer->GetResult();
  writeWhole(file, std::string(reinterpret_cast<const char*>(bytes->GetPointer(0)),
                               static_cast<std::size_t>(bytes->GetNumberOfValues())));
}

}  // namespace holdground
