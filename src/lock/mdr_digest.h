/*
 * mdr_digest.h - SHA-256 of bytes, at once or piece by piece: what chains records to one another
 * and stands in the mill for a secret that must not.
 *
 * Layer: lock, beside num: sees base only. Total, allocates nothing.
 * Sources: [fips-180-4].
 */
#ifndef MDR_DIGEST_H
#define MDR_DIGEST_H

#include <stddef.h>
#include <stdint.h>

enum { MDR_SHA256_BYTES = 32, MDR_SHA256_TEXT = 2 * MDR_SHA256_BYTES + 1 };

/* `data` may be NULL when `len` is 0. */
void mdr_sha256(const void *data, size_t len, uint8_t out[MDR_SHA256_BYTES]);

/* Piece by piece: begin, any number of add, end once. May be copied to go on from there twice. */
typedef struct mdr_sha256_sum {
    uint64_t inner[16]; /* the library's own; its size is checked where it is used */
} mdr_sha256_sum;
void mdr_sha256_begin(mdr_sha256_sum *sum);
void mdr_sha256_add(mdr_sha256_sum *sum, const void *data, size_t len);
void mdr_sha256_end(mdr_sha256_sum *sum, uint8_t out[MDR_SHA256_BYTES]);

/* Lower-case hexadecimal, terminated: 2 * len + 1 bytes at `out`. */
void mdr_hex(const void *data, size_t len, char *out);
/* The digest of `data` as such a text. */
void mdr_sha256_text(const void *data, size_t len, char out[MDR_SHA256_TEXT]);

#endif
