#pragma once
// Thin owning handles over the HDF5 C library, shared by the writer and the reader of records.
//
// A failing call throws SystemError; its text ends with what the operating system or HDF5 said.
// Header only, because the reader's library does not link the solver's.

#include <hdf5.h>

#include <cstdint>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

#include "solver/core/errors.hpp"
#include "solver/record/format.hpp"

namespace holdground::hdf5 {

/// Owns one HDF5 identifier.
class Handle {
 public:
  using Close = herr_t (*)(hid_t);
  Handle() = default;
  Handle(hid_t id, Close close) : id_(id), close_(close) {}
  Handle(Handle&& other) noexcept
      : id_(std::exchange(other.id_, H5I_INVALID_HID)), close_(other.close_) {}
  Handle& operator=(Handle&& other) noexcept {
    std::swap(id_, other.id_);
    std::swap(close_, other.close_);
    return *this;
  }
  ~Handle() { reset(); }

  /// Closes now. False when HDF5 could not, which for a file means that data was not written.
  bool reset() {
    if (id_ < 0) return true;
    return close_(std::exchange(id_, H5I_INVALID_HID)) >= 0;
  }
  explicit operator bool() const { return id_ >= 0; }
  operator hid_t() const { return id_; }

 private:
  hid_t id_ = H5I_INVALID_HID;
  Close close_ = nullptr;
};

/// HDF5 prints its errors by default; libraries do not print.
inline void silence() { H5Eset_auto2(H5E_DEFAULT, nullptr, nullptr); }

namespace detail {
inline herr_t innermost(unsigned, const H5E_error2_t* error, void* text) {
  if (error->desc != nullptr) *static_cast<std::string*>(text) = error->desc;
  return 0;
}
}  // namespace detail

/// The innermost message of the last failed call, without HDF5's details.
inline std::string lastMessage() {
  std::string text;
  H5Ewalk2(H5E_DEFAULT, H5E_WALK_DOWNWARD, detail::innermost, &text);
  H5Eclear2(H5E_DEFAULT);
  const std::string mark = "error message = '";
  if (const auto begin = text.find(mark); begin != std::string::npos) {
    const auto end = text.find('\'', begin + mark.size());
    return text.substr(begin + mark.size(), end - begin - mark.size());
  }
  return text.empty() ? "no reason given" : text;
}

[[noreturn]] inline void fail(const std::string& what) {
  throw SystemError(what + ": " + lastMessage());
}

inline hid_t check(hid_t id, const std::string& what) {
  if (id < 0) fail(what);
  return id;
}

template <class Value>
hid_t memoryType() {
  if constexpr (std::is_same_v<Value, double>) return H5T_NATIVE_DOUBLE;
  if constexpr (std::is_same_v<Value, float>) return H5T_NATIVE_FLOAT;
  if constexpr (std::is_same_v<Value, int>) return H5T_NATIVE_INT;
  if constexpr (std::is_same_v<Value, std::uint64_t>) return H5T_NATIVE_UINT64;
  if constexpr (std::is_same_v<Value, std::uint32_t>) return H5T_NATIVE_UINT32;
  if constexpr (std::is_same_v<Value, std::uint8_t>) return H5T_NATIVE_UINT8;
  if constexpr (std::is_same_v<Value, std::int16_t>) return H5T_NATIVE_INT16;
}

/// UTF-8 text of a fixed number of bytes, padded with zeros.
inline Handle textType(std::size_t bytes) {
  Handle type(check(H5Tcopy(H5T_C_S1), "cannot make a text type"), H5Tclose);
  H5Tset_size(type, bytes == 0 ? 1 : bytes);
  H5Tset_cset(type, H5T_CSET_UTF8);
  H5Tset_strpad(type, H5T_STR_NULLPAD);
  return type;
}

/// IEEE half float in the file; in memory its 16 bits.
inline Handle halfType() {
  Handle type(check(H5Tcopy(H5T_IEEE_F32LE), "cannot make the half-float type"), H5Tclose);
  H5Tset_fields(type, 15, 10, 5, 0, 10);
  H5Tset_size(type, 2);
  H5Tset_ebias(type, 15);
  return type;
}

inline Handle openGroup(hid_t parent, const std::string& name) {
  return {check(H5Gopen2(parent, name.c_str(), H5P_DEFAULT), "cannot open group " + name),
          H5Gclose};
}

inline Handle openDataset(hid_t parent, const std::string& name) {
  return {check(H5Dopen2(parent, name.c_str(), H5P_DEFAULT), "cannot open dataset " + name),
          H5Dclose};
}

/// Sizes of a dataset; empty for a single value.
inline std::vector<hsize_t> shapeOf(hid_t dataset) {
  const Handle space(check(H5Dget_space(dataset), "cannot read the shape of a dataset"), H5Sclose);
  const int rank = H5Sget_simple_extent_ndims(space);
  if (rank < 0) fail("cannot read the shape of a dataset");
  std::vector<hsize_t> shape(static_cast<std::size_t>(rank));
  if (rank > 0) H5Sget_simple_extent_dims(space, shape.data(), nullptr);
  return shape;
}

/// Reads rows [first, first + count) of a dataset, all columns.
inline void readRows(hid_t dataset, hid_t type, hsize_t first, hsize_t count, void* data) {
  std::vector<hsize_t> size = shapeOf(dataset);
  if (size.empty() || first + count > size[0]) fail("a dataset is shorter than the others");
  if (count == 0) return;
  std::vector<hsize_t> start(size.size(), 0);
  start[0] = first;
  size[0] = count;
  const Handle file(check(H5Dget_space(dataset), "cannot read the shape of a dataset"), H5Sclose);
  H5Sselect_hyperslab(file, H5S_SELECT_SET, start.data(), nullptr, size.data(), nullptr);
  const Handle memory(H5Screate_simple(static_cast<int>(size.size()), size.data(), nullptr),
                      H5Sclose);
  if (H5Dread(dataset, type, memory, file, H5P_DEFAULT, data) < 0) fail("cannot read a dataset");
}

/// What a record holds whole (format.hpp, /progress).
struct Progress {
  std::uint64_t rows = 0, frames = 0, closings = 0;
};

inline Progress readProgress(hid_t file) {
  Progress progress;
  const Handle dataset = openDataset(file, format::kProgress);
  if (shapeOf(dataset) != std::vector<hsize_t>{3}) fail("a dataset has an unexpected shape");
  readRows(dataset, H5T_NATIVE_UINT64, 0, 3, &progress);
  return progress;
}

/// Opens a file for reading, also while its writer runs. One left behind by a writer that could not
/// let others read is marked as open for ever: it is then read from a copy in memory.
inline Handle openForReading(const std::string& path) {
  const Handle access(H5Pcreate(H5P_FILE_ACCESS), H5Pclose);
  H5Pset_file_locking(access, true, true);
  // HDF5 waits 1, 2, 4 ... ns between attempts to read what looks torn: 24 of them are 17 ms, its
  // own default of 100 on a damaged file would be for ever.
  H5Pset_metadata_read_attempts(access, 24);
  hid_t file = H5Fopen(path.c_str(), H5F_ACC_RDONLY | H5F_ACC_SWMR_READ, access);
  if (file < 0) file = H5Fopen(path.c_str(), H5F_ACC_RDONLY, access);
  if (file < 0) {
    const std::string message = lastMessage();
    if (H5Fis_hdf5(path.c_str()) <= 0) throw SystemError(message);
    const hbool_t clear = true;
    H5Pset_fapl_core(access, std::size_t{1} << 20, false);
    H5Pset(access, "clear_status_flags", &clear);
    file = H5Fopen(path.c_str(), H5F_ACC_RDWR, access);
    if (file < 0) throw SystemError(message);
  }
  return {file, H5Fclose};
}

}  // namespace holdground::hdf5
