#pragma once

namespace romanesca::test {

/// Number of allocations in this test program so far, by any thread.
[[nodiscard]] long allocations() noexcept;

}  // namespace romanesca::test
