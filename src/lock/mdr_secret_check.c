/* What may be a password, a PIN, the code of a badge. */
#include <stdint.h>
#include <string.h>

#include "lock/mdr_secret.h"

/* Whole passwords that are tried first, and what they are built on: from memory of what is commonly
 * found, and what belongs to this trade. Folded to lower case; what has fewer than 12 characters is
 * caught with its digits and signs behind it ("password2026!"). */
static const char *const USUAL[] = {
    "password",
    "passwort",
    "passw0rd",
    "p@ssword",
    "p@ssw0rd",
    "passwordpassword",
    "mypassword",
    "thisismypassword",
    "newpassword",
    "secret",
    "secretpassword",
    "letmein",
    "letmeinplease",
    "welcome",
    "welcometothemill",
    "changeme",
    "changemenow",
    "default",
    "administrator",
    "admin",
    "adminadmin",
    "adminadminadmin",
    "root",
    "rootroot",
    "superuser",
    "supervisor",
    "manager",
    "operator",
    "technologist",
    "laboratory",
    "user",
    "username",
    "guest",
    "test",
    "testtest",
    "testtesttest",
    "demo",
    "qwerty",
    "qwertyuiop",
    "qwertyqwerty",
    "qwertyuiopasdfghjkl",
    "qwertzuiop",
    "azertyuiop",
    "asdfghjkl",
    "asdfasdfasdf",
    "zxcvbnm",
    "qazwsxedc",
    "qazwsxedcrfv",
    "1qaz2wsx3edc",
    "1q2w3e4r5t6y",
    "q1w2e3r4t5y6",
    "abcdef",
    "abcdefgh",
    "abcdefghijkl",
    "abcabcabcabc",
    "iloveyou",
    "iloveyouforever",
    "sunshine",
    "princess",
    "football",
    "footballfootball",
    "baseball",
    "superman",
    "batman",
    "dragon",
    "monkey",
    "master",
    "masterpassword",
    "trustno",
    "whatever",
    "computer",
    "internet",
    "correcthorsebatterystaple",
    "opensesame",
    "dyehouse",
    "dyehousedyehouse",
    "dyeing",
    "textile",
    "textiles",
    "cotton",
    "knitting",
    "madder",
    "maddermadder",
    "factory",
    "company",
    "january",
    "february",
    "september",
    "october",
    "november",
    "december",
    "summer",
    "winter",
    "spring",
    "autumn",
    "bangladesh",
    "pakistan",
    "portugal",
    "istanbul",
};

static char lower(char c)
{
    if (c >= 'A' && c <= 'Z') {
        return (char)(unsigned char)(c | 0x20); /* ASCII: a small letter is one bit away */
    }
    return c;
}

static void fold(const char *text, size_t n, char *out)
{
    for (size_t i = 0; i < n; i++) {
        out[i] = lower(text[i]);
    }
    out[n] = '\0';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (unsigned char)c >= 0x80;
}

/* Without the digits and signs before and behind; the whole when nothing else is in it. */
static size_t bare(const char *folded, const char **out)
{
    size_t end = strlen(folded), begin = 0;
    while (end > 0 && !is_letter(folded[end - 1])) {
        end--;
    }
    /* NOLINTNEXTLINE(clang-analyzer-core.CallAndMessage) the checker cannot see that it is set here */
    while (begin < end && !is_letter(folded[begin])) {
        begin++;
    }
    *out = folded + begin;
    return end - begin;
}

static bool is_usual(const char *folded)
{
    const char *core = NULL;
    const size_t n = bare(folded, &core);
    for (size_t i = 0; i < sizeof USUAL / sizeof USUAL[0]; i++) {
        if (strcmp(folded, USUAL[i]) == 0 ||
            (strlen(USUAL[i]) == n && strncmp(core, USUAL[i], n) == 0)) {
            return true;
        }
    }
    return n == 0 && strspn(folded, "0123456789") == strlen(folded); /* digits alone */
}

/* The name alone, also with digits and signs around it or written twice. */
static bool is_own(const char *folded, const char *name)
{
    char own[MDR_PASSWORD_MOST + 1];
    const char *core = NULL;
    const size_t n = bare(folded, &core), m = strlen(name);
    if (m == 0 || m > MDR_PASSWORD_MOST) {
        return false;
    }
    fold(name, m, own);
    return (n == m && memcmp(core, own, m) == 0) ||
           (n == 2 * m && memcmp(core, own, m) == 0 && memcmp(core + m, own, m) == 0);
}

static int different(const char *text)
{
    uint8_t seen[256] = {0};
    int n = 0;
    for (const char *c = text; *c != '\0'; c++) {
        n += seen[(unsigned char)*c] == 0 ? 1 : 0;
        seen[(unsigned char)*c] = 1;
    }
    return n;
}

/* Bytes that follow such a first byte of UTF-8; -1: it begins nothing that can be typed. */
static int following(unsigned char first)
{
    if (first < 0x80) {
        return first < 0x20 || first == 0x7F ? -1 : 0;
    }
    if (first < 0xC2 || first > 0xF4) {
        return -1;
    }
    return first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : 1;
}

/* Characters of UTF-8 text; -1: it is none, or has control characters. */
static int characters(const char *text)
{
    int n = 0;
    const unsigned char *c = (const unsigned char *)text;
    for (; *c != '\0'; n++) {
        const int more = following(*c++);
        for (int i = 0; i < more; i++, c++) {
            if ((*c & 0xC0) != 0x80) {
                return -1;
            }
        }
        if (more < 0) {
            return -1;
        }
    }
    return n;
}

static mdr_code refuse(const char *place, const char *msg, const char *allowed, const char *remedy,
                       mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, place, "%s", msg);
    mdr_err_allowed(err, "%s", allowed);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

mdr_code mdr_password_check(const char *password, const char *person_id, const char *name,
                            mdr_err *err)
{
    enum { DIFFERENT_LEAST = 5 };
    static const char ALLOWED[] = "12 characters or more, up to 256 bytes";
    static const char REMEDY[] = "take four words that have nothing to do with each other";
    char folded[MDR_PASSWORD_MOST + 1];
    const size_t len = strlen(password);
    const int n = len <= MDR_PASSWORD_MOST ? characters(password) : -1;
    if (len > MDR_PASSWORD_MOST) {
        return refuse("password", "the password is too long", ALLOWED, REMEDY, err);
    }
    if (n < 0) {
        return refuse("password", "the password holds characters that cannot be typed again",
                      "letters, digits, signs and blanks", REMEDY, err);
    }
    if (n < MDR_PASSWORD_LEAST) {
        return refuse("password", "the password is too short", ALLOWED, REMEDY, err);
    }
    fold(password, len, folded);
    if (is_usual(folded)) {
        return refuse("password", "this password is one of those that are tried first", "any other",
                      REMEDY, err);
    }
    if (is_own(folded, person_id) || is_own(folded, name)) {
        return refuse("password", "the password is the person's own name", "any other", REMEDY,
                      err);
    }
    return different(password) < DIFFERENT_LEAST
               ? refuse("password", "the password repeats a few characters only",
                        "five different characters or more", REMEDY, err)
               : MDR_OK;
}

/* 123456, 987654, 111111, 121212, 123123. */
static bool runs_or_repeats(const char *pin, size_t n)
{
    enum { PERIOD_MOST = 3 };
    bool up = true, down = true;
    for (size_t i = 1; i < n; i++) {
        up = up && (pin[i] - pin[i - 1] + 10) % 10 == 1;
        down = down && (pin[i - 1] - pin[i] + 10) % 10 == 1;
    }
    bool repeats = false;
    for (size_t period = 1; period <= PERIOD_MOST; period++) {
        repeats = repeats || memcmp(pin, pin + period, n - period) == 0;
    }
    return up || down || repeats;
}

mdr_code mdr_pin_check(const char *pin, mdr_err *err)
{
    static const char ALLOWED[] = "6 to 12 digits that neither run nor repeat";
    static const char REMEDY[] = "take digits that belong to nothing: no date, no run, no pattern";
    const size_t n = strlen(pin);
    if (n < MDR_PIN_LEAST || n > MDR_PIN_MOST || strspn(pin, "0123456789") != n) {
        return refuse("pin", "the PIN is not 6 to 12 digits", ALLOWED, REMEDY, err);
    }
    return runs_or_repeats(pin, n)
               ? refuse("pin", "the PIN runs or repeats: it is tried first", ALLOWED, REMEDY, err)
               : MDR_OK;
}

mdr_code mdr_badge_check(const char *badge, mdr_err *err)
{
    const size_t n = strlen(badge);
    bool visible = true;
    for (size_t i = 0; i < n; i++) {
        visible = visible && badge[i] > ' ' && badge[i] < 0x7F;
    }
    return n < MDR_BADGE_LEAST || n > MDR_BADGE_MOST || !visible
               ? refuse("badge", "this is no code of a badge",
                        "8 to 64 visible ASCII characters, no blanks",
                        "scan the badge; its code must be long enough not to be guessed", err)
               : MDR_OK;
}
