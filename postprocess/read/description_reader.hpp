#pragma once
// Reads what a record says about the run as a whole, and refuses files that are not records.

#include <hdf5.h>

#include <string>

#include "solver/record/format_run.hpp"

namespace holdground {

/// InputError when an open HDF5 file is not a record, or of a version this program does not know.
void checkFormat(hid_t file, const std::string& path);

/// SystemError when something is missing or cannot be read.
RunDescription readDescription(hid_t file);

}  // namespace holdground
