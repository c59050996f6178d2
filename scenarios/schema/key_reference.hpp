#pragma once
// The reference of all keys of all scenario files, made from the schemas.
// Checked by tests/unit/scenarios/key_reference_test.cpp.

#include <string>

#include "scenarios/schema/schema.hpp"

namespace holdground {

/// Markdown: how quantities are written, then a table of keys for each kind of file.
std::string keyReference();

/// The tables of one schema, as Markdown.
std::string keyReference(const TableSchema& schema);

}  // namespace holdground
