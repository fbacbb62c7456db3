#pragma once

namespace romanesca::test {

/// How often memory was asked for in this program of tests so far, by any thread.
[[nodiscard]] long allocations() noexcept;

}  // namespace romanesca::test
