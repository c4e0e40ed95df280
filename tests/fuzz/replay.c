/* Runs a fuzz target over every file of its corpus, without a fuzzer: found crashes stay found.
 *   usage: replay_NAME CORPUS_DIRECTORY
 * An empty or missing directory is a failure: it would make the test pass by doing nothing. */
#define _POSIX_C_SOURCE 200809L
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* The block has the exact size of the file, so that the sanitizers see a step beyond it. */
static int run_file(const char *path)
{
    struct stat st;
    FILE *f = fopen(path, "rb");
    if (f == NULL || fstat(fileno(f), &st) != 0 || !S_ISREG(st.st_mode)) {
        if (f != NULL) {
            (void)fclose(f);
        }
        return 0;
    }
    const size_t size = (size_t)st.st_size;
    uint8_t *data = malloc(size > 0 ? size : 1);
    const size_t got = data != NULL ? fread(data, 1, size, f) : 0;
    (void)fclose(f);
    if (data == NULL || got != size) {
        (void)fprintf(stderr, "%s: cannot be read\n", path);
        free(data);
        exit(1);
    }
    (void)LLVMFuzzerTestOneInput(data, size);
    free(data);
    return 1;
}

int main(int argc, char **argv)
{
    DIR *dir = argc == 2 ? opendir(argv[1]) : NULL;
    int files = 0;
    if (dir == NULL) {
        (void)fprintf(stderr, "usage: %s CORPUS_DIRECTORY (it must exist)\n", argv[0]);
        return 1;
    }
    for (const struct dirent *entry; (entry = readdir(dir)) != NULL;) {
        char path[4096];
        const int n = snprintf(path, sizeof path, "%s/%s", argv[1], entry->d_name);
        if (entry->d_name[0] != '.' && n > 0 && (size_t)n < sizeof path) {
            files += run_file(path);
        }
    }
    (void)closedir(dir);
    (void)printf("%d files\n", files);
    return files > 0 ? 0 : 1;
}
