#pragma once
// Which frames of a record a film shows, and how many a second.
// Checked by: tests/unit/picture/film_frames_test.cpp

#include <cstddef>
#include <vector>

namespace holdground {

/// Pictures a second near 20 with which a film steps over whole frames of the record, so that
/// motion is even; fewer when the frames are too far apart for that. A whole number where that
/// changes the pace by at most 2 %: frames lie on whole time steps, not quite where asked for.
/// @param speed  trial seconds a second of film
/// @param frameInterval  [s]
double evenFramesPerSecond(double speed, double frameInterval);

/// Which frames a film shows, from `first` on, `step` [s] apart: every n-th one where that comes
/// within 3 %, else the nearest.
std::vector<std::size_t> filmFrames(const std::vector<double>& times, std::size_t first,
                                    double step);

}  // namespace holdground
