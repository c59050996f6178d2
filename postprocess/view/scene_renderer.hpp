#pragma once
// Draws a piece of bed with an anchor in it. Needs a display (offscreen_display.hpp).

#include <memory>
#include <vector>

#include "postprocess/picture/bed_window.hpp"
#include "postprocess/picture/raster.hpp"
#include "postprocess/picture/side_view.hpp"
#include "solver/core/types.hpp"
#include "solver/record/format_run.hpp"

namespace holdground {

/// What is to be seen at one moment; world frame.
struct Scene {
  BedWindow window;
  std::vector<SeenGrain> grains;
  double topSpeed = 1.0;                ///< at the dark end of the colours [m/s]
  Vec3 bodyPosition = Vec3::Zero();     ///< centre of mass of the anchor [m]
  Quat orientation = Quat::Identity();  ///< anchor frame into world
  std::vector<Vec3> rode;               ///< from the shackle to where it leaves the picture [m]
};

class SceneRenderer {
 public:
  /// @param oversampling  the scene is drawn this much larger and averaged down
  SceneRenderer(int width, int height, int oversampling, const AnchorDescription& anchor);
  ~SceneRenderer();

  /// @param view  in pixels of the finished picture
  Raster render(const Scene& scene, const SideView& view);

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace holdground
