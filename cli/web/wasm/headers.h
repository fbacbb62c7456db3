#pragma once

// What nearly every file of the page's modules reads first, compiled once for them all. Only for speed: each file still
// includes what it needs, which the native build checks.

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
