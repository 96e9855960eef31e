/* test_seats.c - the presets' sizes follow from their seats. Eight seats x three packs x fifteen cards = 360, four
 * seats = 180 (common practice, no published source). Read from the presets' text, and seen in the programme that the
 * built program exports. */
#include <glob.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/run.h"

typedef struct {
    int size, seats, packs, pack_size;
} Preset;

/* The line that begins with the key, or NULL. */
static const char *line_of(const char *text, const char *key)
{
    for (const char *line = text; line != NULL; line = strchr(line, '\n')) {
        line += line[0] == '\n';
        if (strncmp(line, key, strlen(key)) == 0) {
            return line;
        }
    }
    return NULL;
}

static bool read_preset(const char *path, Preset *preset)
{
    char *text = folder_read(".", path, NULL);
    assert_non_null(text);
    const char *size = line_of(text, "size:");
    const char *seats = line_of(text, "seats:");
    bool there = size != NULL && seats != NULL;
    if (there) {
        assert_int_equal(sscanf(size, "size: %d", &preset->size), 1);
        assert_int_equal(sscanf(seats, "seats: {seats: %d, packs: %d, pack_size: %d}", &preset->seats, &preset->packs,
                                &preset->pack_size),
                         3);
    }
    assert_true((size != NULL) == (seats != NULL));
    free(text);
    return there;
}

static bool is_pool(const Preset *preset)
{
    return preset->seats * preset->packs * preset->pack_size == preset->size;
}

static void sizes_follow_from_seats(void **state)
{
    (void)state;
    glob_t found;
    int presets = 0;
    bool small = false;
    bool usual = false;
    assert_int_equal(glob("models/four-*.yaml", 0, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        Preset preset;
        if (!read_preset(found.gl_pathv[i], &preset)) {
            continue;
        }
        if (!is_pool(&preset)) {
            fail_msg("%s: %d seats, %d packs of %d are not %d cards", found.gl_pathv[i], preset.seats, preset.packs,
                     preset.pack_size, preset.size);
        }
        presets++;
        small = small || (preset.seats == 4 && preset.size == 180);
        usual = usual || (preset.seats == 8 && preset.packs == 3 && preset.pack_size == 15 && preset.size == 360);
    }
    globfree(&found);
    assert_true(presets >= 4);
    assert_true(small && usual);
}

static void the_program_knows_the_sizes(void **state)
{
    (void)state;
    static const struct {
        const char *preset;
        int size;
    } known[] = {{"four-180", 180}, {"four-360", 360}, {"four-450", 450}, {"four-540", 540}};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        const char *const arguments[] = {"export", "scenarios/demo/cards.csv", "--model", known[i].preset, NULL};
        Run run;
        run_poolwright(".", arguments, NULL, &run);
        if (run.code != 0) {
            fail_msg("%s: exit code %d\n%s", known[i].preset, run.code, run.err);
        }
        assert_non_null(strstr(run.out, "\n\\ r0: size\n"));
        const char *row = strstr(run.out, "\n r0: ");
        const char *side = row != NULL ? strchr(row, '=') : NULL;
        assert_non_null(side);
        assert_int_equal(atoi(side + 1), known[i].size);
        run_forget(&run);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(sizes_follow_from_seats),
                                       cmocka_unit_test(the_program_knows_the_sizes)};
    return cmocka_run_group_tests(tests, NULL, NULL) == 0 ? 0 : 1;
}
