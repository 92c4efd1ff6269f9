/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file clones.h
 * Inner loops compiled for several widths of vector, the best chosen when the program is loaded.
 * Each element is worked out by the same operations at any width, so the results are the same bits.
 * Only for static functions: clang gives clones seen from outside another name.
 */
#ifndef FITWRIGHT_SOLVE_CLONES_H
#define FITWRIGHT_SOLVE_CLONES_H

#define FW_CLONES

/* The choice is made before a sanitizer is ready, and only glibc is known to make it. */
#if defined(__x86_64__) && defined(__gnu_linux__) && defined(__has_attribute) &&                   \
    !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__) && !defined(FW_NO_CLONES)
#if __has_attribute(target_clones)
#undef FW_CLONES
#define FW_CLONES __attribute__((target_clones("default", "avx2", "arch=x86-64-v4")))
#endif
#endif

#if defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer) ||                         \
    __has_feature(memory_sanitizer)
#undef FW_CLONES
#define FW_CLONES
#endif
#endif

#endif
