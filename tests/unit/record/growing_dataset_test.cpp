#include "solver/record/growing_dataset.hpp"

#include <gtest/gtest.h>

#include <numeric>

#include "tests/support/temporary_folder.hpp"

namespace holdground::hdf5 {
namespace {

class GrowingDatasetFile : public ::testing::Test {
 protected:
  static Handle create(const std::filesystem::path& path) {
    silence();
    return {H5Fcreate(path.c_str(), H5F_ACC_TRUNC, H5P_DEFAULT, H5P_DEFAULT), H5Fclose};
  }
  std::vector<double> read(const char* name, hsize_t rows, std::size_t rowSize) const {
    std::vector<double> values(rows * rowSize);
    readRows(openDataset(file_, name), H5T_NATIVE_DOUBLE, 0, rows, values.data());
    return values;
  }
  const TemporaryFolder folder_;
  const Handle file_ = create(folder_ / "a.h5");
  const Label label_{"m", "none", "invented"};
};

TEST_F(GrowingDatasetFile, RowsComeBackInTheOrderTheyWereAppended) {
  GrowingDataset::create(file_, "x", H5T_NATIVE_DOUBLE, {2}, 4, Packing::kPlain, label_);
  GrowingDataset data(file_, "x");
  std::vector<double> values(22);
  std::iota(values.begin(), values.end(), 1.0);
  data.append(H5T_NATIVE_DOUBLE, values.data(), 3);
  data.append(H5T_NATIVE_DOUBLE, values.data() + 6, 8);
  data.append(H5T_NATIVE_DOUBLE, nullptr, 0);
  EXPECT_EQ(data.rows(), 11u);
  EXPECT_EQ(data.rowSize(), 2u);
  EXPECT_EQ(read("x", 11, 2), values);
}

TEST_F(GrowingDatasetFile, CopiesTheFirstRowsOfAnother) {
  std::vector<double> values(12);
  std::iota(values.begin(), values.end(), 1.0);
  for (const auto packing : {Packing::kPlain, Packing::kDeflated}) {
    const hsize_t chunk = packing == Packing::kDeflated ? 1 : 4;
    const std::string suffix = packing == Packing::kDeflated ? "packed" : "plain";
    GrowingDataset::create(file_, "a" + suffix, H5T_NATIVE_DOUBLE, {2}, chunk, packing, label_);
    GrowingDataset::create(file_, "b" + suffix, H5T_NATIVE_DOUBLE, {2}, chunk, packing, label_);
    GrowingDataset a(file_, "a" + suffix), b(file_, "b" + suffix);
    for (int row = 0; row < 6; ++row) a.append(H5T_NATIVE_DOUBLE, values.data() + 2 * row);
    b.appendFrom(a, 5);
    EXPECT_EQ(b.rows(), 5u);
    EXPECT_EQ(read(("b" + suffix).c_str(), 5, 2),
              std::vector<double>(values.begin(), values.begin() + 10));
    EXPECT_THROW(b.appendFrom(a, 7), SystemError);
  }
}

TEST_F(GrowingDatasetFile, CarriesUnitFrameAndDescription) {
  GrowingDataset::create(file_, "x", H5T_NATIVE_DOUBLE, {}, 4, Packing::kPlain, label_);
  const Handle data = openDataset(file_, "x");
  for (const char* name : {"unit", "frame", "description"})
    EXPECT_GT(H5Aexists(data, name), 0) << name;
}

TEST_F(GrowingDatasetFile, ReadingPastTheEndIsAnError) {
  GrowingDataset::create(file_, "x", H5T_NATIVE_DOUBLE, {}, 4, Packing::kPlain, label_);
  EXPECT_THROW(read("x", 1, 1), SystemError);
  EXPECT_THROW(openDataset(file_, "y"), SystemError);
}

}  // namespace
}  // namespace holdground::hdf5
