#include "tests/synth/allocations.h"

#include <atomic>
#include <cstdlib>
#include <new>

#include "tests/sanitized.h"

#ifdef ROMANESCA_SANITIZED
#include <sanitizer/allocator_interface.h>
#endif

// Counts every allocation of this test program, so that a test can say there was none.
namespace {
std::atomic<long> count{0};
}

#ifdef ROMANESCA_SANITIZED
// The sanitizers have their own operator new.
namespace {
[[maybe_unused]] const int told = __sanitizer_install_malloc_and_free_hooks(
    [](const volatile void* /*memory*/, std::size_t /*size*/) { ++count; }, [](const volatile void* /*memory*/) {});
}
#else
[[gnu::noinline]] void* operator new(std::size_t size) {
  ++count;
  if (void* memory = std::malloc(size != 0 ? size : 1)) return memory;
  throw std::bad_alloc();
}
[[gnu::noinline]] void* operator new(std::size_t size, const std::nothrow_t& /*tag*/) noexcept {
  ++count;
  return std::malloc(size != 0 ? size : 1);
}
// Not inlined: the compiler would take the pair of aligned_alloc and free for a mistake.
[[gnu::noinline]] void* operator new(std::size_t size, std::align_val_t alignment) {
  ++count;
  const auto step = static_cast<std::size_t>(alignment);
  if (void* memory = std::aligned_alloc(step, (size + step) / step * step)) return memory;
  throw std::bad_alloc();
}
[[gnu::noinline]] void operator delete(void* memory) noexcept { std::free(memory); }
[[gnu::noinline]] void operator delete(void* memory, std::align_val_t /*alignment*/) noexcept { std::free(memory); }
[[gnu::noinline]] void operator delete(void* memory, std::size_t /*size*/, std::align_val_t /*alignment*/) noexcept {
  std::free(memory);
}
[[gnu::noinline]] void operator delete(void* memory, const std::nothrow_t& /*tag*/) noexcept { std::free(memory); }
[[gnu::noinline]] void operator delete(void* memory, std::size_t /*size*/) noexcept { std::free(memory); }
#endif

long romanesca::test::allocations() noexcept { return count.load(); }
