#pragma once

/// Marks a hot loop that is worth compiling more than once: for every processor, for those with AVX2 and for those with
/// AVX-512; the program chooses when it starts. None uses fused multiply-add, so all give the same bits. Elsewhere
/// (clang, other processors, the sanitizers, which cannot stand the early choice) it does nothing.
#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define ROMANESCA_VECTOR_CLONES __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define ROMANESCA_VECTOR_CLONES
#endif
