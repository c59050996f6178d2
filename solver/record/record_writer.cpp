#include "solver/record/record_writer.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>

#include "solver/record/durable_file.hpp"
#include "solver/record/format.hpp"
#include "solver/record/frame_packing.hpp"
#include "solver/record/record_skeleton.hpp"

namespace holdground {
namespace {

using hdf5::GrowingDataset;
using hdf5::Handle;

constexpr std::size_t kSeriesBatch = 32;  // samples between two writings when no frame comes

/// SystemError when an open file lacks what a record of this version has.
void sourceIsRecord(hid_t file) {
  int version = 0;
  const Handle attribute(H5Aopen(file, "format_version", H5P_DEFAULT), H5Aclose);
  if (!attribute || H5Aread(attribute, H5T_NATIVE_INT, &version) < 0 ||
      version != format::kFormatVersion)
    throw SystemError("it is not a record of version " + std::to_string(format::kFormatVersion));
}

/// Text cut at line ends, and lines at the length a row of the log holds.
std::vector<std::string> logRows(const std::string& log) {
  std::vector<std::string> rows;
  for (std::size_t begin = 0; begin < log.size();) {
    const std::size_t lineEnd = std::min(log.find('\n', begin), log.size());
    std::size_t end = std::min(lineEnd, begin + kLogLineBytes);
    // Never cut inside a character.
    while (end < lineEnd && end > begin + 1 && (static_cast<unsigned char>(log[end]) >> 6) == 2)
      --end;
    rows.push_back(log.substr(begin, end - begin));
    begin = end < lineEnd ? end : lineEnd + 1;
  }
  return rows;
}

}  // namespace

struct RecordWriter::Impl {
  std::filesystem::path path;
  std::string warning;
  bool live = false;
  bool failed = false;  ///< after an error nothing is written any more
  Handle file;          ///< open for the whole run when live, else for one batch
  GrowingSet sets;
  std::vector<SeriesRow> pending;
  RecordPosition position;              ///< with what is pending
  hdf5::Progress whole;                 ///< what the batch will have made whole
  std::vector<Vec3> reference;          ///< [m]
  double lengthX = 1.0, lengthY = 1.0;  ///< periodic domain [m]
  std::size_t parts = 0;

  void start(LiveReading wanted);
  void readReference();
  void openForBatch();
  void endBatch();
  void abandon();
  template <class Write>
  void writeBatch(Write&& write);
  void writePending();
  void writeFrame(const FrameData& frame);
  void writeClosing(const RunClosing& closing);
};

/// Opens the file that is in place: for others to read meanwhile where that can be had.
void RecordWriter::Impl::start(LiveReading wanted) {
  std::string why = wanted == LiveReading::kOff ? "it was asked for" : obstacleToLiveReading(path);
  if (why.empty()) {
    const Handle access(H5Pcreate(H5P_FILE_ACCESS), H5Pclose);
    H5Pset_libver_bounds(access, H5F_LIBVER_V110, H5F_LIBVER_V110);
    H5Pset_file_locking(access, true, true);
    const hid_t id = H5Fopen(path.c_str(), H5F_ACC_RDWR | H5F_ACC_SWMR_WRITE, access);
    if (id < 0) {
      why = hdf5::lastMessage();
    } else {
      file = Handle(id, H5Fclose);
      sets = openGrowing(file);
      live = true;
      return;
    }
  }
  warning =
      "the record is opened and closed for each batch, reading it at that moment may fail: " + why;
}

/// Takes what packing a frame needs from the file, so that a resumed writer packs the same.
void RecordWriter::Impl::readReference() {
  const Handle source = hdf5::openForReading(path.string());
  const auto scalar = [&](const char* name) {
    double value = 0.0;
    const Handle dataset = hdf5::openDataset(source, name);
    if (H5Dread(dataset, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, &value) < 0)
      hdf5::fail("cannot read record '" + path.string() + "'");
    return value;
  };
  lengthX = scalar("bed/length_x");
  lengthY = scalar("bed/length_y");
  const Handle positions = hdf5::openDataset(source, "frames/reference_position");
  reference.resize(hdf5::shapeOf(positions)[0]);
  hdf5::readRows(positions, H5T_NATIVE_DOUBLE, 0, reference.size(), reference.data());
  const GrowingSet growing = openGrowing(source);
  parts = growing.partForce.empty() ? 0 : growing.partForce[0].rowSize() / 3;
  whole = hdf5::readProgress(source);
  position = {whole.rows, whole.frames};
}

void RecordWriter::Impl::openForBatch() {
  if (live) return;
  const Handle access(H5Pcreate(H5P_FILE_ACCESS), H5Pclose);
  H5Pset_libver_bounds(access, H5F_LIBVER_V110, H5F_LIBVER_V110);
  H5Pset_file_locking(access, false, true);
  // With the order of writing that readers meanwhile would need: a kill is then survived, too.
  file = Handle(hdf5::check(H5Fopen(path.c_str(), H5F_ACC_RDWR | H5F_ACC_SWMR_WRITE, access),
                            "cannot open record"),
                H5Fclose);
  sets = openGrowing(file);
}

/// First the data, then the word that it is whole.
void RecordWriter::Impl::endBatch() {
  if (H5Fflush(file, H5F_SCOPE_GLOBAL) < 0) hdf5::fail("cannot write record");
  {
    const Handle progress = hdf5::openDataset(file, format::kProgress);
    if (H5Dwrite(progress, H5T_NATIVE_UINT64, H5S_ALL, H5S_ALL, H5P_DEFAULT, &whole) < 0 ||
        H5Dflush(progress) < 0)
      hdf5::fail("cannot write record");
  }
  if (live) return;
  sets = {};
  if (!file.reset()) hdf5::fail("cannot write record");
}

/// After an error: closing would write on and could spoil what is whole so far. What HDF5 still
/// wants to write goes nowhere, and the file stays as a killed writer leaves it.
void RecordWriter::Impl::abandon() {
  failed = true;
  void* driverHandle = nullptr;
  if (file && H5Fget_vfd_handle(file, H5P_DEFAULT, &driverHandle) >= 0 && driverHandle != nullptr) {
    const int nowhere = ::open("/dev/null", O_RDWR | O_CLOEXEC);
    if (nowhere >= 0) {
      ::dup2(nowhere, *static_cast<int*>(driverHandle));
      ::close(nowhere);
    }
  }
  sets = {};
  file.reset();
}

template <class Write>
void RecordWriter::Impl::writeBatch(Write&& write) {
  if (failed)
    throw SystemError("cannot write record '" + path.string() + "' after its end or an error");
  try {
    openForBatch();
    write();
    endBatch();
  } catch (const SystemError& error) {
    abandon();
    throw SystemError("record '" + path.string() + "': " + error.what());
  }
}

void RecordWriter::Impl::writePending() {
  const std::size_t rows = pending.size();
  if (rows == 0) return;
  std::vector<double> values;
  for (std::size_t k = 0; k < kScalarColumns.size(); ++k) {
    values.clear();
    for (const auto& row : pending) values.push_back(row.*kScalarColumns[k].field);
    sets.scalars[k].append(H5T_NATIVE_DOUBLE, values.data(), rows);
  }
  std::vector<Vec3> vectors;
  for (std::size_t k = 0; k < kVectorColumns.size(); ++k) {
    vectors.clear();
    for (const auto& row : pending) vectors.push_back(row.*kVectorColumns[k].field);
    sets.vectors[k].append(H5T_NATIVE_DOUBLE, vectors.data(), rows);
  }
  std::vector<std::uint64_t> counts;
  for (std::size_t k = 0; k < kCountColumns.size(); ++k) {
    counts.clear();
    for (const auto& row : pending) counts.push_back(row.*kCountColumns[k].field);
    sets.counts[k].append(H5T_NATIVE_UINT64, counts.data(), rows);
  }
  values.clear();
  for (const auto& row : pending) {
    const Quat& q = row.orientation;
    values.insert(values.end(), {q.w(), q.x(), q.y(), q.z()});
  }
  sets.orientation[0].append(H5T_NATIVE_DOUBLE, values.data(), rows);
  if (parts > 0) {
    vectors.clear();
    for (const auto& row : pending)
      for (std::size_t k = 0; k < parts; ++k)
        vectors.push_back(k < row.partForce.size() ? row.partForce[k] : Vec3(Vec3::Zero()));
    sets.partForce[0].append(H5T_NATIVE_DOUBLE, vectors.data(), rows);
  }
  pending.clear();
  whole.rows += rows;
}

void RecordWriter::Impl::writeFrame(const FrameData& frame) {
  const PackedGrains grains = packGrains(frame, reference, lengthX, lengthY);
  const Quat& q = frame.orientation;
  const double orientation[4] = {q.w(), q.x(), q.y(), q.z()};
  if (!reference.empty()) {
    sets.frames[kFrameDisplacement].append(H5T_NATIVE_INT16, grains.counts.data());
    sets.frames[kFrameSpeed].append(hdf5::halfType(), grains.speeds.data());
  }
  sets.frames[kFrameUnit].append(H5T_NATIVE_DOUBLE, &grains.unit);
  sets.frames[kFrameBoatEnd].append(H5T_NATIVE_DOUBLE, frame.boatEnd.data());
  sets.frames[kFrameOrientation].append(H5T_NATIVE_DOUBLE, orientation);
  sets.frames[kFramePosition].append(H5T_NATIVE_DOUBLE, frame.bodyPosition.data());
  sets.frames[kFrameTime].append(H5T_NATIVE_DOUBLE, &frame.time);
  ++whole.frames;
}

void RecordWriter::Impl::writeClosing(const RunClosing& closing) {
  const auto appendTexts = [&](ClosingColumn column, std::size_t bytes,
                               const std::vector<std::string>& texts) {
    std::string all;
    for (std::string text : texts) {
      text.resize(bytes);
      all += text;
    }
    sets.closing[column].append(hdf5::textType(bytes), all.data(), texts.size());
  };
  std::vector<std::string> names;
  std::vector<double> seconds;
  std::vector<std::uint64_t> calls;
  for (const auto& stage : closing.stages) {
    names.push_back(stage.name);
    seconds.push_back(stage.seconds);
    calls.push_back(stage.calls);
  }
  appendTexts(kStageName, kStageNameBytes, names);
  sets.closing[kStageSeconds].append(H5T_NATIVE_DOUBLE, seconds.data(), seconds.size());
  sets.closing[kStageCalls].append(H5T_NATIVE_UINT64, calls.data(), calls.size());
  appendTexts(kLog, kLogLineBytes, logRows(closing.log));
  sets.closing[kStateHash].append(H5T_NATIVE_UINT64, &closing.stateHash);
  sets.closing[kSteps].append(H5T_NATIVE_UINT64, &closing.steps);
  sets.closing[kSimulatedTime].append(H5T_NATIVE_DOUBLE, &closing.simulatedTime);
  sets.closing[kWallTime].append(H5T_NATIVE_DOUBLE, &closing.wallTime);
  appendTexts(kEndReason, kReasonBytes, {closing.endReason});
  ++whole.closings;
}

RecordWriter::RecordWriter(const std::filesystem::path& path, const RunDescription& description,
                           LiveReading live)
    : impl_(std::make_unique<Impl>()) {
  const std::filesystem::path temporary = temporaryFor(path);
  try {
    writeSkeleton(temporary, description);
    moveIntoPlace(temporary, path);
  } catch (...) {
    removeQuietly(temporary);
    throw;
  }
  impl_->path = path;
  impl_->readReference();
  impl_->start(live);
}

RecordWriter RecordWriter::resume(const std::filesystem::path& path, const RecordPosition& position,
                                  LiveReading live) {
  hdf5::silence();
  const std::filesystem::path temporary = temporaryFor(path);
  const std::string task = "cannot resume record '" + path.string() + "': ";
  try {
    Handle source;
    try {
      source = hdf5::openForReading(path.string());
      sourceIsRecord(source);
    } catch (const SystemError& error) {
      throw InputError(error.what());
    }
    copyUpTo(temporary, source, position.seriesRows, position.frames);
  } catch (const InputError& error) {
    removeQuietly(temporary);
    throw InputError(task + error.what());
  } catch (const SystemError& error) {
    removeQuietly(temporary);
    throw SystemError(task + error.what());
  }
  moveIntoPlace(temporary, path);
  auto impl = std::make_unique<Impl>();
  impl->path = path;
  impl->readReference();
  impl->start(live);
  return RecordWriter(std::move(impl));
}

RecordWriter::RecordWriter(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
RecordWriter::RecordWriter(RecordWriter&&) noexcept = default;
RecordWriter& RecordWriter::operator=(RecordWriter&&) noexcept = default;

RecordWriter::~RecordWriter() {
  if (impl_ == nullptr || impl_->failed || impl_->pending.empty()) return;
  try {
    impl_->writeBatch([&] { impl_->writePending(); });
  } catch (const SystemError&) {
    // A destructor cannot report it; flush() and close() do.
  }
}

void RecordWriter::appendSeries(const SeriesRow& row) {
  impl_->pending.push_back(row);
  ++impl_->position.seriesRows;
  if (impl_->pending.size() >= kSeriesBatch) impl_->writeBatch([&] { impl_->writePending(); });
}

void RecordWriter::appendFrame(const FrameData& frame) {
  const std::size_t grains = impl_->reference.size();
  if (frame.grainPosition.size() != grains || frame.grainSpeed.size() != grains)
    throw SystemError("a frame must have as many grains as the reference of the record");
  impl_->writeBatch([&] {
    impl_->writePending();
    impl_->writeFrame(frame);
  });
  ++impl_->position.frames;
}

void RecordWriter::flush() {
  impl_->writeBatch([&] { impl_->writePending(); });
  syncToDisk(impl_->path);
}

void RecordWriter::close(const RunClosing& closing) {
  impl_->writeBatch([&] {
    impl_->writePending();
    impl_->writeClosing(closing);
  });
  impl_->sets = {};
  if (impl_->live && !impl_->file.reset())
    hdf5::fail("cannot write record '" + impl_->path.string() + "'");
  syncToDisk(impl_->path);
  impl_->failed = true;
}

RecordPosition RecordWriter::position() const { return impl_->position; }
const std::string& RecordWriter::warning() const { return impl_->warning; }

void setEnergy(SeriesRow& row, const EnergyLedger& energy) {
  static_assert(sizeof(EnergyLedger) == 14 * sizeof(double),
                "a new term of the ledger needs a column and a line here");
  row.energyKinetic = energy.kinetic;
  row.energyElasticNormal = energy.elasticNormal;
  row.energyElasticTangential = energy.elasticTangential;
  row.energyElasticRolling = energy.elasticRolling;
  row.energyPotential = energy.potential;
  row.energyFriction = energy.friction;
  row.energyNormalDamping = energy.normalDamping;
  row.energyTangentialDamping = energy.tangentialDamping;
  row.energyRolling = energy.rolling;
  row.energyPlastic = energy.plastic;
  row.energyWaterDrag = energy.waterDrag;
  row.energyRode = energy.rode;
  row.energyHistoryArtefact = energy.historyArtefact;
  row.energyPrescribed = energy.prescribed;
}

}  // namespace holdground
