#include "scenarios/calibrate/trial_book.hpp"

#include <gtest/gtest.h>

#include "scenarios/card/kept_json.hpp"
#include "tests/support/temporary_folder.hpp"

namespace holdground {
namespace {

bool same(const Estimate& a, const Estimate& b) {
  return a.mean == b.mean && a.standardError == b.standardError;
}

TEST(TrialBook, IsReadAsItWasWrittenToTheLastBit) {
  const TemporaryFolder folder;
  const ContactParameters one{0.1 + 0.2, 1.0 / 3.0, 2e4, 2650.0}, other{0.5, 0.1, 0.0, 2650.0};
  {
    TrialBook book(folder / "deeper" / "trials.json");
    book.keep(one, {{"friction_angle", {0.1 / 0.3, 1e-17}}});
    book.keep(other, {{"strength_at_1700_Pa", {3e3, 40.0}}});
    book.keep(one, {{"repose", {0.4, 0.01}}});
  }
  const TrialBook book(folder / "deeper" / "trials.json");
  EXPECT_EQ(book.trials().size(), 2u);
  ASSERT_EQ(book.find(one).size(), 2u);
  EXPECT_TRUE(same(book.find(one).at("friction_angle"), {0.1 / 0.3, 1e-17}));
  EXPECT_TRUE(same(book.find(other).at("strength_at_1700_Pa"), {3e3, 40.0}));
  EXPECT_TRUE(book.find({0.3, 0.1, 0.0, 2650.0}).empty());
}

TEST(TrialBook, ThatIsDamagedOrMissingIsEmpty) {
  const TemporaryFolder folder;
  EXPECT_TRUE(TrialBook(folder / "none.json").trials().empty());
  for (const char* text : {"", "{", "[]", "7", "{\"trials\": 3}", "{\"trials\": [{}]}",
                           "{\"trials\": [{\"friction\": \"x\"}]}"})
    EXPECT_TRUE(TrialBook(writeText(folder / "trials.json", text)).trials().empty()) << text;
}

}  // namespace
}  // namespace holdground
