#include "lock/mdr_secret.h"

#include <pthread.h>
#include <sodium.h>
#include <string.h>

#include "lock/mdr_digest.h"

_Static_assert((int)crypto_pwhash_STRBYTES <= (int)MDR_SECRET_TEXT, "a hash fits");

/* RFC 9106 section 4 offers m = 64 MiB, t = 3, p = 4 where memory is short; the library has one
 * lane. */
static const unsigned long long PASSES = 3;
static const size_t MEMORY_BYTES = (size_t)64 << 20;
enum { AT_ONCE = 2 }; /* 128 MiB at most, whoever asks how often */

static pthread_mutex_t gate = PTHREAD_MUTEX_INITIALIZER;
static pthread_cond_t gate_moved = PTHREAD_COND_INITIALIZER;
static int inside;

static void enter(void)
{
    (void)pthread_mutex_lock(&gate);
    while (inside == AT_ONCE) {
        (void)pthread_cond_wait(&gate_moved, &gate);
    }
    inside++;
    (void)pthread_mutex_unlock(&gate);
}

static void leave(void)
{
    (void)pthread_mutex_lock(&gate);
    inside--;
    (void)pthread_cond_signal(&gate_moved);
    (void)pthread_mutex_unlock(&gate);
}

/* A hash of something nobody knows, to spend the same time on. */
static pthread_once_t once = PTHREAD_ONCE_INIT;
static char nobodys[crypto_pwhash_STRBYTES];

static void begin(void)
{
    if (sodium_init() < 0) {
        MDR_UNREACHABLE(); /* no source of random bytes: nothing here would be safe */
    }
    char token[MDR_TOKEN_TEXT];
    unsigned char bytes[MDR_TOKEN_BYTES];
    randombytes_buf(bytes, sizeof bytes);
    mdr_hex(bytes, sizeof bytes, token);
    if (crypto_pwhash_str(nobodys, token, strlen(token), PASSES, MEMORY_BYTES) != 0) {
        nobodys[0] = '\0';
    }
    sodium_memzero(token, sizeof token);
}

void mdr_random_bytes(void *out, size_t len)
{
    if (sodium_init() < 0) {
        MDR_UNREACHABLE();
    }
    randombytes_buf(out, len);
}

void mdr_token_new(char out[MDR_TOKEN_TEXT])
{
    unsigned char bytes[MDR_TOKEN_BYTES];
    mdr_random_bytes(bytes, sizeof bytes);
    mdr_hex(bytes, sizeof bytes, out);
    sodium_memzero(bytes, sizeof bytes);
}

bool mdr_same_bytes(const void *a, const void *b, size_t len)
{
    return sodium_memcmp(a, b, len) == 0;
}

void mdr_wipe(void *at, size_t len)
{
    sodium_memzero(at, len);
}

mdr_code mdr_secret_hash(const char *secret, char out[MDR_SECRET_TEXT], mdr_err *err)
{
    char text[crypto_pwhash_STRBYTES] = "";
    if (sodium_init() < 0) {
        MDR_UNREACHABLE();
    }
    enter();
    const int rc = crypto_pwhash_str(text, secret, strlen(secret), PASSES, MEMORY_BYTES);
    leave();
    if (rc != 0) {
        (void)MDR_FAIL(err, MDR_E_NOMEM, "password", "too little memory to keep a password");
        mdr_err_remedy(err, "64 MiB are needed; close other programs, then try again");
        return MDR_E_NOMEM;
    }
    memcpy(out, text, sizeof text);
    return MDR_OK;
}

bool mdr_secret_fits(const char *hash, const char *secret)
{
    (void)pthread_once(&once, begin);
    const bool known = hash != NULL && hash[0] != '\0';
    enter();
    const int rc = crypto_pwhash_str_verify(known ? hash : nobodys, secret, strlen(secret));
    leave();
    return known && rc == 0;
}

bool mdr_secret_is_old(const char *hash)
{
    return crypto_pwhash_str_needs_rehash(hash, PASSES, MEMORY_BYTES) != 0;
}
