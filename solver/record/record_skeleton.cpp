#include "solver/record/record_skeleton.hpp"

#include <algorithm>
#include <functional>

#include "solver/core/version.hpp"
#include "solver/record/format_fields.hpp"
#include "solver/record/format_series.hpp"

namespace holdground {
namespace {

using hdf5::check;
using hdf5::GrowingDataset;
using hdf5::Handle;
using hdf5::Label;
using hdf5::Packing;

constexpr hsize_t kSeriesChunk = 512;  // rows; 4 KB a column
constexpr hsize_t kClosingChunk = 16;  // rows

// A kill stops a write between two pages of the page cache. HDF5 keeps its own blocks within pages
// of this size, so that none is torn as long as none is larger.
constexpr hsize_t kPage = 4096;  // bytes

Handle createGroup(hid_t parent, const std::string& name) {
  const Handle timeless(H5Pcreate(H5P_GROUP_CREATE), H5Pclose);
  H5Pset_obj_track_times(timeless, false);
  return {check(H5Gcreate2(parent, name.c_str(), H5P_DEFAULT, timeless, H5P_DEFAULT),
                "cannot write record"),
          H5Gclose};
}

/// Writes one dataset of fixed shape; an empty shape is a single value.
void writeFixed(hid_t group, const char* name, hid_t type, const std::vector<hsize_t>& shape,
                const void* values, const Label& label) {
  const Handle space(shape.empty()
                         ? H5Screate(H5S_SCALAR)
                         : H5Screate_simple(static_cast<int>(shape.size()), shape.data(), nullptr),
                     H5Sclose);
  const Handle properties(H5Pcreate(H5P_DATASET_CREATE), H5Pclose);
  H5Pset_obj_track_times(properties, false);
  const Handle dataset(
      check(H5Dcreate2(group, name, type, space, H5P_DEFAULT, properties, H5P_DEFAULT),
            "cannot write record"),
      H5Dclose);
  hdf5::attach(dataset, label);
  if (values != nullptr && H5Dwrite(dataset, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, values) < 0)
    hdf5::fail("cannot write record");
}

/// Writes the fields it is shown (format_fields.hpp) as datasets of one group.
struct FieldWriter {
  hid_t group;

  template <class Value>
  void operator()(const char* name, const char* unit, const char* frame, const char* description,
                  const Value& value) const {
    write(name, value, Label{unit, frame, description});
  }

 private:
  void write(const char* name, const std::string& text, const Label& label) const {
    std::string padded = text;
    padded.resize(std::max<std::size_t>(text.size(), 1));
    writeFixed(group, name, hdf5::textType(padded.size()), {}, padded.data(), label);
  }
  void write(const char* name, const std::vector<std::string>& texts, const Label& label) const {
    std::size_t longest = 1;
    for (const auto& text : texts) longest = std::max(longest, text.size());
    std::string all;
    for (const auto& text : texts) all += text + std::string(longest - text.size(), '\0');
    writeFixed(group, name, hdf5::textType(longest), {texts.size()},
               texts.empty() ? nullptr : all.data(), label);
  }
  void write(const char* name, const Vec3& value, const Label& label) const {
    writeFixed(group, name, H5T_NATIVE_DOUBLE, {3}, value.data(), label);
  }
  void write(const char* name, const std::vector<Vec3>& values, const Label& label) const {
    static_assert(sizeof(Vec3) == 3 * sizeof(double));
    writeFixed(group, name, H5T_NATIVE_DOUBLE, {values.size(), 3},
               values.empty() ? nullptr : values.data(), label);
  }
  void write(const char* name, const std::vector<std::array<std::uint32_t, 3>>& values,
             const Label& label) const {
    writeFixed(group, name, H5T_NATIVE_UINT32, {values.size(), 3},
               values.empty() ? nullptr : values.data(), label);
  }
  template <class Value>
  void write(const char* name, const std::vector<Value>& values, const Label& label) const {
    writeFixed(group, name, hdf5::memoryType<Value>(), {values.size()},
               values.empty() ? nullptr : values.data(), label);
  }
  template <class Value>
  requires std::is_arithmetic_v<Value>
  void write(const char* name, Value value, const Label& label) const {
    writeFixed(group, name, hdf5::memoryType<Value>(), {}, &value, label);
  }
};

void writeProvenance(hid_t file, const RunDescription& run) {
  const Handle group = createGroup(file, "provenance");
  const FieldWriter field{group};
  format::visitProvenance(run, field);
  field("load_mode", "1", format::kNoFrame, "what the schedule prescribes: speed or load",
        std::string(format::kLoadModeNames[static_cast<int>(run.loadMode)]));
  const Handle texts = createGroup(group, "texts");
  for (const auto& [name, text] : run.scenarioTexts)
    FieldWriter{texts}(name.c_str(), "1", format::kNoFrame, "scenario file as it was read", text);
}

void writeAnchor(hid_t file, const AnchorDescription& anchor) {
  const Handle group = createGroup(file, "anchor");
  format::visitAnchor(anchor, FieldWriter{group});
  const Handle parts = createGroup(group, "parts");
  for (std::size_t k = 0; k < anchor.parts.size(); ++k) {
    const Handle part = createGroup(parts, std::to_string(k));
    format::visitPart(anchor.parts[k], FieldWriter{part});
  }
}

const char* frameText(ColumnFrame frame) {
  return frame == ColumnFrame::kWorld ? format::kWorldFrame : format::kNoFrame;
}

void createSeries(hid_t file, hsize_t parts) {
  const Handle group = createGroup(file, "series");
  const auto create = [&](const auto& columns, hid_t type, const std::vector<hsize_t>& rowShape) {
    for (const auto& column : columns)
      GrowingDataset::create(group, column.name, type, rowShape, kSeriesChunk, Packing::kPlain,
                             {column.unit, frameText(column.frame), column.description});
  };
  create(kScalarColumns, H5T_NATIVE_DOUBLE, {});
  create(kVectorColumns, H5T_NATIVE_DOUBLE, {3});
  create(kCountColumns, H5T_NATIVE_UINT64, {});
  GrowingDataset::create(
      group, format::kOrientation, H5T_NATIVE_DOUBLE, {4}, kSeriesChunk, Packing::kPlain,
      {"1", format::kWorldFrame, "turns the anchor frame into the world: w x y z"});
  if (parts > 0)
    GrowingDataset::create(group, format::kPartForce, H5T_NATIVE_DOUBLE, {parts, 3}, kSeriesChunk,
                           Packing::kPlain,
                           {"N", format::kWorldFrame,
                            "force of the grains on each part, in the order of /anchor/parts"});
}

void createFrames(hid_t group, hsize_t grains) {
  const char* world = format::kWorldFrame;
  const auto create = [&](const char* name, const std::vector<hsize_t>& rowShape,
                          const Label& label) {
    GrowingDataset::create(group, name, H5T_NATIVE_DOUBLE, rowShape, kSeriesChunk, Packing::kPlain,
                           label);
  };
  create("time", {}, {"s", format::kNoFrame, "simulated time of the frame"});
  create("position", {3}, {"m", world, "centre of mass of the anchor, never wrapped"});
  create("orientation", {4}, {"1", world, "turns the anchor frame into the world: w x y z"});
  create("boat_end", {3}, {"m", world, "the end of the line at the boat"});
  create("displacement_unit", {}, {"m", format::kNoFrame, "size of one count of displacement"});
  if (grains == 0) return;
  GrowingDataset::create(
      group, "displacement", H5T_NATIVE_INT16, {grains, 3}, 1, Packing::kDeflated,
      {"displacement_unit of the frame", world,
       "displacement of each grain from its reference_position, shortest way round the periodic "
       "domain; -32768: no finite place"});
  GrowingDataset::create(group, "speed", hdf5::halfType(), {grains}, 1, Packing::kDeflated,
                         {"m/s", world, "speed of each grain, half precision"});
}

void createClosing(hid_t file) {
  const Handle group = createGroup(file, "closing");
  const auto create = [&](const char* name, hid_t type, const char* unit, const char* description) {
    GrowingDataset::create(group, name, type, {}, kClosingChunk, Packing::kPlain,
                           {unit, format::kNoFrame, description});
  };
  create("end_reason", hdf5::textType(kReasonBytes), "1", "why the run ended; no row: it did not");
  create("state_hash", H5T_NATIVE_UINT64, "1", "hash of the state of all grains and the anchor");
  create("steps", H5T_NATIVE_UINT64, "1", "steps made");
  create("simulated_time", H5T_NATIVE_DOUBLE, "s", "simulated time at the end");
  create("wall_time", H5T_NATIVE_DOUBLE, "s", "time the run took");
  create("stage_name", hdf5::textType(kStageNameBytes), "1", "stages of the step");
  create("stage_seconds", H5T_NATIVE_DOUBLE, "s", "time spent in each stage");
  create("stage_calls", H5T_NATIVE_UINT64, "1", "how often each stage ran");
  create("log", hdf5::textType(kLogLineBytes), "1", "log of the end of the run, line by line");
}

/// In place from the start, so that saying what is whole never needs room on the disk.
void writeProgress(hid_t file, const hdf5::Progress& progress) {
  writeFixed(file, format::kProgress, H5T_NATIVE_UINT64, {3}, &progress,
             {"1", format::kNoFrame, "rows of the series, frames and closings that are whole"});
}

Handle createFile(const std::filesystem::path& path) {
  hdf5::silence();
  const Handle access(H5Pcreate(H5P_FILE_ACCESS), H5Pclose);
  H5Pset_libver_bounds(access, H5F_LIBVER_V110, H5F_LIBVER_V110);
  H5Pset_file_locking(access, true, true);
  const Handle properties(H5Pcreate(H5P_FILE_CREATE), H5Pclose);
  H5Pset_obj_track_times(properties, false);  // the same run gives the same bytes
  H5Pset_file_space_strategy(properties, H5F_FSPACE_STRATEGY_PAGE, false, 1);
  H5Pset_file_space_page_size(properties, kPage);
  // HDF5 notes the strategy in an object of its own, made like a group by default.
  H5Pset_obj_track_times(H5P_GROUP_CREATE_DEFAULT, false);
  Handle file(check(H5Fcreate(path.c_str(), H5F_ACC_TRUNC, properties, access),
                    "cannot create record '" + path.string() + "'"),
              H5Fclose);
  hdf5::attachText(file, "format", format::kFormatName);
  hdf5::attachText(file, "program_version", versionString());
  const Handle space(H5Screate(H5S_SCALAR), H5Sclose);
  const Handle attribute(
      H5Acreate2(file, "format_version", H5T_NATIVE_INT, space, H5P_DEFAULT, H5P_DEFAULT),
      H5Aclose);
  if (H5Awrite(attribute, H5T_NATIVE_INT, &format::kFormatVersion) < 0)
    hdf5::fail("cannot write record");
  return file;
}

void closeFile(Handle& file, const std::filesystem::path& path) {
  if (H5Fflush(file, H5F_SCOPE_GLOBAL) < 0 || !file.reset())
    hdf5::fail("cannot write record '" + path.string() + "'");
}

/// Calls visit(target, source) for every pair of datasets of two records.
void forEachPair(GrowingSet& target, GrowingSet& source,
                 const std::vector<std::vector<GrowingDataset> GrowingSet::*>& members,
                 const std::function<void(GrowingDataset&, GrowingDataset&)>& visit) {
  for (const auto member : members)
    for (std::size_t k = 0; k < (target.*member).size(); ++k)
      visit((target.*member)[k], (source.*member)[k]);
}

}  // namespace

void writeSkeleton(const std::filesystem::path& path, const RunDescription& description) {
  Handle file = createFile(path);
  writeProvenance(file, description);
  writeAnchor(file, description.anchor);
  {
    const Handle bed = createGroup(file, "bed");
    format::visitBed(description.bed, FieldWriter{bed});
    const Handle frames = createGroup(file, "frames");
    format::visitGrains(description.bed, FieldWriter{frames});
    createFrames(frames, description.bed.radius.size());
  }
  createSeries(file, description.anchor.parts.size());
  createClosing(file);
  writeProgress(file, {});
  closeFile(file, path);
}

void copyUpTo(const std::filesystem::path& path, hid_t source, std::size_t seriesRows,
              std::size_t frames) {
  const hdf5::Progress whole = hdf5::readProgress(source);
  if (whole.rows < seriesRows || whole.frames < frames)
    throw InputError("it ends before the checkpoint");
  Handle file = createFile(path);
  const auto copy = [&](const char* name) {
    if (H5Ocopy(source, name, file, name, H5P_DEFAULT, H5P_DEFAULT) < 0)
      hdf5::fail("cannot copy record");
  };
  for (const char* group : {"provenance", "anchor", "bed"}) copy(group);
  GrowingSet from = openGrowing(source);
  createSeries(file, from.partForce.empty() ? 0 : from.partForce[0].rowSize() / 3);
  {
    const Handle group = createGroup(file, "frames");
    for (const char* name : {"frames/grain_id", "frames/radius", "frames/reference_position",
                             "frames/frozen", "frames/layer"})
      copy(name);
    createFrames(group, hdf5::shapeOf(hdf5::openDataset(source, "frames/radius"))[0]);
  }
  createClosing(file);
  writeProgress(file, {seriesRows, frames, 0});
  {
    GrowingSet to = openGrowing(file);
    forEachPair(to, from,
                {&GrowingSet::scalars, &GrowingSet::vectors, &GrowingSet::counts,
                 &GrowingSet::orientation, &GrowingSet::partForce},
                [&](GrowingDataset& a, GrowingDataset& b) { a.appendFrom(b, seriesRows); });
    forEachPair(to, from, {&GrowingSet::frames},
                [&](GrowingDataset& a, GrowingDataset& b) { a.appendFrom(b, frames); });
  }
  closeFile(file, path);
}

GrowingSet openGrowing(hid_t file) {
  GrowingSet set;
  const Handle series = hdf5::openGroup(file, "series");
  for (const auto& column : kScalarColumns) set.scalars.emplace_back(series, column.name);
  for (const auto& column : kVectorColumns) set.vectors.emplace_back(series, column.name);
  for (const auto& column : kCountColumns) set.counts.emplace_back(series, column.name);
  set.orientation.emplace_back(series, format::kOrientation);
  if (H5Lexists(series, format::kPartForce, H5P_DEFAULT) > 0)
    set.partForce.emplace_back(series, format::kPartForce);
  const Handle frames = hdf5::openGroup(file, "frames");
  for (const char* name : {"time", "position", "orientation", "boat_end", "displacement_unit"})
    set.frames.emplace_back(frames, name);
  if (H5Lexists(frames, "displacement", H5P_DEFAULT) > 0)
    for (const char* name : {"displacement", "speed"}) set.frames.emplace_back(frames, name);
  const Handle closing = hdf5::openGroup(file, "closing");
  for (const char* name : {"end_reason", "state_hash", "steps", "simulated_time", "wall_time",
                           "stage_name", "stage_seconds", "stage_calls", "log"})
    set.closing.emplace_back(closing, name);
  return set;
}

}  // namespace holdground
