/* cards_read.c - see cards_read.h. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/cards_read.h"

static const char *const colour_names[] = {"brass", "glass", "linen", "tar", "salt"};
static const char *const theme_names[] = {"convoys", "long nights"};
const CardVocabulary cards_plain = {.colour = colour_names, .colours = 5, .theme = theme_names, .themes = 2};

CardsRead cards_read_with(const CardVocabulary *vocabulary, const char *first, const char *second)
{
    CardsRead reading = {.folder = folder_new()};
    char *path[2];
    assert_true(asprintf(&path[0], "%s/one.csv", reading.folder) > 0);
    assert_true(asprintf(&path[1], "%s/two.csv", reading.folder) > 0);
    folder_print(reading.folder, "one.csv", first);
    if (second != NULL)
        folder_print(reading.folder, "two.csv", second);
    SourcePos from[2] = {{0}};
    diags_init(&reading.diags);
    reading.set =
        card_set_read(NULL, (const char *const *)path, from, second == NULL ? 1 : 2, vocabulary, &reading.diags);
    assert_true((reading.set == NULL) == (reading.diags.errors > 0));
    diags_sort(&reading.diags);
    free(path[0]);
    free(path[1]);
    return reading;
}

void cards_done(CardsRead *reading)
{
    card_set_free(reading->set);
    diags_release(&reading->diags);
    folder_remove(reading->folder);
    free(reading->folder);
}

CardsRead cards_read_good(const char *text)
{
    CardsRead reading = cards_read_with(&cards_plain, text, NULL);
    if (reading.set == NULL)
        fail_msg("'%s': %s", text, reading.diags.item[0].text);
    return reading;
}

char *cards_said(const CardsRead *reading)
{
    char *text = diags_text(&reading->diags), *out = calloc(1, strlen(text) + 1);
    size_t skip = strlen(reading->folder) + 1;
    assert_non_null(out);
    for (const char *rest = text; *rest != '\0';) {
        if (strncmp(rest, reading->folder, skip - 1) == 0)
            rest += skip;
        else
            strncat(out, rest++, 1);
    }
    mem_free(text);
    return out;
}

void cards_assert_refused_with(const CardVocabulary *vocabulary, const char *text, const char *expected)
{
    CardsRead reading = cards_read_with(vocabulary, text, NULL);
    char *errors = cards_said(&reading);
    if (reading.set != NULL || strncmp(errors, expected, strlen(expected)) != 0)
        fail_msg("'%s' gave '%s', expected '%s'", text, errors, expected);
    free(errors);
    cards_done(&reading);
}

void cards_assert_refused(const char *text, const char *expected)
{
    cards_assert_refused_with(&cards_plain, text, expected);
}

const Card *card_named(const CardSet *set, const char *name)
{
    long at = card_find(set, name);
    if (at < 0)
        fail_msg("no card '%s'", name);
    return &set->card[at];
}

void card_assert_tag(const CardSet *set, const Card *card, const char *name, Role role, int64_t weight)
{
    const CardTag *tag = card_has_tag(card, card_tag(set, name));
    if (tag == NULL)
        fail_msg("%s has no tag '%s'", card->name, name);
    assert_int_equal(tag->role, role);
    assert_int_equal(tag->weight, weight);
}
