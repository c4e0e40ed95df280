/*
 * Build-time tool: a language catalogue (files of CSV "key,text", RFC 4180 quotes) -> a C array
 * sorted by key, declared in src/base/mdr_lang_table.h.
 *
 * Lines that begin with '#' are for people; the first other line of each file is "key,text".
 * Refuses a key twice, also in two files, a key of other characters than a-z 0-9 . - _, an empty
 * text, and a brace that is neither {0}..{9} nor "{{".
 *
 * usage: lang2c IN.csv... OUT.c
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct entry {
    char *key, *text;
    const char *path;
    int line_no;
} entry;

typedef struct catalogue {
    entry *entries;
    int n;
} catalogue;

static const char *in_path = "";

static void die(int line_no, const char *why, const char *what)
{
    (void)fprintf(stderr, "%s:%d: %s%s%s\n", in_path, line_no, why, what[0] != '\0' ? ": " : "",
                  what);
    exit(1);
}

static char *read_all(void)
{
    FILE *f = fopen(in_path, "rb");
    if (f == NULL || fseek(f, 0, SEEK_END) != 0) {
        die(0, "cannot be opened", "");
    }
    const long size = ftell(f);
    char *text = size < 0 ? NULL : malloc((size_t)size + 1);
    if (text == NULL || fseek(f, 0, SEEK_SET) != 0 ||
        fread(text, 1, (size_t)size, f) != (size_t)size) {
        die(0, "cannot be read", "");
    }
    text[size] = '\0';
    (void)fclose(f);
    return text;
}

/* Reads one cell at *at in place; leaves *at on the comma, the line end or the NUL behind it. */
static char *cell(char **at, int *line_no)
{
    char *p = *at;
    if (*p != '"') {
        char *start = p;
        p += strcspn(p, ",\r\n");
        *at = p;
        return start;
    }
    char *start = ++p;
    char *to = start;
    for (; *p != '\0'; p++) {
        if (*p == '"' && p[1] == '"') {
            p++;
        } else if (*p == '"') {
            break;
        }
        *line_no += *p == '\n';
        *to++ = *p;
    }
    if (*p != '"') {
        die(*line_no, "a quote is not closed", "");
    }
    *at = p + 1;
    *to = '\0';
    return start;
}

/* Cuts the cell that ends at `end` and steps over the separator. */
static char *finish_line(char *end, int *line_no)
{
    char *next = end;
    if (*next == '\r') {
        next++;
    }
    if (*next != '\n' && *next != '\0') {
        die(*line_no, "expected the end of the line", "");
    }
    if (*next == '\n') {
        (*line_no)++;
        next++;
    }
    *end = '\0';
    return next;
}

static void check(const entry *e)
{
    if (e->key[0] == '\0' ||
        e->key[strspn(e->key, "abcdefghijklmnopqrstuvwxyz0123456789.-_")] != '\0') {
        die(e->line_no, "a key is made of a-z 0-9 . - _", e->key);
    }
    if (e->text[0] == '\0') {
        die(e->line_no, "no text for this key", e->key);
    }
    for (const char *p = e->text; *p != '\0'; p++) {
        if (*p != '{') {
            continue;
        }
        if (p[1] == '{') {
            p++;
        } else if (p[1] < '0' || p[1] > '9' || p[2] != '}') {
            die(e->line_no, "a brace must be {0}..{9}, or doubled", e->key);
        }
    }
}

static int by_key(const void *a, const void *b)
{
    const entry *x = a;
    const entry *y = b;
    return strcmp(x->key, y->key);
}

/* Everything but plain ASCII as octal, so that the compiler's character set does not matter. */
static void put_literal(FILE *out, const char *text)
{
    (void)fputc('"', out);
    for (const unsigned char *p = (const unsigned char *)text; *p != '\0'; p++) {
        if (*p < 0x20 || *p > 0x7E || *p == '"' || *p == '\\' || *p == '?') {
            (void)fprintf(out, "\\%03o", (unsigned)*p);
        } else {
            (void)fputc(*p, out);
        }
    }
    (void)fputc('"', out);
}

static void read_entries(catalogue *all, char *p)
{
    int line_no = 1;
    int has_head = 0;
    while (*p != '\0') {
        if (*p == '#' || *p == '\n' || *p == '\r') {
            p += strcspn(p, "\n");
            line_no += *p == '\n';
            p += *p == '\n';
            continue;
        }
        entry e = {.path = in_path, .line_no = line_no};
        e.key = cell(&p, &line_no);
        if (*p != ',') {
            die(line_no, "expected key,text", "");
        }
        *p++ = '\0';
        e.text = cell(&p, &line_no);
        p = finish_line(p, &line_no);
        if (!has_head) {
            has_head = 1;
            if (strcmp(e.key, "key") != 0 || strcmp(e.text, "text") != 0) {
                die(e.line_no, "the first line must be key,text", "");
            }
            continue;
        }
        check(&e);
        all->entries[all->n++] = e;
    }
}

/* The texts stay in memory: the entries point into them. */
static void read_file(catalogue *all, const char *path)
{
    in_path = path;
    char *text = read_all();
    /* an entry takes at least "k,t\n" */
    const size_t most = (size_t)all->n + strlen(text) / 4 + 1;
    const int before = all->n;
    entry *entries = realloc(all->entries, most * sizeof *entries);
    if (entries == NULL) {
        die(0, "out of memory", "");
    }
    all->entries = entries;
    read_entries(all, text);
    if (all->n == before) {
        die(0, "no entries", "");
    }
}

static void sort(catalogue *all)
{
    qsort(all->entries, (size_t)all->n, sizeof *all->entries, by_key);
    for (int i = 1; i < all->n; i++) {
        const entry *e = &all->entries[i];
        if (strcmp(e[-1].key, e->key) == 0) {
            in_path = e->path;
            die(e->line_no, "this key is there twice", e->key);
        }
    }
}

static void write_entries(FILE *out, const entry *entries, int n)
{
    (void)fprintf(out, "/* Generated by tools/lang2c - do not edit. */\n"
                       "#include \"base/mdr_lang_table.h\"\n\n"
                       "const mdr_lang_entry mdr_lang_entries[] = {\n");
    for (int i = 0; i < n; i++) {
        (void)fprintf(out, "    {");
        put_literal(out, entries[i].key);
        (void)fprintf(out, ", ");
        put_literal(out, entries[i].text);
        (void)fprintf(out, "},\n");
    }
    (void)fprintf(out, "};\nconst int mdr_lang_count = %d;\n", n);
}

int main(int argc, char **argv)
{
    if (argc < 3) {
        (void)fprintf(stderr, "usage: lang2c IN.csv... OUT.c\n");
        return 2;
    }
    const char *out_path = argv[argc - 1];
    catalogue all = {NULL, 0};
    for (int i = 1; i < argc - 1; i++) {
        read_file(&all, argv[i]);
    }
    sort(&all);
    FILE *out = fopen(out_path, "w");
    if (out == NULL) {
        die(0, "the output cannot be written", out_path);
    }
    write_entries(out, all.entries, all.n);
    const int bad = ferror(out);
    if (fclose(out) != 0 || bad) {
        (void)remove(out_path);
        die(0, "the output could not be written", out_path);
    }
    free(all.entries);
    return 0;
}
