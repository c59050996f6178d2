#include "solver/record/growing_dataset.hpp"

#include <functional>
#include <numeric>

#include "solver/record/format.hpp"

namespace holdground::hdf5 {

void attachText(hid_t object, const char* name, const std::string& text) {
  const Handle type = textType(text.size());
  const Handle space(H5Screate(H5S_SCALAR), H5Sclose);
  const Handle attribute(
      check(H5Acreate2(object, name, type, space, H5P_DEFAULT, H5P_DEFAULT), "cannot write record"),
      H5Aclose);
  if (H5Awrite(attribute, type, text.c_str()) < 0) fail("cannot write record");
}

void attach(hid_t object, const Label& label) {
  attachText(object, format::kUnit, label.unit);
  attachText(object, format::kFrame, label.frame);
  attachText(object, format::kDescription, label.description);
}

void GrowingDataset::create(hid_t parent, const std::string& name, hid_t fileType,
                            const std::vector<hsize_t>& rowShape, hsize_t chunkRows,
                            Packing packing, const Label& label) {
  std::vector<hsize_t> shape{0}, limit{H5S_UNLIMITED}, chunk{chunkRows};
  for (auto* sizes : {&shape, &limit, &chunk})
    sizes->insert(sizes->end(), rowShape.begin(), rowShape.end());
  // With two unlimited sizes HDF5 indexes the chunks by a tree of nodes of 2 KB; with one, by an
  // array whose blocks outgrow a page of the file after two thousand packed frames.
  if (packing == Packing::kDeflated) limit[1] = H5S_UNLIMITED;
  const Handle properties(H5Pcreate(H5P_DATASET_CREATE), H5Pclose);
  H5Pset_chunk(properties, static_cast<int>(chunk.size()), chunk.data());
  H5Pset_obj_track_times(properties, false);  // the same run gives the same bytes
  if (packing == Packing::kDeflated) {
    H5Pset_shuffle(properties);
    H5Pset_deflate(properties, 1);
  }
  const Handle space(H5Screate_simple(static_cast<int>(shape.size()), shape.data(), limit.data()),
                     H5Sclose);
  const Handle dataset(
      check(H5Dcreate2(parent, name.c_str(), fileType, space, H5P_DEFAULT, properties, H5P_DEFAULT),
            "cannot write record"),
      H5Dclose);
  attach(dataset, label);
}

GrowingDataset::GrowingDataset(hid_t parent, const std::string& name)
    : name_(name), dataset_(openDataset(parent, name)), shape_(shapeOf(dataset_)) {}

std::size_t GrowingDataset::rowSize() const {
  return std::accumulate(shape_.begin() + 1, shape_.end(), std::size_t{1}, std::multiplies<>());
}

void GrowingDataset::grow(hsize_t rows) {
  std::vector<hsize_t> shape = shape_;
  shape[0] += rows;
  if (H5Dset_extent(dataset_, shape.data()) < 0) fail("cannot write record (" + name_ + ")");
  shape_ = shape;
}

void GrowingDataset::append(hid_t memoryType, const void* values, hsize_t count) {
  if (count == 0) return;
  std::vector<hsize_t> start(shape_.size(), 0), size = shape_;
  start[0] = shape_[0];
  size[0] = count;
  grow(count);
  const Handle file(check(H5Dget_space(dataset_), "cannot write record"), H5Sclose);
  H5Sselect_hyperslab(file, H5S_SELECT_SET, start.data(), nullptr, size.data(), nullptr);
  const Handle memory(H5Screate_simple(static_cast<int>(size.size()), size.data(), nullptr),
                      H5Sclose);
  if (H5Dwrite(dataset_, memoryType, memory, file, H5P_DEFAULT, values) < 0)
    fail("cannot write record (" + name_ + ")");
}

bool GrowingDataset::copyChunk(const GrowingDataset& source, hsize_t row,
                               std::vector<std::byte>& buffer) {
  std::vector<hsize_t> offset(shape_.size(), 0);
  offset[0] = row;
  hsize_t bytes = 0;
  std::uint32_t filters = 0;
  if (H5Dget_chunk_storage_size(source.dataset_, offset.data(), &bytes) < 0 || bytes == 0)
    return false;
  buffer.resize(bytes);
  return H5Dread_chunk(source.dataset_, H5P_DEFAULT, offset.data(), &filters, buffer.data()) >= 0 &&
         H5Dwrite_chunk(dataset_, H5P_DEFAULT, filters, offset.data(), bytes, buffer.data()) >= 0;
}

void GrowingDataset::appendFrom(const GrowingDataset& source, hsize_t count) {
  if (count > source.rows()) fail("a dataset is shorter than the record says (" + name_ + ")");
  const Handle properties(H5Dget_create_plist(source.dataset_), H5Pclose);
  hsize_t chunk[H5S_MAX_RANK] = {};
  H5Pget_chunk(properties, H5S_MAX_RANK, chunk);
  std::vector<std::byte> buffer;
  if (chunk[0] == 1) {
    grow(count);
    for (hsize_t row = 0; row < count; ++row)
      if (!copyChunk(source, row, buffer)) fail("cannot copy record (" + name_ + ")");
    return;
  }
  const Handle type(H5Dget_type(source.dataset_), H5Tclose);
  buffer.resize(count * rowSize() * H5Tget_size(type));
  readRows(source.dataset_, type, 0, count, buffer.data());
  append(type, buffer.data(), count);
}

}  // namespace holdground::hdf5
