/*
 * app_bath_kit.h - room for questions about a bath, asked as JSON.
 */
#ifndef APP_BATH_KIT_H
#define APP_BATH_KIT_H

#include "t.h"

#include <stdio.h>
#include <string.h>

#include "app/mdr_app_bath.h"
#include "why_kit.h"

enum { ARENA_BYTES = 4 << 20, FOUND_MAX = 20 };

static mdr_arena *arena;

static int set_up(void **state)
{
    (void)state;
    arena = mdr_arena_new(ARENA_BYTES);
    return arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    mdr_arena_free(arena);
    return 0;
}

static mdr_blob blob(const char *text)
{
    return (mdr_blob){.bytes = text, .len = strlen(text)};
}

#endif
