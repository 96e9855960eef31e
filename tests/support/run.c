/* run.c - see run.h. */
#include "run.h"

#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <limits.h>
#include <math.h>
#include <setjmp.h>
#include <signal.h>
#include <spawn.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <unistr.h>

#include <cmocka.h>

#include "support/stand_by.h"

static void *must(void *storage)
{
    if (storage == NULL) {
        abort();
    }
    return storage;
}

char *folder_new(void)
{
    const char *root = getenv("TMPDIR");
    char path[PATH_MAX];
    snprintf(path, sizeof path, "%s/poolwright-test-XXXXXX", root != NULL && root[0] != '\0' ? root : "/tmp");
    assert_non_null(mkdtemp(path));
    return must(strdup(path));
}

static int remove_entry(const char *path, const struct stat *info, int kind, struct FTW *place)
{
    (void)info;
    (void)kind;
    (void)place;
    return remove(path);
}

void folder_remove(const char *folder)
{
    nftw(folder, remove_entry, 16, FTW_DEPTH | FTW_PHYS);
}

void folder_write(const char *folder, const char *name, const char *bytes, size_t length)
{
    char path[PATH_MAX];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    for (char *slash = strchr(path + strlen(folder) + 1, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        mkdir(path, 0777);
        *slash = '/';
    }
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, length, file), length);
    assert_int_equal(fclose(file), 0);
}

void folder_print(const char *folder, const char *name, const char *text)
{
    folder_write(folder, name, text, strlen(text));
}

void folder_write_utf16(const char *folder, const char *name, const char *text, bool big_endian)
{
    size_t units;
    text += strncmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    uint16_t *unit = must(u8_to_u16((const uint8_t *)text, strlen(text), NULL, &units));
    unsigned char *bytes = must(malloc(2 * units + 2));
    for (size_t k = 0; k <= units; k++) {
        const unsigned value = k == 0 ? 0xFEFF : unit[k - 1];
        bytes[2 * k + !big_endian] = (unsigned char)(value >> 8);
        bytes[2 * k + big_endian] = (unsigned char)(value & 0xFF);
    }
    folder_write(folder, name, (const char *)bytes, 2 * units + 2);
    free(bytes);
    free(unit);
}

static char *slurp(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return NULL;
    }
    size_t capacity = 1 << 16;
    size_t used = 0;
    char *bytes = must(malloc(capacity + 1));
    for (;;) {
        size_t got = fread(bytes + used, 1, capacity - used, file);
        used += got;
        if (got == 0) {
            break;
        }
        if (used == capacity) {
            capacity *= 2;
            bytes = must(realloc(bytes, capacity + 1));
        }
    }
    fclose(file);
    bytes[used] = '\0';
    if (length != NULL) {
        *length = used;
    }
    return bytes;
}

char *folder_read(const char *folder, const char *name, size_t *length)
{
    char path[PATH_MAX];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return slurp(path, length);
}

bool folder_has(const char *folder, const char *name)
{
    char path[PATH_MAX];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return access(path, F_OK) == 0;
}

const char *program_path(void)
{
    static char path[PATH_MAX];
    if (path[0] == '\0') {
        const char *given = getenv("POOLWRIGHT");
        if (realpath(given != NULL ? given : "build/poolwright", path) == NULL) {
            fail_msg("the program under test is missing: %s", given != NULL ? given : "build/poolwright");
        }
    }
    return path;
}

/* The two outputs go to files in memory, so that no pipe can fill up. */
static int output_file(void)
{
    const int file = memfd_create("output", MFD_CLOEXEC);
    assert_true(file >= 0);
    return file;
}

static char *output_text(int file, size_t *length)
{
    off_t size = lseek(file, 0, SEEK_END);
    assert_true(size >= 0);
    char *bytes = must(malloc((size_t)size + 1));
    *length = 0;
    while (*length < (size_t)size) {
        ssize_t got = pread(file, bytes + *length, (size_t)size - *length, (off_t)*length);
        if (got <= 0) {
            break;
        }
        *length += (size_t)got;
    }
    bytes[*length] = '\0';
    close(file);
    return bytes;
}

/* The status of waitpid. Not by fork, which copies what the test holds: with sanitizers that takes as long as many a
 * run. */
static int start(const char *program, char **arguments, const int *descriptor)
{
    pid_t process;
    posix_spawn_file_actions_t actions;
    assert_int_equal(posix_spawn_file_actions_init(&actions), 0);
    assert_int_equal(posix_spawn_file_actions_addfchdir_np(&actions, descriptor[0]), 0);
    for (int k = 0; k < 3; k++)
        assert_int_equal(posix_spawn_file_actions_adddup2(&actions, descriptor[k + 1], k), 0);
    const int problem = posix_spawnp(&process, program, &actions, NULL, arguments, environ);
    if (problem != 0) {
        fail_msg("%s could not be started: %s", program, strerror(problem));
    }
    posix_spawn_file_actions_destroy(&actions);
    int status = 0;
    while (waitpid(process, &status, 0) < 0) {
        assert_int_equal(errno, EINTR);
    }
    return status;
}

static int opened(int folder, const char *path, int flags)
{
    const int file = openat(folder, path, flags | O_CLOEXEC);
    if (file < 0) {
        fail_msg("%s cannot be opened: %s", path, strerror(errno));
    }
    return file;
}

static void run_with(const char *program, const char *folder, const char *const *arguments, const char *input, Run *run)
{
    size_t count = 0;
    while (arguments[count] != NULL) {
        count++;
    }
    char **vector = must(calloc(count + 2, sizeof *vector));
    vector[0] = must(strdup(program));
    for (size_t i = 0; i < count; i++) {
        vector[i + 1] = must(strdup(arguments[i]));
    }
    const int place = opened(AT_FDCWD, folder, O_PATH | O_DIRECTORY),
              in = opened(place, input != NULL ? input : "/dev/null", O_RDONLY), out = output_file(),
              err = output_file();
    const int descriptor[] = {place, in, out, err};
    int status = 0;
    setenv("COLUMNS", "100000", 0); /* lines of sentences as long as they like: what tests look for is not broken */
    if (program != program_path() || !stand_by_run(program, vector, descriptor, &status)) {
        status = start(program, vector, descriptor);
    }
    close(place);
    close(in);
    run->code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    run->out = output_text(out, &run->out_length);
    run->err = output_text(err, &run->err_length);
    for (size_t i = 0; i <= count; i++) {
        free(vector[i]);
    }
    free(vector);
}

void run_program(const char *program, const char *folder, const char *const *arguments, Run *run)
{
    run_with(program, folder, arguments, NULL, run);
}

void run_poolwright(const char *folder, const char *const *arguments, const char *input, Run *run)
{
    run_with(program_path(), folder, arguments, input, run);
}

void run_forget(Run *run)
{
    free(run->out);
    free(run->err);
    run->out = NULL;
    run->err = NULL;
}

uint64_t environment_number(const char *name, uint64_t otherwise)
{
    const char *text = getenv(name);
    return text != NULL ? strtoull(text, NULL, 10) : otherwise;
}

bool sanitised(void)
{
#ifdef __SANITIZE_ADDRESS__
    return true;
#else
    const char *given = getenv("POOLWRIGHT");
    return given != NULL && strstr(given, "/sanitised/") != NULL;
#endif
}

static uint64_t share_of(uint64_t many, uint64_t part)
{
    return sanitised() ? (many + part - 1) / part : many;
}

int sanitised_share(int many)
{
    return (int)share_of((uint64_t)many, 5);
}

int sanitised_starts(int many)
{
    return (int)share_of((uint64_t)many, 10);
}

uint64_t scenarios_wanted(uint64_t otherwise)
{
    return environment_number("POOLWRIGHT_SCENARIOS", share_of(otherwise, 10));
}

bool program_exists(const char *name)
{
    const char *path = getenv("PATH");
    while (path != NULL && path[0] != '\0') {
        size_t length = strcspn(path, ":");
        char full[PATH_MAX];
        snprintf(full, sizeof full, "%.*s/%s", (int)length, path, name);
        if (access(full, X_OK) == 0) {
            return true;
        }
        path += length;
        path += path[0] == ':';
    }
    return false;
}

json_t *run_json(const Run *run)
{
    json_error_t error;
    json_t *root = json_loadb(run->out, run->out_length, 0, &error);
    if (root == NULL || !json_is_object(root)) {
        fail_msg("no JSON on standard output (exit code %d): %s\nstandard output: %.2000s\nstandard error: %.2000s",
                 run->code, error.text, run->out, run->err);
    }
    return root;
}

json_t *run_answer(const char *folder, int code, const char *const *arguments)
{
    Run run;
    run_poolwright(folder, arguments, NULL, &run);
    if (run.code != code)
        fail_msg("%s: exit code %d, expected %d\n%.1500s", arguments[0], run.code, code, run.err);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

int64_t json_units(const json_t *object, const char *key, int scale)
{
    const json_t *value = json_object_get(object, key);
    if (!json_is_number(value)) {
        fail_msg("'%s' is missing or no number", key);
    }
    double units = json_number_value(value) * scale;
    double whole = round(units);
    if (fabs(units - whole) > 1e-6 * (1 + fabs(units) * 1e-6)) {
        fail_msg("'%s' is %.17g, which is finer than 1/%d", key, json_number_value(value), scale);
    }
    return (int64_t)whole;
}

const char *json_text(const json_t *object, const char *key)
{
    const char *text = json_string_value(json_object_get(object, key));
    if (text == NULL) {
        fail_msg("'%s' is missing or no text", key);
    }
    return text;
}

const json_t *json_named(const json_t *list, const char *name)
{
    for (size_t k = 0; k < json_array_size(list); k++)
        if (strcmp(json_text(json_array_get(list, k), "name"), name) == 0)
            return json_array_get(list, k);
    fail_msg("nothing is called '%s'", name);
    return NULL;
}

void dice_seed(Dice *dice, uint64_t seed)
{
    dice->state = (seed + 1) * UINT64_C(0x9E3779B97F4A7C15);
    for (int i = 0; i < 8; i++) {
        dice_roll(dice, 0, 1);
    }
}

int dice_roll(Dice *dice, int low, int high)
{
    uint64_t x = dice->state;
    x ^= x >> 12;
    x ^= x << 25;
    x ^= x >> 27;
    dice->state = x;
    uint64_t mixed = (x * UINT64_C(2685821657736338717)) >> 33;
    return low + (int)(mixed % (uint64_t)(high - low + 1));
}

bool dice_chance(Dice *dice, int percent)
{
    return dice_roll(dice, 1, 100) <= percent;
}

void signals_as_usual(void)
{
    signal(SIGINT, SIG_DFL);
    signal(SIGTERM, SIG_DFL);
    signal(SIGHUP, SIG_DFL);
}
