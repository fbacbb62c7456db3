#pragma once

/// ROMANESCA_SANITIZED stands in builds with the address or the thread sanitizer; GCC and clang say so in different
/// ways.
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define ROMANESCA_SANITIZED
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define ROMANESCA_SANITIZED
#endif
#endif
