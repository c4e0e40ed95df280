#define _POSIX_C_SOURCE 200809L
#include "http/mdr_tls.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <gnutls/crypto.h>
#include <gnutls/gnutls.h>
#include <gnutls/x509.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum { PATH_MOST = 4096, PEM_MOST = 64 << 10, SERIAL_BYTES = 16, DAY_S = 86400, OWNER_ONLY = 0600 };

static mdr_code tls_fail(const char *place, int rc, mdr_err *err)
{
    return MDR_FAIL(err, rc == GNUTLS_E_MEMORY_ERROR ? MDR_E_NOMEM : MDR_E_IO, place,
                    "the certificate cannot be made or read: %s", gnutls_strerror(rc));
}

/* -- files -- */

static mdr_code file_fail(const char *path, const char *msg, mdr_err *err)
{
    const int why = errno;
    (void)MDR_FAIL(err, MDR_E_IO, path, "%s: %s", msg, strerror(why));
    mdr_err_remedy(err, "choose a folder that only you may write to");
    return MDR_E_IO;
}

static mdr_code path_in(const char *dir, const char *name, char out[PATH_MOST], mdr_err *err)
{
    const int n = snprintf(out, PATH_MOST, "%s/%s", dir, name);
    return n > 0 && n < PATH_MOST ? MDR_OK
                                  : MDR_FAIL(err, MDR_E_ARG, "dir", "the path is too long");
}

/* Beside it first, then moved into its place: never half a key. */
static mdr_code write_file(const char *path, const gnutls_datum_t *pem, mode_t mode, mdr_err *err)
{
    char fresh[PATH_MOST + 8];
    (void)snprintf(fresh, sizeof fresh, "%s.new", path);
    (void)unlink(fresh);
    const int fd = open(fresh, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, mode);
    if (fd < 0) {
        return file_fail(path, "the file cannot be created", err);
    }
    const bool whole = write(fd, pem->data, pem->size) == (ssize_t)pem->size && fsync(fd) == 0;
    const bool closed = close(fd) == 0;
    if (!whole || !closed || rename(fresh, path) != 0) {
        const mdr_code rc = file_fail(path, "the file cannot be written", err);
        (void)unlink(fresh);
        return rc;
    }
    return MDR_OK;
}

static mdr_code check_owner_only(const char *path, const struct stat *st, mdr_err *err)
{
    if ((st->st_mode & 077u) == 0) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_IO, path, "others may read the key");
    mdr_err_remedy(err, "chmod 600 %s; if somebody did read it, make new ones", path);
    return MDR_E_IO;
}

/* *out NULL: there is no such file. */
static mdr_code read_file(const char *path, bool secret, mdr_arena *arena, const char **out,
                          mdr_err *err)
{
    struct stat st;
    const int fd = open(path, O_RDONLY | O_CLOEXEC);
    if (fd < 0 && errno == ENOENT) {
        *out = NULL;
        return MDR_OK;
    }
    if (fd < 0 || fstat(fd, &st) != 0) {
        return file_fail(path, "the file cannot be read", err);
    }
    char *text = MDR_NEW_N(arena, char, PEM_MOST + 1);
    mdr_code rc = secret ? check_owner_only(path, &st, err) : MDR_OK;
    if (rc == MDR_OK && text == NULL) {
        rc = MDR_FAIL(err, MDR_E_NOMEM, path, "no memory for the certificate");
    }
    const ssize_t n = rc == MDR_OK ? read(fd, text, PEM_MOST) : -1;
    if (rc == MDR_OK && n <= 0) {
        rc = file_fail(path, "the file cannot be read", err);
    }
    (void)close(fd);
    if (rc == MDR_OK) {
        *out = text;
    }
    return rc;
}

/* -- making -- */

static bool is_address(const char *name, unsigned char bytes[16], unsigned *len)
{
    if (inet_pton(AF_INET, name, bytes) == 1) {
        *len = 4;
        return true;
    }
    *len = 16;
    return inet_pton(AF_INET6, name, bytes) == 1;
}

static bool is_host_name(const char *name)
{
    static const char LETTERS[] =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-.";
    const size_t n = strlen(name);
    const bool number = strspn(name, "0123456789.") == n; /* an address, mistyped */
    return n >= 1 && n <= 253 && strspn(name, LETTERS) == n && name[0] != '-' && name[0] != '.' &&
           !number;
}

static mdr_code check_names(const mdr_tls_ask *ask, mdr_err *err)
{
    unsigned char bytes[16];
    unsigned len = 0;
    for (int i = 0; i < ask->n_names; i++) {
        if (!is_address(ask->names[i], bytes, &len) && !is_host_name(ask->names[i])) {
            (void)MDR_FAIL(err, MDR_E_ARG, "name", "this is neither a name nor an address");
            mdr_err_value(err, "%s", ask->names[i]);
            mdr_err_remedy(err, "write it as browsers will: mill.lan or 192.168.1.5");
            return MDR_E_ARG;
        }
    }
    if (ask->n_names == 0) {
        (void)MDR_FAIL(err, MDR_E_ARG, "name", "the name or address of the server is missing");
        mdr_err_remedy(err, "give --name mill.lan or --address 192.168.1.5, or both");
        return MDR_E_ARG;
    }
    return MDR_OK;
}

/* A key and its certificate. */
typedef struct pair {
    gnutls_x509_privkey_t key;
    gnutls_x509_crt_t crt;
} pair;

static void drop(pair *p)
{
    if (p->crt != NULL) {
        gnutls_x509_crt_deinit(p->crt);
    }
    if (p->key != NULL) {
        gnutls_x509_privkey_deinit(p->key);
    }
}

static int first_failure(int a, int b)
{
    return a < 0 ? a : b;
}

/* What every certificate of ours has. */
static int begin_pair(pair *p, const char *common_name, int days)
{
    unsigned char serial[SERIAL_BYTES];
    const time_t now = time(NULL);
    int rc = first_failure(gnutls_x509_privkey_init(&p->key), gnutls_x509_crt_init(&p->crt));
    rc = first_failure(rc, rc < 0 ? rc
                                  : gnutls_x509_privkey_generate(
                                        p->key, GNUTLS_PK_ECDSA,
                                        GNUTLS_CURVE_TO_BITS(GNUTLS_ECC_CURVE_SECP256R1), 0));
    rc = first_failure(rc, gnutls_rnd(GNUTLS_RND_NONCE, serial, sizeof serial));
    if (rc < 0) {
        return rc;
    }
    serial[0] = (unsigned char)((serial[0] & 0x7Fu) | 0x40u); /* positive, of full length */
    rc = first_failure(gnutls_x509_crt_set_version(p->crt, 3),
                       gnutls_x509_crt_set_serial(p->crt, serial, sizeof serial));
    rc = first_failure(rc, gnutls_x509_crt_set_key(p->crt, p->key));
    /* clocks of tablets are often behind */
    rc = first_failure(rc, gnutls_x509_crt_set_activation_time(p->crt, now - DAY_S));
    rc = first_failure(
        rc, gnutls_x509_crt_set_expiration_time(p->crt, now + (time_t)(days - 1) * DAY_S));
    return first_failure(rc,
                         gnutls_x509_crt_set_dn_by_oid(p->crt, GNUTLS_OID_X520_COMMON_NAME, 0,
                                                       common_name, (unsigned)strlen(common_name)));
}

static int set_key_ids(gnutls_x509_crt_t crt, gnutls_x509_crt_t issuer)
{
    unsigned char id[64];
    size_t n = sizeof id;
    int rc = gnutls_x509_crt_get_key_id(crt, GNUTLS_KEYID_USE_SHA256, id, &n);
    rc = first_failure(rc, rc < 0 ? rc : gnutls_x509_crt_set_subject_key_id(crt, id, n));
    n = sizeof id;
    rc = first_failure(rc, gnutls_x509_crt_get_key_id(issuer, GNUTLS_KEYID_USE_SHA256, id, &n));
    return rc < 0 ? rc : gnutls_x509_crt_set_authority_key_id(crt, id, n);
}

static int make_authority(pair *ca)
{
    int rc = begin_pair(ca, "Madder mill authority", MDR_TLS_CA_DAYS);
    if (rc < 0) {
        return rc;
    }
    rc =
        gnutls_x509_crt_set_basic_constraints(ca->crt, 1, 0); /* it signs servers, no authorities */
    rc = first_failure(
        rc, gnutls_x509_crt_set_key_usage(ca->crt, GNUTLS_KEY_KEY_CERT_SIGN | GNUTLS_KEY_CRL_SIGN));
    rc = first_failure(rc, set_key_ids(ca->crt, ca->crt));
    return rc < 0 ? rc : gnutls_x509_crt_sign2(ca->crt, ca->crt, ca->key, GNUTLS_DIG_SHA256, 0);
}

static int set_names(gnutls_x509_crt_t crt, const mdr_tls_ask *ask)
{
    int rc = 0;
    for (int i = 0; i < ask->n_names && rc >= 0; i++) {
        unsigned char bytes[16];
        unsigned len = 0;
        const unsigned flags = i == 0 ? GNUTLS_FSAN_SET : GNUTLS_FSAN_APPEND;
        rc =
            is_address(ask->names[i], bytes, &len)
                ? gnutls_x509_crt_set_subject_alt_name(crt, GNUTLS_SAN_IPADDRESS, bytes, len, flags)
                : gnutls_x509_crt_set_subject_alt_name(crt, GNUTLS_SAN_DNSNAME, ask->names[i],
                                                       (unsigned)strlen(ask->names[i]), flags);
    }
    return rc;
}

static int make_server(pair *server, const pair *ca, const mdr_tls_ask *ask)
{
    int rc = begin_pair(server, "Madder mill", MDR_TLS_DAYS);
    if (rc < 0) {
        return rc;
    }
    rc = gnutls_x509_crt_set_basic_constraints(server->crt, 0, -1);
    rc =
        first_failure(rc, gnutls_x509_crt_set_key_usage(server->crt, GNUTLS_KEY_DIGITAL_SIGNATURE));
    rc = first_failure(
        rc, gnutls_x509_crt_set_key_purpose_oid(server->crt, GNUTLS_KP_TLS_WWW_SERVER, 0));
    rc = first_failure(rc, set_names(server->crt, ask));
    rc = first_failure(rc, set_key_ids(server->crt, ca->crt));
    return rc < 0 ? rc : gnutls_x509_crt_sign2(server->crt, ca->crt, ca->key, GNUTLS_DIG_SHA256, 0);
}

static mdr_code save_pair(const mdr_tls_ask *ask, const char *name, const pair *p, mdr_err *err)
{
    char path[PATH_MOST], file[32];
    gnutls_datum_t pem = {NULL, 0};
    (void)snprintf(file, sizeof file, "%s.key", name);
    MDR_TRY(path_in(ask->dir, file, path, err));
    int rc = gnutls_x509_privkey_export2(p->key, GNUTLS_X509_FMT_PEM, &pem);
    mdr_code code = rc < 0 ? tls_fail(path, rc, err) : write_file(path, &pem, OWNER_ONLY, err);
    gnutls_free(pem.data);
    MDR_TRY(code);
    (void)snprintf(file, sizeof file, "%s.crt", name);
    MDR_TRY(path_in(ask->dir, file, path, err));
    pem = (gnutls_datum_t){NULL, 0};
    rc = gnutls_x509_crt_export2(p->crt, GNUTLS_X509_FMT_PEM, &pem);
    code = rc < 0 ? tls_fail(path, rc, err) : write_file(path, &pem, 0644, err);
    gnutls_free(pem.data);
    return code;
}

static int import_pair(pair *p, const char *key, const char *crt)
{
    union { /* the library takes what it reads as not const */
        const char *in;
        unsigned char *out;
    } k = {.in = key}, c = {.in = crt};
    const gnutls_datum_t key_pem = {k.out, (unsigned)strlen(key)};
    const gnutls_datum_t crt_pem = {c.out, (unsigned)strlen(crt)};
    int rc = first_failure(gnutls_x509_privkey_init(&p->key), gnutls_x509_crt_init(&p->crt));
    rc = first_failure(
        rc, rc < 0 ? rc : gnutls_x509_privkey_import(p->key, &key_pem, GNUTLS_X509_FMT_PEM));
    return first_failure(
        rc, rc < 0 ? rc : gnutls_x509_crt_import(p->crt, &crt_pem, GNUTLS_X509_FMT_PEM));
}

/* The authority that is there, or a new one: a second one would have to be trusted anew. */
static mdr_code take_authority(const mdr_tls_ask *ask, mdr_arena *arena, pair *ca, mdr_err *err)
{
    char path[PATH_MOST];
    const char *key = NULL, *crt = NULL;
    MDR_TRY(path_in(ask->dir, "ca.key", path, err));
    MDR_TRY(read_file(path, true, arena, &key, err));
    MDR_TRY(path_in(ask->dir, "ca.crt", path, err));
    MDR_TRY(read_file(path, false, arena, &crt, err));
    if (key != NULL && crt != NULL) {
        const int rc = import_pair(ca, key, crt);
        return rc < 0 ? tls_fail(path, rc, err) : MDR_OK;
    }
    const int rc = make_authority(ca);
    return rc < 0 ? tls_fail(path, rc, err) : save_pair(ask, "ca", ca, err);
}

static mdr_code make_all(const mdr_tls_ask *ask, mdr_arena *arena, pair *ca, pair *server,
                         mdr_err *err)
{
    MDR_TRY(take_authority(ask, arena, ca, err));
    const int rc = make_server(server, ca, ask);
    return rc < 0 ? tls_fail(ask->dir, rc, err) : save_pair(ask, "server", server, err);
}

mdr_code mdr_tls_init(const mdr_tls_ask *ask, mdr_err *err)
{
    pair ca = {NULL, NULL}, server = {NULL, NULL};
    MDR_TRY(check_names(ask, err));
    if (mkdir(ask->dir, 0700) != 0 && errno != EEXIST) {
        return file_fail(ask->dir, "the folder cannot be made", err);
    }
    mdr_arena *arena = mdr_arena_new((size_t)PEM_MOST * 4);
    if (arena == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, ask->dir, "no memory for the certificate");
    }
    const mdr_code rc = make_all(ask, arena, &ca, &server, err);
    drop(&server);
    drop(&ca);
    mdr_arena_free(arena);
    return rc;
}

/* -- reading -- */

static mdr_code take_names(gnutls_x509_crt_t crt, mdr_arena *arena, mdr_tls *out, mdr_err *err)
{
    for (unsigned i = 0; out->n_names < MDR_TLS_NAMES_MOST; i++) {
        unsigned char value[256];
        char text[256];
        size_t n = sizeof value - 1;
        const int type = gnutls_x509_crt_get_subject_alt_name(crt, i, value, &n, NULL);
        if (type == GNUTLS_E_REQUESTED_DATA_NOT_AVAILABLE) {
            break;
        }
        if (type == GNUTLS_SAN_DNSNAME) {
            (void)snprintf(text, sizeof text, "%.*s", (int)n, (const char *)value);
        } else if (type != GNUTLS_SAN_IPADDRESS ||
                   inet_ntop(n == 4 ? AF_INET : AF_INET6, value, text, sizeof text) == NULL) {
            continue;
        }
        const char *copy = mdr_arena_text(arena, text);
        if (copy == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, "names", "no memory for the certificate");
        }
        out->names[out->n_names++] = copy;
    }
    return MDR_OK;
}

static mdr_code missing(const char *dir, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_NOTFOUND, dir, "there is no certificate in this folder");
    mdr_err_remedy(err, "make one: madder tls init %s --name mill.lan", dir);
    return MDR_E_NOTFOUND;
}

static mdr_code read_files(const char *dir, mdr_arena *arena, mdr_tls *out, mdr_err *err)
{
    const struct {
        const char *name;
        const char **text;
        bool secret;
    } FILES[] = {{"ca.crt", &out->ca, false},
                 {"server.key", &out->key, true},
                 {"server.crt", &out->certificates, false}};
    char path[PATH_MOST];
    for (size_t i = 0; i < sizeof FILES / sizeof FILES[0]; i++) {
        MDR_TRY(path_in(dir, FILES[i].name, path, err));
        MDR_TRY(read_file(path, FILES[i].secret, arena, FILES[i].text, err));
    }
    return out->key != NULL && out->certificates != NULL ? MDR_OK : missing(dir, err);
}

static mdr_code check_days(const char *dir, const mdr_tls *t, mdr_err *err)
{
    if (t->ends_utc_s > (int64_t)time(NULL)) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_RANGE, dir, "the certificate has expired");
    mdr_err_remedy(err, "run madder tls init again, with the same names; nobody has to trust "
                        "anything anew");
    return MDR_E_RANGE;
}

mdr_code mdr_tls_load(const char *dir, mdr_arena *arena, mdr_tls *out, mdr_err *err)
{
    mdr_tls t = {.n_names = 0};
    pair p = {NULL, NULL};
    MDR_TRY(read_files(dir, arena, &t, err));
    const int rc = import_pair(&p, t.key, t.certificates);
    mdr_code code = rc < 0 ? tls_fail(dir, rc, err) : take_names(p.crt, arena, &t, err);
    t.ends_utc_s = rc < 0 ? 0 : (int64_t)gnutls_x509_crt_get_expiration_time(p.crt);
    drop(&p);
    code = code == MDR_OK ? check_days(dir, &t, err) : code;
    if (code == MDR_OK) {
        *out = t;
    }
    return code;
}
