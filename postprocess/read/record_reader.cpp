#include "postprocess/read/record_reader.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "postprocess/read/description_reader.hpp"
#include "solver/core/errors.hpp"
#include "solver/record/format.hpp"
#include "solver/record/format_hdf5.hpp"

namespace holdground {
namespace {

using hdf5::Handle;

/// The whole of a dataset with a growing first dimension, up to `rows`.
template <class Value>
std::vector<Value> readColumn(hid_t group, const char* name, hsize_t rows, std::size_t rowSize) {
  std::vector<Value> values(rows * rowSize);
  hdf5::readRows(hdf5::openDataset(group, name), hdf5::memoryType<Value>(), 0, rows, values.data());
  return values;
}

std::vector<std::string> readTexts(hid_t group, const char* name) {
  const Handle dataset = hdf5::openDataset(group, name);
  const Handle type(H5Dget_type(dataset), H5Tclose);
  const std::size_t bytes = H5Tget_size(type);
  const hsize_t rows = hdf5::shapeOf(dataset).at(0);
  std::string all(rows * bytes, '\0');
  hdf5::readRows(dataset, type, 0, rows, all.data());
  std::vector<std::string> texts;
  for (hsize_t k = 0; k < rows; ++k) texts.emplace_back(all.substr(k * bytes, bytes).c_str());
  return texts;
}

/// Turns what HDF5 could not do into a line about the file.
template <class Read>
auto orDamaged(const std::string& path, Read&& read) {
  try {
    return read();
  } catch (const InputError&) {
    throw;
  } catch (const std::exception& error) {  // also sizes that no memory can hold
    throw InputError("record '" + path + "' is damaged: " + error.what());
  }
}

}  // namespace

struct RecordReader::Impl {
  std::string path;
  Handle file;
  RunDescription description;

  std::vector<SeriesRow> readSeries() const;
  std::size_t frameCount() const;
  FrameData readFrame(std::size_t index) const;
  void readGrains(hid_t frames, hsize_t index, FrameData& frame) const;
  std::optional<RunClosing> closing() const;
};

RecordReader::RecordReader(const std::filesystem::path& path) : impl_(std::make_unique<Impl>()) {
  hdf5::silence();
  impl_->path = path.string();
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(path, ignored))
    throw InputError("there is no record '" + impl_->path + "'");
  try {
    impl_->file = hdf5::openForReading(impl_->path);
  } catch (const SystemError& error) {
    if (H5Fis_hdf5(impl_->path.c_str()) <= 0)
      throw InputError("'" + impl_->path + "' is not a record: not an HDF5 file");
    throw InputError("record '" + impl_->path + "' cannot be opened: " + error.what());
  }
  checkFormat(impl_->file, impl_->path);
  orDamaged(impl_->path, [&] {
    impl_->description = readDescription(impl_->file);
    impl_->frameCount();
    return 0;
  });
}

RecordReader::~RecordReader() = default;
RecordReader::RecordReader(RecordReader&&) noexcept = default;
RecordReader& RecordReader::operator=(RecordReader&&) noexcept = default;

const RunDescription& RecordReader::description() const { return impl_->description; }

std::vector<SeriesRow> RecordReader::readSeries() const {
  return orDamaged(impl_->path, [&] { return impl_->readSeries(); });
}

std::size_t RecordReader::frameCount() const {
  return orDamaged(impl_->path, [&] { return impl_->frameCount(); });
}

std::vector<double> RecordReader::frameTimes() const {
  return orDamaged(impl_->path, [&] {
    const Handle frames = hdf5::openGroup(impl_->file, "frames");
    return readColumn<double>(frames, "time", impl_->frameCount(), 1);
  });
}

FrameData RecordReader::readFrame(std::size_t index) const {
  return orDamaged(impl_->path, [&] { return impl_->readFrame(index); });
}

std::optional<RunClosing> RecordReader::closing() const {
  return orDamaged(impl_->path, [&] { return impl_->closing(); });
}

std::vector<SeriesRow> RecordReader::Impl::readSeries() const {
  const Handle series = hdf5::openGroup(file, "series");
  const std::size_t parts = description.anchor.parts.size();
  const hsize_t rows = hdf5::readProgress(file).rows;
  std::vector<SeriesRow> result(rows);
  for (const auto& column : kScalarColumns) {
    const auto values = readColumn<double>(series, column.name, rows, 1);
    for (hsize_t k = 0; k < rows; ++k) result[k].*column.field = values[k];
  }
  for (const auto& column : kVectorColumns) {
    const auto values = readColumn<double>(series, column.name, rows, 3);
    for (hsize_t k = 0; k < rows; ++k) result[k].*column.field = Vec3(values.data() + 3 * k);
  }
  for (const auto& column : kCountColumns) {
    const auto values = readColumn<std::uint64_t>(series, column.name, rows, 1);
    for (hsize_t k = 0; k < rows; ++k) result[k].*column.field = values[k];
  }
  const auto turns = readColumn<double>(series, format::kOrientation, rows, 4);
  for (hsize_t k = 0; k < rows; ++k)
    result[k].orientation =
        Quat(turns[4 * k], turns[4 * k + 1], turns[4 * k + 2], turns[4 * k + 3]);
  if (parts > 0) {
    const auto forces = readColumn<double>(series, format::kPartForce, rows, 3 * parts);
    for (hsize_t k = 0; k < rows; ++k)
      for (std::size_t part = 0; part < parts; ++part)
        result[k].partForce.emplace_back(forces.data() + 3 * (k * parts + part));
  }
  return result;
}

std::size_t RecordReader::Impl::frameCount() const { return hdf5::readProgress(file).frames; }

FrameData RecordReader::Impl::readFrame(std::size_t index) const {
  if (index >= frameCount())
    throw InputError("record '" + path + "' has " + std::to_string(frameCount()) +
                     " frames, there is no number " + std::to_string(index));
  const Handle frames = hdf5::openGroup(file, "frames");
  const auto read = [&](const char* name, void* values) {
    hdf5::readRows(hdf5::openDataset(frames, name), H5T_NATIVE_DOUBLE, index, 1, values);
  };
  FrameData frame;
  double q[4] = {};
  read("time", &frame.time);
  read("position", frame.bodyPosition.data());
  read("orientation", q);
  read("boat_end", frame.boatEnd.data());
  frame.orientation = Quat(q[0], q[1], q[2], q[3]);
  if (!description.bed.radius.empty()) readGrains(frames, index, frame);
  return frame;
}

void RecordReader::Impl::readGrains(hid_t frames, hsize_t index, FrameData& frame) const {
  const BedDescription& bed = description.bed;
  const std::size_t grains = bed.radius.size();
  double unit = 0.0;
  std::vector<std::int16_t> counts(3 * grains);
  std::vector<std::uint16_t> halves(grains);
  hdf5::readRows(hdf5::openDataset(frames, "displacement_unit"), H5T_NATIVE_DOUBLE, index, 1,
                 &unit);
  hdf5::readRows(hdf5::openDataset(frames, "displacement"), H5T_NATIVE_INT16, index, 1,
                 counts.data());
  hdf5::readRows(hdf5::openDataset(frames, "speed"), hdf5::halfType(), index, 1, halves.data());
  frame.grainPosition.resize(grains);
  frame.grainSpeed.resize(grains);
  for (std::size_t k = 0; k < grains; ++k) {
    frame.grainSpeed[k] = format::unpackHalf(halves[k]);
    if (counts[3 * k] == format::kNoPlace) {
      frame.grainPosition[k].setConstant(std::numeric_limits<double>::quiet_NaN());
      continue;
    }
    Vec3 place =
        bed.referencePosition[k] + unit * Vec3(counts[3 * k], counts[3 * k + 1], counts[3 * k + 2]);
    place.x() = format::nearestImage(place.x(), bed.lengthX);
    place.y() = format::nearestImage(place.y(), bed.lengthY);
    frame.grainPosition[k] = place;
  }
}

std::optional<RunClosing> RecordReader::Impl::closing() const {
  const Handle group = hdf5::openGroup(file, "closing");
  if (hdf5::readProgress(file).closings == 0) return std::nullopt;
  RunClosing closing;
  for (const auto& reason : readTexts(group, "end_reason")) closing.endReason = reason;
  closing.stateHash = readColumn<std::uint64_t>(group, "state_hash", 1, 1)[0];
  closing.steps = readColumn<std::uint64_t>(group, "steps", 1, 1)[0];
  closing.simulatedTime = readColumn<double>(group, "simulated_time", 1, 1)[0];
  closing.wallTime = readColumn<double>(group, "wall_time", 1, 1)[0];
  const auto names = readTexts(group, "stage_name");
  const auto seconds = readColumn<double>(group, "stage_seconds", names.size(), 1);
  const auto calls = readColumn<std::uint64_t>(group, "stage_calls", names.size(), 1);
  for (std::size_t k = 0; k < names.size(); ++k)
    closing.stages.push_back({names[k], seconds[k], calls[k]});
  for (const auto& line : readTexts(group, "log")) closing.log += line + "\n";
  return closing;
}

}  // namespace holdground
