#pragma once
// A dataset whose first dimension grows row by row.

#include <string>
#include <vector>

#include "solver/record/format_hdf5.hpp"

namespace holdground::hdf5 {

enum class Packing { kPlain, kDeflated };

/// What a reader with nothing but the file should know of a dataset.
struct Label {
  const char* unit;
  const char* frame;
  const char* description;
};

/// Attaches the label's three texts as attributes.
void attach(hid_t object, const Label& label);
/// Attaches one text.
void attachText(hid_t object, const char* name, const std::string& text);

class GrowingDataset {
 public:
  /// Makes an empty one. A row has `rowShape`; a chunk has `chunkRows` rows.
  static void create(hid_t parent, const std::string& name, hid_t fileType,
                     const std::vector<hsize_t>& rowShape, hsize_t chunkRows, Packing packing,
                     const Label& label);

  GrowingDataset(hid_t parent, const std::string& name);

  hsize_t rows() const { return shape_[0]; }
  /// Values in one row.
  std::size_t rowSize() const;
  /// Adds `count` rows of values of `memoryType`.
  void append(hid_t memoryType, const void* values, hsize_t count = 1);
  /// Adds the first `count` rows of `source`, which has rows of the same shape and type; packed
  /// chunks of one row are copied as they lie.
  void appendFrom(const GrowingDataset& source, hsize_t count);

 private:
  void grow(hsize_t rows);
  bool copyChunk(const GrowingDataset& source, hsize_t row, std::vector<std::byte>& buffer);

  std::string name_;
  Handle dataset_;
  std::vector<hsize_t> shape_;
};

}  // namespace holdground::hdf5
