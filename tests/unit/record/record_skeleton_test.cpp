#include "solver/record/record_skeleton.hpp"

#include <gtest/gtest.h>

#include "solver/record/format.hpp"
#include "tests/support/record_samples.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

/// Datasets below a group that lack one of the three attributes, or have an empty one.
herr_t collectUnlabelled(hid_t group, const char* name, const H5O_info_t* info, void* list) {
  if (info->type != H5O_TYPE_DATASET) return 0;
  const hdf5::Handle object(H5Oopen(group, name, H5P_DEFAULT), H5Oclose);
  for (const char* attribute : {format::kUnit, format::kFrame, format::kDescription})
    if (H5Aexists(object, attribute) <= 0)
      static_cast<std::vector<std::string>*>(list)->emplace_back(name);
  return 0;
}

TEST(RecordSkeleton, EveryDatasetSaysUnitFrameAndMeaning) {
  const TemporaryFolder folder;
  writeSkeleton(folder / "record.h5", samples::description(10));
  const hdf5::Handle file = hdf5::openForReading((folder / "record.h5").string());
  std::vector<std::string> unlabelled;
  ASSERT_GE(
      H5Ovisit2(file, H5_INDEX_NAME, H5_ITER_INC, collectUnlabelled, &unlabelled, H5O_INFO_BASIC),
      0);
  EXPECT_TRUE(unlabelled.empty()) << unlabelled[0];
}

TEST(RecordSkeleton, IsAnEmptyRecord) {
  const TemporaryFolder folder;
  writeSkeleton(folder / "record.h5", samples::description(10));
  const hdf5::Handle file = hdf5::openForReading((folder / "record.h5").string());
  const GrowingSet set = openGrowing(file);
  for (const auto* list :
       {&set.scalars, &set.vectors, &set.counts, &set.frames, &set.partForce, &set.closing})
    for (const auto& dataset : *list) EXPECT_EQ(dataset.rows(), 0u);
  EXPECT_EQ(set.frames.size(), std::size_t{kFrameSpeed} + 1);
  EXPECT_EQ(set.closing.size(), std::size_t{kLog} + 1);
  EXPECT_EQ(hdf5::readProgress(file).rows, 0u);
}

}  // namespace
}  // namespace holdground
