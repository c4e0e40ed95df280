#define _POSIX_C_SOURCE 200809L
#include "cli/mdr_secret_read.h"

#include <stdio.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

#include "app/mdr_app_people.h"

/* False at the end, or when the line does not fit. */
static bool read_line(FILE *from, char out[MDR_SECRET_LINE])
{
    if (fgets(out, MDR_SECRET_LINE, from) == NULL) {
        return false;
    }
    const size_t n = strcspn(out, "\r\n");
    const bool whole = out[n] != '\0' || feof(from) != 0;
    out[n] = '\0';
    return whole;
}

int mdr_secret_line(mdr_cli *c, char out[MDR_SECRET_LINE])
{
    return read_line(stdin, out)
               ? MDR_EXIT_DONE
               : mdr_cli_misuse(c, "write it as a line of its own",
                                "the standard input holds no secret, or one that is too long");
}

/* Signals of the keyboard are off too: a program that ends in between would leave the terminal
 * without echo. What is typed for them spoils the secret, which is then refused. */
static bool ask_once(FILE *tty, const char *prompt, char out[MDR_SECRET_LINE])
{
    struct termios was, quiet;
    if (tcgetattr(fileno(tty), &was) != 0) {
        return false;
    }
    quiet = was;
    quiet.c_lflag &= ~(tcflag_t)(ECHO | ISIG);
    (void)tcsetattr(fileno(tty), TCSAFLUSH, &quiet);
    (void)fprintf(stderr, "%s: ", prompt); /* whoever types at this finds the echo off */
    (void)fflush(stderr);
    const bool read = read_line(tty, out);
    (void)tcsetattr(fileno(tty), TCSAFLUSH, &was);
    (void)fputc('\n', stderr);
    return read;
}

int mdr_secret_ask(mdr_cli *c, const char *prompt, bool again, char out[MDR_SECRET_LINE])
{
    char twice[MDR_SECRET_LINE] = "", more[64];
    FILE *tty = isatty(STDIN_FILENO) != 0 ? fopen("/dev/tty", "r+") : NULL;
    if (tty == NULL) {
        return mdr_cli_misuse(c, "pipe it in, and say so: --password-stdin or --badge-stdin",
                              "there is no terminal to ask for a secret");
    }
    (void)snprintf(more, sizeof more, "%s, once more", prompt);
    const bool read = ask_once(tty, prompt, out) && (!again || ask_once(tty, more, twice));
    (void)fclose(tty);
    const bool same = !again || strcmp(out, twice) == 0;
    mdr_wipe(twice, sizeof twice);
    if (!read) {
        return mdr_cli_misuse(c, "type it and press Enter", "nothing was typed");
    }
    return same
               ? MDR_EXIT_DONE
               : mdr_cli_misuse(c, "begin again", "the two were not the same; nothing was changed");
}
