#include "scenarios/schema/key_reference.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>

#include "scenarios/schema/anchor_file.hpp"
#include "scenarios/schema/bed_file.hpp"
#include "scenarios/schema/probe_file.hpp"
#include "scenarios/schema/quantity.hpp"
#include "scenarios/schema/schema.hpp"
#include "scenarios/schema/trial_file.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;

void collect(const TableSchema& schema, std::vector<Key>& keys) {
  keys.insert(keys.end(), schema.keys.begin(), schema.keys.end());
  for (const TableSchema& sub : schema.subTables) collect(sub, keys);
  for (const auto& array : schema.arrays) collect(*array.sample, keys);
}

class KeyReference : public testing::Test {
 protected:
  KeyReference() {
    collect(bedSchema(bed_), keys_);
    collect(anchorSchema(anchor_), keys_);
    collect(trialSchema(trial_), keys_);
    collect(probeSchema(probe_), keys_);
  }

  BedDraft bed_;
  AnchorDraft anchor_;
  TrialDraft trial_;
  ProbeDraft probe_;
  std::vector<Key> keys_;
};

/// Counts the fields of an aggregate by what it can be initialised from.
struct Anything {
  template <class T>
  operator T() const;
};

template <class Aggregate, class... Given>
constexpr std::size_t fieldCount() {
  if constexpr (requires { Aggregate{Given{}..., Anything{}}; }) {
    return fieldCount<Aggregate, Given..., Anything>();
  } else {
    return sizeof...(Given);
  }
}

template <class Draft>
std::size_t keysIn(const std::string& table, TableSchema (*schemaOf)(Draft&)) {
  Draft draft;
  const TableSchema root = schemaOf(draft);
  for (const TableSchema& sub : root.subTables) {
    if (sub.name == table) return sub.keys.size();
  }
  return 0;
}

// A field added to one of these structs and forgotten in the schema changes the count.
TEST_F(KeyReference, EveryFieldOfTheStructsHasAKey) {
  EXPECT_EQ(keysIn("pattern", anchorSchema), fieldCount<ScoopPattern>());
  EXPECT_EQ(keysIn("surface", anchorSchema), fieldCount<SurfaceSpec>());
  EXPECT_EQ(keysIn("setting_pose", anchorSchema), fieldCount<SettingPose>());
  EXPECT_EQ(keysIn("water", bedSchema), fieldCount<Water>());
  EXPECT_EQ(keysIn("hold", trialSchema), fieldCount<HoldCriterion>());
  EXPECT_EQ(keysIn("output", trialSchema), fieldCount<OutputSpec>());
  // [chain] has diameter beside mass_per_length; [pull] has scope beside elevation, and `speed`
  // and `load` are laid out flat in it.
  EXPECT_EQ(keysIn("chain", trialSchema), fieldCount<ChainSpec>() + 1);
  EXPECT_EQ(keysIn("pull", trialSchema),
            fieldCount<PullSpec>() - 2 + 1 + fieldCount<SpeedPull>() + fieldCount<LoadPull>());
  // [grains]: material (the modulus is a key of its own), sizes, basis, shape, stress; `diameter`,
  // and `cohesion`, which says whether the keys of dents are asked for.
  EXPECT_EQ(keysIn("grains", bedSchema), fieldCount<GrainMaterial>() + 7);
}

TEST_F(KeyReference, EveryKeyIsInItWithItsMeaningAndRange) {
  const std::string text = keyReference();
  EXPECT_GT(keys_.size(), 90u);
  for (const Key& key : keys_) {
    EXPECT_THAT(text, HasSubstr("| `" + key.name + "` | "));
    EXPECT_THAT(text, HasSubstr(key.meaning));
    EXPECT_FALSE(key.meaning.empty()) << key.name;
    EXPECT_THAT(text, HasSubstr(rangeText(key)));
  }
}

TEST_F(KeyReference, EveryQuantityHasARangeThatItsDefaultLiesIn) {
  for (const Key& key : keys_) {
    const auto* target = std::get_if<QuantityTarget>(&key.target);
    if (!target) continue;
    EXPECT_TRUE(key.lower && key.upper) << key.name;
    const double lower = parseQuantity(key.lower->text, target->dimension);
    const double upper = parseQuantity(key.upper->text, target->dimension);
    EXPECT_LT(lower, upper) << key.name;
    if (key.isRequired || !key.whenRequired.empty()) continue;
    EXPECT_GE(*target->field, lower) << key.name;
    EXPECT_LE(*target->field, upper) << key.name;
  }
}

TEST_F(KeyReference, DefaultsAreWrittenSoThatTheyReadBack) {
  for (const Key& key : keys_) {
    const auto* target = std::get_if<QuantityTarget>(&key.target);
    const std::string text = defaultText(key);
    if (!target || text.empty() || !key.absentMeans.empty()) continue;
    // Shown with six significant digits.
    EXPECT_NEAR(parseQuantity(text, target->dimension), *target->field,
                1e-5 * std::abs(*target->field))
        << key.name << " = " << text;
  }
}

TEST_F(KeyReference, SaysWhatIsRequired) {
  const std::string text = keyReference();
  EXPECT_THAT(text, HasSubstr("| `bed` | text | **required** |"));
  EXPECT_THAT(text, HasSubstr("| `time_step` | number | 0.2 | above 0, at most 0.3 | Step over"));
  EXPECT_THAT(text, HasSubstr("| `modulus` | pressure or \"auto\" | auto |"));
  EXPECT_THAT(text, HasSubstr("| `fluke_length` | length | 420 mm |"));
}

TEST_F(KeyReference, NamesTablesInTablesByTheirWholePath) {
  EXPECT_THAT(keyReference(), HasSubstr("### `[[phase.move]]`"));
}

TEST_F(KeyReference, EveryTableRowHasFiveCells) {
  std::istringstream lines(keyReference(bedSchema(bed_)));
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("| `")) {
      EXPECT_EQ(std::count(line.begin(), line.end(), '|'), 6) << line;
    }
  }
}

}  // namespace
}  // namespace holdground
