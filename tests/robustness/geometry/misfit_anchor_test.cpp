// Anchors whose parts or points do not fit together, as a wrong unit or axis makes them: each is
// refused with one line that names the file and the part or point, what was found, what is allowed.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "scenarios/run/build_anchor.hpp"
#include "scenarios/schema/anchor_file.hpp"
#include "tests/support/mesh_texts.hpp"
#include "tests/support/scenario_texts.hpp"
#include "tests/support/temporary_folder.hpp"
#include "tests/support/test_meshes.hpp"

namespace holdground {
namespace {

using testing::HasSubstr;
using testing::Not;

// A plate of 400 x 200 x 10 mm and a post of 300 mm on its heel.
constexpr const char* kPlateAndPost = R"(name = "plate and post"
[[part]]
name = "blade"
role = "fluke"
mesh = "plate.stl"
unit = "mm"
[[part]]
name = "post"
role = "shank"
mesh = "post.stl"
unit = "mm"  # of the post
[points]
shackle = ["0.005 m", "0 m", "0.3 m"]
toe = ["0.4 m", "0 m", "0 m"]
heel = ["0 m", "0 m", "0 m"]
)";

struct Misfit {
  std::string from, to;             ///< one piece of the text replaced
  std::vector<std::string> saying;  ///< all of it
};

std::string faultOf(const std::string& from, const std::string& to) {
  const TemporaryFolder folder;
  writeText(folder / "plate.stl", test::binaryStl(test::boxMesh({0, -100, 0}, {400, 200, 10})));
  writeText(folder / "post.stl", test::binaryStl(test::boxMesh({0, -5, 10}, {10, 10, 300})));
  const auto file = writeText(folder / "anchor.toml", replaced(kPlateAndPost, from, to));
  return inputFault([&] { buildAnchor(readAnchorFile(file)); });
}

}  // namespace

TEST(MisfitAnchor, IsRefusedInOneLineWithWhatIsAllowed) {
  EXPECT_EQ(faultOf("name = \"plate and post\"", "name = \"right\""), "");
  const std::string bladeInMm = "plate.stl\"\nunit = \"mm\"";
  const Misfit wall[] = {
      {bladeInMm,
       "plate.stl\"\nunit = \"cm\"",
       {":2:1: part[1]: fluke (blade): found 4 m", "which is 0.4 m", "0.5 to 2 times",
        "0.2 to 0.8 m", "unit"}},
      {"toe = [\"0.4 m\"", "toe = [\"0.18 m\"", {"fluke (blade): found 0.4 m", "0.09 to 0.36 m"}},
      {"toe = [\"0.4 m\"", "toe = [\"4 m\"", {":14:1: points.toe: found (4, 0, 0)", "unit"}},
      {"toe = [\"0.4 m\"",
       "toe = [\"0.45 m\"",
       {"points.toe: found (0.45, 0, 0)", "0.05 m away", "allowed is 0.04 m", "10 %"}},
      {"heel = [\"0 m\"", "heel = [\"-50 mm\"", {"points.heel: found (-0.05, 0, 0)"}},
      // A post of 3 m; a block of its size, apart.
      {"unit = \"mm\"  # of the post",
       "unit = \"cm\"",
       {":7:1: part[2]: post: found reaching 2.8 m beyond", "allowed is 0.5 m",
        "unit of the part"}},
      {"unit = \"mm\"  # of the post",
       "unit = \"mm\"\noffset = [\"0 m\", \"0 m\", \"55 mm\"]",
       {":2:1: part[1]: blade: found 0.055 m away from post", "allowed is 0.05 m", "offset"}},
      {"\"0.3 m\"", "\"0.4 m\"", {"points.shackle: found (0.005, 0, 0.4)", "0.09 m away"}},
  };
  for (const Misfit& misfit : wall) {
    const std::string fault = faultOf(misfit.from, misfit.to);
    EXPECT_THAT(fault, testing::AllOf(HasSubstr("anchor.toml:"), Not(HasSubstr("\n"))));
    for (const std::string& words : misfit.saying) EXPECT_THAT(fault, HasSubstr(words));
  }
}

}  // namespace holdground
