#include "lock/mdr_digest.h"

#include <sodium.h>
#include <string.h>

_Static_assert(sizeof(crypto_hash_sha256_state) <= sizeof(mdr_sha256_sum),
               "the library's state fits");
_Static_assert((int)crypto_hash_sha256_BYTES == (int)MDR_SHA256_BYTES, "one length of a digest");

/* The library's functions cannot fail; they return 0 for the form. A pointer that is not NULL
 * spares its callers the question what memcpy does with none. */
static const unsigned char *bytes_of(const void *data)
{
    return data != NULL ? data : (const void *)"";
}

void mdr_sha256(const void *data, size_t len, uint8_t out[MDR_SHA256_BYTES])
{
    (void)crypto_hash_sha256(out, bytes_of(data), len);
}

/* Copied in and out: a record of plain numbers is no state of the library's to the compiler. */
void mdr_sha256_begin(mdr_sha256_sum *sum)
{
    crypto_hash_sha256_state state;
    (void)crypto_hash_sha256_init(&state);
    memset(sum, 0, sizeof *sum);
    memcpy(sum, &state, sizeof state);
}

void mdr_sha256_add(mdr_sha256_sum *sum, const void *data, size_t len)
{
    crypto_hash_sha256_state state;
    memcpy(&state, sum, sizeof state);
    (void)crypto_hash_sha256_update(&state, bytes_of(data), len);
    memcpy(sum, &state, sizeof state);
}

void mdr_sha256_end(mdr_sha256_sum *sum, uint8_t out[MDR_SHA256_BYTES])
{
    crypto_hash_sha256_state state;
    memcpy(&state, sum, sizeof state);
    (void)crypto_hash_sha256_final(&state, out);
    memset(sum, 0, sizeof *sum);
}

void mdr_hex(const void *data, size_t len, char *out)
{
    (void)sodium_bin2hex(out, 2 * len + 1, bytes_of(data), len);
}

void mdr_sha256_text(const void *data, size_t len, char out[MDR_SHA256_TEXT])
{
    uint8_t digest[MDR_SHA256_BYTES];
    mdr_sha256(data, len, digest);
    mdr_hex(digest, sizeof digest, out);
}
