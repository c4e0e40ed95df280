/* Any bytes as the small documents of people and of the weigh room: refused with a reason that can be
 * sent, or every text of them is there. */
#include <stdint.h>
#include <string.h>

#include "wire/mdr_people_ask.h"
#include "wire/mdr_weigh_ask.h"
#include "wire/mdr_wire.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

enum { TEXT_MOST = 1 << 20 };

typedef struct asked {
    const char *text;
    size_t len;
    mdr_arena *arena;
    mdr_err_list found;
    mdr_err err;
} asked;

static int taken(asked *a, mdr_code rc)
{
    if (rc == MDR_OK) {
        return 1;
    }
    require(a->err.code == rc && a->err.msg[0] != '\0');
    require(mdr_wire_error(&a->err, &a->found, a->arena)[0] == '{');
    a->found = mdr_err_list_make(a->arena, 20);
    a->err = (mdr_err){0};
    return 0;
}

#define READ(a, how, out) taken(&(a), how((a).text, (a).len, (a).arena, &(a).found, out, &(a).err))

/* Within the document, and so within what was given. */
static void ends(const char *text)
{
    require(text == NULL || strlen(text) < TEXT_MOST);
}

static void people(asked a)
{
    mdr_sign_in_post sign_in;
    mdr_unlock_post unlock;
    mdr_password_put password;
    mdr_person_put person;
    /* what must stand together is the business of app: here every text is there or is not */
    if (READ(a, mdr_wire_sign_in_read, &sign_in)) {
        ends(sign_in.person_id);
        ends(sign_in.password);
        ends(sign_in.badge);
        ends(sign_in.pin);
        ends(sign_in.device);
    }
    if (READ(a, mdr_wire_unlock_read, &unlock)) {
        ends(unlock.password);
        ends(unlock.pin);
    }
    if (READ(a, mdr_wire_password_read, &password)) {
        ends(password.was);
        ends(password.password);
    }
    for (int fresh = 0; fresh < 2; fresh++) {
        if (taken(&a, mdr_wire_person_read(a.text, a.len, fresh == 1, a.arena, &a.found, &person,
                                           &a.err))) {
            require((person.person_id != NULL) == (fresh == 1));
            ends(person.name);
            ends(person.roles);
        }
    }
}

static void weigh_room(asked a)
{
    mdr_judge_ask judge;
    mdr_scan_ask scan;
    mdr_receive_ask receive;
    if (READ(a, mdr_wire_judge_read, &judge)) {
        require(judge.material_id != NULL && judge.scale_id != NULL);
    }
    if (READ(a, mdr_wire_scan_read, &scan)) {
        require(scan.text != NULL);
    }
    if (READ(a, mdr_wire_receive_read, &receive)) {
        require(receive.entry_id != NULL && receive.material_id != NULL && receive.expiry != NULL);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    mdr_arena *arena = mdr_arena_new((size_t)32 << 20);
    require(arena != NULL);
    const asked a = {.text = (const char *)data,
                     .len = size,
                     .arena = arena,
                     .found = mdr_err_list_make(arena, 20)};
    people(a);
    weigh_room(a);
    mdr_arena_free(arena);
    return 0;
}
