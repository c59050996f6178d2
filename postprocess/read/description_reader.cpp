#include "postprocess/read/description_reader.hpp"

#include <array>
#include <type_traits>

#include "solver/core/errors.hpp"
#include "solver/record/format_fields.hpp"
#include "solver/record/format_hdf5.hpp"

namespace holdground {
namespace {

using hdf5::Handle;

/// Fills the fields it is shown (format_fields.hpp) from the datasets of one group.
struct FieldReader {
  hid_t group;

  template <class Value>
  void operator()(const char* name, const char*, const char*, const char*, Value& value) const {
    const Handle dataset = hdf5::openDataset(group, name);
    read(dataset, value);
  }

 private:
  static void readAll(hid_t dataset, hid_t type, void* values) {
    if (H5Dread(dataset, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, values) < 0)
      hdf5::fail("cannot read a dataset");
  }
  static hsize_t length(hid_t dataset, std::size_t rank) {
    const auto shape = hdf5::shapeOf(dataset);
    if (shape.size() != rank || (rank == 2 && shape[1] != 3))
      throw SystemError("a dataset has an unexpected shape");
    return shape[0];
  }
  /// Raw bytes of all texts of a dataset, `bytes` each.
  static std::string texts(hid_t dataset, std::size_t count, std::size_t& bytes) {
    const Handle type(hdf5::check(H5Dget_type(dataset), "cannot read a text"), H5Tclose);
    if (H5Tget_class(type) != H5T_STRING) throw SystemError("a dataset is not a text");
    bytes = H5Tget_size(type);
    std::string all(count * bytes, '\0');
    if (count > 0) readAll(dataset, type, all.data());
    return all;
  }
  static std::string withoutPadding(const std::string& text) {
    return text.substr(0, text.find_last_not_of('\0') + 1);
  }

  void read(hid_t dataset, std::string& text) const {
    std::size_t bytes = 0;
    text = withoutPadding(texts(dataset, 1, bytes));
  }
  void read(hid_t dataset, std::vector<std::string>& list) const {
    const hsize_t count = length(dataset, 1);
    std::size_t bytes = 0;
    const std::string all = texts(dataset, count, bytes);
    for (hsize_t k = 0; k < count; ++k)
      list.push_back(withoutPadding(all.substr(k * bytes, bytes)));
  }
  void read(hid_t dataset, Vec3& value) const {
    if (length(dataset, 1) != 3) throw SystemError("a dataset has an unexpected shape");
    readAll(dataset, H5T_NATIVE_DOUBLE, value.data());
  }
  void read(hid_t dataset, std::vector<Vec3>& values) const {
    values.resize(length(dataset, 2));
    if (!values.empty()) readAll(dataset, H5T_NATIVE_DOUBLE, values.data());
  }
  void read(hid_t dataset, std::vector<std::array<std::uint32_t, 3>>& values) const {
    values.resize(length(dataset, 2));
    if (!values.empty()) readAll(dataset, H5T_NATIVE_UINT32, values.data());
  }
  template <class Value>
  void read(hid_t dataset, std::vector<Value>& values) const {
    values.resize(length(dataset, 1));
    if (!values.empty()) readAll(dataset, hdf5::memoryType<Value>(), values.data());
  }
  template <class Value>
  requires std::is_arithmetic_v<Value>
  void read(hid_t dataset, Value& value) const {
    if (!hdf5::shapeOf(dataset).empty()) throw SystemError("a dataset has an unexpected shape");
    readAll(dataset, hdf5::memoryType<Value>(), &value);
  }
};

/// Names of the members of a group, in alphabetical order.
std::vector<std::string> members(hid_t group) {
  H5G_info_t info;
  if (H5Gget_info(group, &info) < 0) hdf5::fail("cannot read a group");
  std::vector<std::string> names;
  for (hsize_t k = 0; k < info.nlinks; ++k) {
    char name[256] = {};
    if (H5Lget_name_by_idx(group, ".", H5_INDEX_NAME, H5_ITER_INC, k, name, sizeof name,
                           H5P_DEFAULT) < 0)
      hdf5::fail("cannot read a group");
    names.emplace_back(name);
  }
  return names;
}

void readProvenance(hid_t file, RunDescription& run) {
  const Handle group = hdf5::openGroup(file, "provenance");
  const FieldReader field{group};
  format::visitProvenance(run, field);
  std::string mode;
  field("load_mode", nullptr, nullptr, nullptr, mode);
  run.loadMode =
      mode == format::kLoadModeNames[0] ? LoadMode::kPrescribedSpeed : LoadMode::kPrescribedLoad;
  const Handle texts = hdf5::openGroup(group, "texts");
  for (const auto& name : members(texts)) {
    std::string text;
    FieldReader{texts}(name.c_str(), nullptr, nullptr, nullptr, text);
    run.scenarioTexts.emplace_back(name, text);
  }
}

void readAnchor(hid_t file, AnchorDescription& anchor) {
  const Handle group = hdf5::openGroup(file, "anchor");
  format::visitAnchor(anchor, FieldReader{group});
  const Handle parts = hdf5::openGroup(group, "parts");
  anchor.parts.resize(members(parts).size());
  for (std::size_t k = 0; k < anchor.parts.size(); ++k) {
    const Handle part = hdf5::openGroup(parts, std::to_string(k));
    format::visitPart(anchor.parts[k], FieldReader{part});
    for (const auto& triangle : anchor.parts[k].mesh.triangles)
      for (const auto corner : triangle)
        if (corner >= anchor.parts[k].mesh.vertices.size())
          throw SystemError("a mesh names a corner it does not have");
  }
}

}  // namespace

void checkFormat(hid_t file, const std::string& path) {
  const auto notOurs = [&]() -> InputError {
    return InputError("'" + path + "' is not a record: HDF5, but without the mark " +
                      format::kFormatName);
  };
  if (H5Aexists(file, "format") <= 0 || H5Aexists(file, "format_version") <= 0) throw notOurs();
  const Handle mark(H5Aopen(file, "format", H5P_DEFAULT), H5Aclose);
  const Handle type(H5Aget_type(mark), H5Tclose);
  if (H5Tget_class(type) != H5T_STRING || H5Tis_variable_str(type) > 0) throw notOurs();
  std::string text(H5Tget_size(type), '\0');
  if (H5Aread(mark, type, text.data()) < 0 || text != format::kFormatName) throw notOurs();
  int version = 0;
  const Handle number(H5Aopen(file, "format_version", H5P_DEFAULT), H5Aclose);
  if (H5Aread(number, H5T_NATIVE_INT, &version) < 0) throw notOurs();
  if (version != format::kFormatVersion)
    throw InputError("record '" + path + "' has format version " + std::to_string(version) +
                     ", this program reads version " + std::to_string(format::kFormatVersion));
}

RunDescription readDescription(hid_t file) {
  RunDescription run;
  readProvenance(file, run);
  readAnchor(file, run.anchor);
  const Handle bed = hdf5::openGroup(file, "bed");
  format::visitBed(run.bed, FieldReader{bed});
  const Handle frames = hdf5::openGroup(file, "frames");
  format::visitGrains(run.bed, FieldReader{frames});
  if (run.bed.referencePosition.size() != run.bed.radius.size())
    throw SystemError("grains without a radius");
  if (!run.bed.layer.empty() && run.bed.layer.size() != run.bed.radius.size())
    throw SystemError("grains without a layer");
  return run;
}

}  // namespace holdground
