/*
 * mdr_err.h - error codes and the error record that every fallible call can fill.
 *
 * Layer: base (depends on nothing of ours). Allocates nothing, prints nothing.
 * Rule:  a function that can fail returns mdr_code and takes `mdr_err *err` LAST.
 *        `err` may be NULL. On MDR_OK *err is untouched; otherwise it is fully set.
 *        It is passed up unchanged: the deepest message is the one kept. A caller that
 *        knows the place better may complete `place` while it is still empty.
 */
#ifndef MDR_ERR_H
#define MDR_ERR_H

/* name, stable text id (JSON, exit status), default English text */
#define MDR_CODES(X)                                                    \
    X(MDR_OK, "ok", "no error")                                         \
    X(MDR_E_ARG, "bad_argument", "argument breaks the contract")        \
    X(MDR_E_PARSE, "parse", "text could not be read")                   \
    X(MDR_E_RANGE, "out_of_range", "value outside the allowed range")   \
    X(MDR_E_UNIT, "unknown_unit", "unit is not known here")             \
    X(MDR_E_CONVERGE, "no_converge", "iteration did not converge")      \
    X(MDR_E_INFEAS, "infeasible", "no solution meets the limits")       \
    X(MDR_E_NOTFOUND, "not_found", "no such record")                    \
    X(MDR_E_CONFLICT, "conflict", "clashes with what is already there") \
    X(MDR_E_VERSION, "newer_version", "made by a newer version")        \
    X(MDR_E_IO, "io", "reading or writing failed")                      \
    X(MDR_E_NOMEM, "no_memory", "memory limit reached")                 \
    X(MDR_E_SIGN_IN, "sign_in", "nobody is signed in")                  \
    X(MDR_E_DENIED, "denied", "not for this person to do")              \
    X(MDR_E_WAIT, "wait", "asked again too soon")

typedef enum mdr_code {
#define X(name, id, text) name,
    MDR_CODES(X)
#undef X
} mdr_code;

/* Owned by the caller, usually on its stack; fixed size so that reporting
 * out-of-memory needs no memory. Texts that do not fit are cut at a character border. */
typedef struct mdr_err {
    mdr_code code;
    char place[128];  /* "machine.csv:14:load_max_kg", "stages[2].baths[0].steps[3].to_c" */
    char value[64];   /* the offending value as it stood there, or "" */
    char allowed[96]; /* the allowed range or choice, or "" */
    char remedy[200]; /* what to do about it, or "" */
    char msg[200];    /* what is wrong, one English line */
    const char *file; /* where in the code it was raised: static strings */
    int line;
} mdr_err;

#define MDR_MUST_CHECK   __attribute__((warn_unused_result))
#define MDR_PRINTF(f, a) __attribute__((format(printf, f, a)))
/* A place no valid program reaches. Stops, also in release builds: never turn an
 * assertion into undefined behaviour. */
#define MDR_UNREACHABLE() __builtin_trap()

const char *mdr_code_id(mdr_code code);
const char *mdr_code_text(mdr_code code);

/* Fills code, place and msg of *err (if any), empties the rest, and returns `code`, so that
 * `return MDR_FAIL(...)` works. */
#define MDR_FAIL(err, code, place, ...) \
    mdr_err_set((err), (code), (place), __FILE__, __LINE__, __VA_ARGS__)
mdr_code mdr_err_set(mdr_err *err, mdr_code code, const char *place, const char *file, int line,
                     const char *fmt, ...) MDR_PRINTF(6, 7);

/* Complete a record that was just set; each returns err->code (MDR_E_ARG when err is NULL is
 * never seen: with err NULL they do nothing and the caller returns its own code). */
void mdr_err_value(mdr_err *err, const char *fmt, ...) MDR_PRINTF(2, 3);
void mdr_err_allowed(mdr_err *err, const char *fmt, ...) MDR_PRINTF(2, 3);
void mdr_err_remedy(mdr_err *err, const char *fmt, ...) MDR_PRINTF(2, 3);
/* Puts `prefix` before the place: "steps[3]" becomes "stages[2].baths[0].steps[3]". */
void mdr_err_within(mdr_err *err, const char *fmt, ...) MDR_PRINTF(2, 3);

/* The whole record as one or more lines for a terminal or a log: message, then place, value,
 * allowed, remedy as far as set. Always terminated; returns the length written. */
int mdr_err_format(const mdr_err *err, char *out, int out_size);

/* Pass a failure on unchanged. */
#define MDR_TRY(call)                  \
    do {                               \
        mdr_code mdr_try_rc_ = (call); \
        if (mdr_try_rc_ != MDR_OK) {   \
            return mdr_try_rc_;        \
        }                              \
    } while (0)

#endif
