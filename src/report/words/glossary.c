/* glossary.c - the words on the screens, and how they are found and shown. */
#include "report/words/glossary.h"

#include <string.h>

#include "base/memory.h"

typedef struct {
    const char *heading;
    const GlossaryEntry *entry;
    size_t entries;
} GlossaryGroup;

static const GlossaryEntry the_cards[] = {
    {"candidate", NULL, "A card that may enter the pool: one line of a cards sheet."},
    {"pool", "list",
     "The chosen cards, so many as the size says, copies counted. The present pool is the one that is on the table "
     "now."},
    {"copy", "copies",
     "One physical card. A candidate may be in the pool more than once if its sheet says so, and then each copy "
     "counts."},
    {"class", NULL, "What a card is by its colours: colourless, mono (one colour), gold, hybrid, or fixing."},
    {"gold", "multicolour",
     "A card that needs two or more colours at once. Only drafters who play all of them can use it, so a pool holds "
     "few."},
    {"hybrid", NULL,
     "A card of two or more colours of which any one will do. It is written with `/` between the colours where a gold "
     "card has `+`."},
    {"fixing", NULL,
     "Cards that help to pay for the colours of others; the model says which kinds these are. Their own colours say "
     "what they pay for, and they fill none of the places of a colour."},
    {"kind", NULL, "A card's type as your sheet says it; a card may have several. None is built in."},
    {"playable", NULL,
     "A card is playable in a deck when each part of its cost can be paid with the deck's colours. Of a share: in how "
     "many of all possible decks that is so."},
    {"curve", NULL,
     "How a colour's cards are spread over early, middle and late costs. A cost between whole numbers counts as the "
     "lower "
     "one there: 2.5 with 2."},
    {"power", "score",
     "What you think of a card by itself, as a number of your own scale. A card without one counts as the model's "
     "`unscored`, and the screens say how many there were."},
    {"grade", NULL,
     "A word of your own for a score, such as must or filler; the model says what each is worth, and for which themes "
     "it may stand for a tag's weight."},
    {"owned", NULL, "Copies that need not be bought."},
    {"wish", NULL,
     "A card that you would like to see in the pool. It does not have to be in; the screens say whether it is, and "
     "what it would cost."},
};

static const GlossaryEntry themes[] = {
    {"theme", NULL, "A plan that drafters can follow: a tag, the colours it is played in, and its weight."},
    {"tag", NULL,
     "A label on a card, with a role and a weight where you give them. A tag that the model declares is a theme; any "
     "other can be used in limits."},
    {"enabler", NULL,
     "A card that makes a theme happen. A card can be both enabler and payoff, and then counts as either."},
    {"payoff", NULL, "A card that rewards a drafter for following a theme."},
    {"signpost", NULL,
     "A gold card that tells drafters what its two colours are about: one that belongs to a theme of this pair."},
    {"shared", NULL,
     "Cards of a theme that belong to other themes too. Some of them are glue; where nearly all are shared, two themes "
     "are one."},
    {"strength", NULL,
     "What a theme's cards add up to: tag weight times theme weight, over all cards that its deck can play. The theme "
     "with the least is marked as the weakest (of those that weigh something and are chosen)."},
    {"engine", NULL,
     "Enablers and payoffs that need each other: only as many pairs turn as the shorter side allows, and the model can "
     "reward them."},
    {"place", "places",
     "A spot within a colour that the model holds for a theme. Every mono card of the colour fills one place, so a "
     "card with two themes is counted once."},
    {"structure", NULL,
     "What a model asks or rewards beyond counts: places, engines, depth, evenness, combinations, choices of themes."},
    {"package", NULL,
     "The enablers and payoffs that make a theme playable, such as six and three; `check --themes` says what the "
     "cheapest one costs."},
};

static const GlossaryEntry what_must_hold[] = {
    {"limit", "rule, bound, side",
     "Anything that must hold in a pool: its size, the cap, a number of cards, a sum of money, places, what you keep "
     "and ban. A line under `rules` in the model makes one limit or several, such as one for each colour."},
    {"cap", "spending cap", "The most that may be spent on cards that must be bought."},
    {"keep", "kept",
     "A card that must be in. Only these are called kept; a card that merely remains from the present pool stays."},
    {"ban", "banned", "A card that must stay out."},
    {"exempt", "exception",
     "A card that a limit does not count, by your decision. Screens list these with the reason you gave."},
    {"tight", NULL, "A limit that is used up: not one card or cent is left. Loosening it need not help."},
    {"watch", NULL,
     "A rule that is only counted and shown against its band; nothing has to keep it, and no pool changes by it."},
    {"left", "slack", "How far a limit is from being tight."},
    {"binding", "costs fit",
     "A limit that costs fit: with it loosened a better pool exists. Not every tight limit is binding."},
    {"loosen", "loosening",
     "To let a limit allow more: one card more or fewer, some money, a point of an average. Screens say by how much at "
     "least it has to be before a better pool exists."},
    {"step", NULL, "A cap at which the best pool changes: between two steps more money buys nothing."},
    {"conflict", NULL,
     "Limits that cannot all hold together. The ones shown are a smallest such set when the screen says so: without "
     "any one of them, the others could hold."},
    {"repair", "mend",
     "The least loosening of your limits that makes a pool possible, or the fewest cards that must leave a pool before "
     "it keeps them all."},
};

static const GlossaryEntry the_answer[] = {
    {"fit", NULL,
     "What a pool is worth by your numbers: for each card its power times the weight of power, and its tag weights "
     "times the weights of their themes, added up; then what the structure adds."},
    {"best", "at most, ceiling",
     "Proven: no pool that keeps the limits has more fit. Where `at most` stands instead, that is the proven ceiling; "
     "`best` means that the two meet."},
    {"proven", "proof",
     "Shown to be true of every possible pool, not only of those that were tried, in whole numbers and without "
     "rounding. Where the search was stopped early the screens say so and claim less."},
    {"gap", NULL, "How far a pool may be from the best at most. `--gap 0` asks for the best itself."},
    {"among equals", "equals",
     "Of pools with the same fit the cheapest is shown; of these the one with the fewest changes against the present "
     "pool; of these the first by names."},
    {"in", "come in", "Cards that enter, as against the pool that something is compared with."},
    {"out", "leave", "Cards that leave it."},
    {"swap", NULL, "One card out, one card in."},
    {"firm", NULL, "How far a card's score could fall before it is out, or rise before it is in."},
};

static const GlossaryEntry what_if[] = {
    {"case", NULL, "A what-if with a name: the scenario with a few changes, such as another cap or a card banned."},
    {"scenario", NULL,
     "Your files together: a model, the sheets of candidates, what is owned, kept and wished for, and the cases."},
    {"model", NULL, "The limits of a pool and what its fit counts, without any cards."},
    {"preset", NULL, "A model that comes with the program, such as `four-360`."},
    {"frontier", NULL, "The most fit that each cap can buy."},
    {"knee", NULL, "The cap after which more money buys clearly less fit."},
    {"per card", NULL, "Fit divided by the number of cards: the way to compare pools of different sizes."},
};

#define GROUP(heading, entries)                                                                                        \
    {                                                                                                                  \
        heading, entries, sizeof(entries) / sizeof *(entries)                                                          \
    }

static const GlossaryEntry the_table[] = {
    {"seat", "seats, drafter", "One player of a draft, and the cards that this player sees and takes."},
    {"pack", "packs",
     "Cards of the pool, dealt at random, that a seat opens, takes one of and passes on. All packs go round until "
     "every card is taken."},
    {"opens", "opened", "The cards of all packs that a seat opens itself: with three packs of fifteen, 45."},
    {"sees", "seen",
     "The cards that pass a seat, each counted once: its own packs, and what the seats before it left of theirs. "
     "Chances of what a seat sees take picks to be at random."},
    {"playables", "playable cards", "Of the cards that a seat has taken, those that the colours of its deck can play."},
    {"worst seat", NULL,
     "The seat of a table that misses most of what its deck needs: cards, removal, enablers, whatever `deck:` asks "
     "for."},
};

static const GlossaryGroup groups[] = {
    GROUP("The cards", the_cards),   GROUP("Themes", themes),   GROUP("What must hold", what_must_hold),
    GROUP("The answer", the_answer), GROUP("What if", what_if), GROUP("At the table", the_table),
};

/* Is the word one of the list, "rule, bound, side"? */
static bool stands_in(const char *list, const char *folded)
{
    bool found = false;
    while (list != NULL && *list != '\0' && !found) {
        const size_t length = strcspn(list, ",");
        char *one = mem_strndup(list, length);
        found = text_folds_to(one, folded);
        mem_free(one);
        list += length + strspn(list + length, ", ");
    }
    return found;
}

static const GlossaryEntry *find_folded(const char *folded)
{
    for (int also = 0; also < 2; also++) /* words themselves before what leads to them */
        for (size_t g = 0; g < sizeof groups / sizeof *groups; g++)
            for (size_t e = 0; e < groups[g].entries; e++) {
                const GlossaryEntry *entry = &groups[g].entry[e];
                if (also ? stands_in(entry->also, folded) : text_folds_to(entry->word, folded))
                    return entry;
            }
    return NULL;
}

/* "limits" becomes "limit"; false: no plural. */
static bool cut_plural(char *folded)
{
    const size_t length = strlen(folded);
    if (length < 2 || folded[length - 1] != 's')
        return false;
    folded[length - 1] = '\0';
    return true;
}

const GlossaryEntry *glossary_find(const char *word)
{
    char *folded = text_fold(word);
    const GlossaryEntry *entry = find_folded(folded);
    if (entry == NULL && cut_plural(folded))
        entry = find_folded(folded);
    mem_free(folded);
    return entry;
}

/* The first word that begins so; NULL: none. */
static const char *begins_so(const char *folded)
{
    const size_t length = strlen(folded);
    for (size_t g = 0; g < sizeof groups / sizeof *groups && length >= 3; g++)
        for (size_t e = 0; e < groups[g].entries; e++)
            if (strncmp(groups[g].entry[e].word, folded, length) == 0)
                return groups[g].entry[e].word;
    return NULL;
}

const char *glossary_nearest(const char *word)
{
    const char *known[100];
    size_t count = 0;
    for (size_t g = 0; g < sizeof groups / sizeof *groups; g++)
        for (size_t e = 0; e < groups[g].entries && count < sizeof known / sizeof *known; e++)
            known[count++] = groups[g].entry[e].word;
    char *folded = text_fold(word);
    const char *near = begins_so(folded);
    if (near == NULL)
        near = text_nearest(word, known, count);
    if (near == NULL && cut_plural(folded))
        near = text_nearest(folded, known, count);
    mem_free(folded);
    return near;
}

/* Bytes of the first sentence, without its full stop. */
static int first_sentence(const char *meaning)
{
    const char *end = strstr(meaning, ". ");
    return (int)(end != NULL ? (size_t)(end - meaning) : strlen(meaning) - 1);
}

void glossary_text(const Style *style, Text *out)
{
    for (size_t g = 0; g < sizeof groups / sizeof *groups; g++) {
        if (g > 0)
            text_add_char(out, '\n');
        text_printf(out, style->colour ? "\033[1m%s\033[0m\n" : "%s\n", groups[g].heading);
        Table *table = table_new("ll", NULL);
        for (size_t e = 0; e < groups[g].entries; e++) {
            const GlossaryEntry *entry = &groups[g].entry[e];
            table_add(table, entry->word);
            table_addf(table, "%.*s", first_sentence(entry->meaning), entry->meaning);
        }
        table_print(table, out, style);
        table_free(table);
    }
    text_add(out, "\nMore on one of them: poolwright words WORD\n");
}

void glossary_entry_text(const GlossaryEntry *entry, const Style *style, Text *out)
{
    text_printf(out, style->colour ? "\033[1m%s\033[0m" : "%s", entry->word);
    if (entry->also != NULL)
        text_printf(out, " (also: %s)", entry->also);
    text_add_char(out, '\n');
    Table *table = table_new("l", NULL);
    table_add(table, entry->meaning);
    table_print(table, out, style);
    table_free(table);
}

static json_t *also_json(const char *list)
{
    json_t *array = json_array();
    while (list != NULL && *list != '\0') {
        const size_t length = strcspn(list, ",");
        json_array_append_new(array, json_stringn(list, length));
        list += length + strspn(list + length, ", ");
    }
    return array;
}

json_t *glossary_json(const GlossaryEntry *only)
{
    json_t *root = json_object(), *words = json_array();
    for (size_t g = 0; g < sizeof groups / sizeof *groups; g++)
        for (size_t e = 0; e < groups[g].entries; e++) {
            const GlossaryEntry *entry = &groups[g].entry[e];
            if (only != NULL && entry != only)
                continue;
            json_t *item = json_object();
            json_object_set_new(item, "word", json_string(entry->word));
            json_object_set_new(item, "group", json_string(groups[g].heading));
            json_object_set_new(item, "also", also_json(entry->also));
            json_object_set_new(item, "meaning", json_string(entry->meaning));
            json_array_append_new(words, item);
        }
    json_object_set_new(root, "words", words);
    return root;
}
