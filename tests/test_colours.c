/* test_colours.c - what cells of colours say, which class of cards that makes, and which decks can play them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "cards/cards.h"

static const char *const colour_names[] = {"brass", "glass", "linen", "tar", "salt"};
static const CardVocabulary plain = {.colour = colour_names, .colours = 5};

static ColourNeed need_of(const char *text)
{
    ColourNeed need = {.parts = 99};
    Diags diags;
    diags_init(&diags);
    if (!colours_parse(&plain, text, (SourcePos){0}, &need, &diags))
        fail_msg("'%s': %s", text, diags.item[0].text);
    assert_int_equal(diags.count, 0);
    return need;
}

static void assert_colours(const char *text, const char *canonical, CardClass class)
{
    Arena *arena = arena_new();
    ColourNeed need = need_of(text);
    assert_string_equal(colours_text(&plain, &need, arena), canonical);
    if (colours_class(&need, -1, 0) != class)
        fail_msg("'%s' is %s", text, class_name(colours_class(&need, -1, 0)));
    arena_free(arena);
}

static void colours_have_a_grammar(void **state)
{
    (void)state;
    assert_colours("", "colourless", CLASS_COLOURLESS);
    assert_colours("  ", "colourless", CLASS_COLOURLESS);
    assert_colours("Colourless", "colourless", CLASS_COLOURLESS);
    assert_colours("brass", "brass", CLASS_MONO);
    assert_colours(" BRÁSS ", "brass", CLASS_MONO);
    assert_colours("tar + brass", "brass+tar", CLASS_GOLD);
    assert_colours("tar/brass", "brass/tar", CLASS_HYBRID);
    assert_colours("brass+tar/glass", "brass+glass/tar", CLASS_GOLD); /* "/" binds tighter */
    assert_colours("tar/glass+brass", "brass+glass/tar", CLASS_GOLD);
    assert_colours("brass+brass", "brass", CLASS_MONO);
    assert_colours("brass/brass", "brass", CLASS_MONO);
    assert_colours("brass+brass/tar", "brass", CLASS_MONO); /* the second part is implied */
    assert_colours("brass/tar+brass", "brass", CLASS_MONO); /* or the first */
    assert_colours("brass/tar+tar/glass/brass", "brass/tar", CLASS_HYBRID);
    assert_colours("brass/tar+tar/glass", "brass/tar+glass/tar", CLASS_GOLD);
    assert_colours("brass/glass/tar", "brass/glass/tar", CLASS_HYBRID);
    ColourNeed gold = need_of("brass+tar/glass"), hybrid = need_of("brass/tar");
    assert_int_equal(gold.parts, 2);
    assert_int_equal(colours_union(&gold), 1 | 2 | 8);
    assert_int_equal(colours_class(&hybrid, 3, 4), CLASS_HYBRID);
    assert_int_equal(colours_class(&hybrid, 4, 4), CLASS_GOLD);
    assert_int_equal(colours_class(&hybrid, -1, 4), CLASS_HYBRID); /* unknown */
    assert_int_equal(colours_class(&hybrid, 9, 0), CLASS_HYBRID);  /* off */
    assert_true(colours_exact(&hybrid, 1 | 8));
    assert_false(colours_exact(&hybrid, 1));
    assert_true(colours_touching(&hybrid, 8 | 4));
    assert_false(colours_touching(&hybrid, 2 | 4));
}

enum { GAME_COLOURS = 4, GAME_DECKS = GAME_COLOURS * (GAME_COLOURS - 1) / 2 };

/* How many decks of two of the first four colours can play the card, by listing the decks. */
static int decks_of_two(const char *colours)
{
    ColourNeed need = need_of(colours);
    int playable = 0, decks = 0;
    for (int a = 0; a < GAME_COLOURS; a++)
        for (int b = a + 1; b < GAME_COLOURS; b++) {
            decks++;
            playable += colours_playable(&need, (ColourMask)(1U << a | 1U << b));
        }
    assert_int_equal(decks, GAME_DECKS);
    return playable;
}

/* By plain counting: a colour is in one deck with each other colour; the decks of either of two colours share one; a
 * deck without any of three colours needs two of the rest. */
static void playability_is_what_drafters_count(void **state)
{
    (void)state;
    const int with_one = GAME_COLOURS - 1, without_three = (GAME_COLOURS - 3) * (GAME_COLOURS - 4) / 2;
    assert_int_equal(decks_of_two("linen"), with_one);
    assert_int_equal(decks_of_two("linen+tar"), 1);
    assert_int_equal(decks_of_two("linen/tar"), 2 * with_one - 1);
    assert_int_equal(decks_of_two(""), GAME_DECKS);
    assert_int_equal(decks_of_two("brass+tar/glass"), 2);
    assert_int_equal(decks_of_two("brass+tar+glass"), 0);
    assert_int_equal(decks_of_two("brass/tar/glass"), GAME_DECKS - without_three);
}

/* A second reading of the grammar, straight from the text: can these colours pay for all parts between "+", each by one
 * of the words between "/"? */
static bool text_is_playable(const char *text, unsigned deck)
{
    bool all = true, any = false;
    for (const char *word = text;;) {
        size_t size = strcspn(word, "+/");
        for (unsigned i = 0; i < 5; i++)
            any = any || ((deck >> i & 1) != 0 && strlen(colour_names[i]) == size &&
                          strncmp(colour_names[i], word, size) == 0);
        if (word[size] != '/') {
            all = all && any;
            any = false;
        }
        if (word[size] == '\0')
            return all;
        word += size + 1;
    }
}

static void playability_by_enumeration(void **state)
{
    (void)state;
    unsigned dice = 1;
    for (int round = 0; round < 2000; round++) {
        char text[200] = "";
        for (unsigned words = 1 + (unsigned)round % 6; words > 0; words--) {
            dice = dice * 1103515245U + 12345U;
            strcat(text, colour_names[(dice >> 16) % 5]);
            if (words > 1)
                strcat(text, (dice >> 24) % 2 == 0 ? "+" : "/");
        }
        ColourNeed need = need_of(text);
        for (unsigned deck = 0; deck < 32; deck++)
            if (colours_playable(&need, (ColourMask)deck) != text_is_playable(text, deck))
                fail_msg("'%s' in a deck of colours %u", text, deck);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(colours_have_a_grammar),
        cmocka_unit_test(playability_is_what_drafters_count),
        cmocka_unit_test(playability_by_enumeration),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
