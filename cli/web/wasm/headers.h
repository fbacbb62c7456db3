#pragma once

// Precompiled headers for the page's modules, only for speed: each file still includes what it needs, which the native
// build checks.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>
