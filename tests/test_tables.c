/* test_tables.c - the tables of options and keys against the pages: what the program takes stands in docs/verbs.md and
 * docs/files.md, with its verbs, ranges and defaults, and nothing else does; and every entry is read by something. That
 * starts the program some hundred times with wrong options, as others do with sanitizers: not repeated under
 * sanitizers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "model/yaml/fields.h"
#include "support/desk.h"

#define CELLS 3
#define ENTRIES_MOST 600

#define VERBS_MOST 40
#define VERB_LENGTH 20

static char verbs[VERBS_MOST][VERB_LENGTH]; /* [verb_count] of `poolwright --help` */
static size_t verb_count;

/* ---- rows of the pages ---- */

typedef struct {
    char *text; /* the line; cells point into it */
    char *cell[CELLS];
} Row;

/* The rows of the table-th table with this head; returns how many. A bar that is part of a cell is written \|. */
static size_t read_rows(const char *page, const char *head, int table, Row *row, size_t most)
{
    char *text = folder_read("docs", page, NULL);
    assert_non_null(text);
    const char *at = text;
    for (int k = 0; at != NULL && k < table; k++) {
        at = strstr(at, head);
        at = at == NULL ? NULL : at + strlen(head);
    }
    if (at == NULL)
        fail_msg("docs/%s: no table '%s'", page, head);
    at = strchr(strchr(at, '\n') + 1, '\n') + 1; /* behind the line of dashes */
    size_t count = 0;
    for (; *at == '|'; at = strchr(at, '\n') + 1) {
        assert_true(count < most);
        row[count].text = strndup(at + 1, (size_t)(strchr(at, '\n') - at - 1));
        char *to = row[count].text;
        int cell = 0;
        row[count].cell[0] = to;
        for (const char *c = row[count].text; *c != '\0'; c++) {
            if (*c == '\\' && c[1] == '|')
                *to++ = *++c;
            else if (*c == '|') {
                *to++ = '\0';
                if (++cell < CELLS)
                    row[count].cell[cell] = to;
            } else
                *to++ = *c;
        }
        *to = '\0';
        for (cell++; cell < CELLS; cell++)
            row[count].cell[cell] = to;
        count++;
    }
    free(text);
    return count;
}

static void free_rows(Row *row, size_t count)
{
    for (size_t k = 0; k < count; k++)
        free(row[k].text);
}

/* The next `code` of the cell into word; NULL when there is none. */
static const char *next_code(const char *at, char *word, size_t size)
{
    const char *from = strchr(at, '`'), *to = from == NULL ? NULL : strchr(from + 1, '`');
    if (to == NULL)
        return NULL;
    snprintf(word, size, "%.*s", (int)(to - from - 1), from + 1);
    return to + 1;
}

/* ---- options ---- */

typedef struct {
    const char *verb;
    char option[64]; /* "--cap MONEY" */
    char text[400];  /* its help, or what the page says */
} Entry;

typedef struct {
    Entry entry[ENTRIES_MOST];
    size_t count;
} Entries;

static void add(Entries *all, const char *verb, const char *option, const char *text)
{
    assert_true(all->count < ENTRIES_MOST);
    Entry *entry = &all->entry[all->count++];
    entry->verb = verb;
    snprintf(entry->option, sizeof entry->option, "%s", option);
    snprintf(entry->text, sizeof entry->text, "%s", text);
}

static const Entry *find(const Entries *all, const Entry *wanted)
{
    for (size_t k = 0; k < all->count; k++)
        if (strcmp(all->entry[k].verb, wanted->verb) == 0 && strcmp(all->entry[k].option, wanted->option) == 0)
            return &all->entry[k];
    return NULL;
}

/* "  -o, --output FILE        where to write" */
static void add_help_line(Entries *all, const char *verb, char *line)
{
    char *gap = strstr(line + 2, "  ");
    assert_non_null(gap);
    *gap = '\0';
    const char *text = gap + strspn(gap + 1, " ") + 1, *option = line + 2;
    char *comma = strstr(line, ", ");
    if (comma != NULL) {
        char other[80];
        *comma = '\0';
        const char *argument = strchr(comma + 2, ' ');
        snprintf(other, sizeof other, "%s%s", option, argument != NULL ? argument : "");
        add(all, verb, other, text);
        option = comma + 2;
    }
    add(all, verb, option, text);
}

/* "  check    are the files sound, ..." */
static int read_verbs(void **state)
{
    (void)state;
    Run run;
    run_poolwright(".", WORDS("--help", NULL), NULL, &run);
    const char *at = strstr(run.out, "\nyour sheets:\n"), *end = strstr(run.out, "\n  poolwright VERB --help ");
    assert_non_null(at);
    assert_non_null(end);
    for (at++; at < end; at = strchr(at, '\n') + 1) {
        assert_true(verb_count < VERBS_MOST);
        if (strncmp(at, "  ", 2) != 0 || at[2] == ' ') /* a title, or what goes on from the line before */
            continue;
        snprintf(verbs[verb_count++], VERB_LENGTH, "%.*s", (int)strcspn(at + 2, " "), at + 2);
    }
    run_forget(&run);
    return verb_count > 20 ? 0 : -1;
}

/* An example is copied line by line: none is broken on a screen of 80 columns. */
static void expect_whole_commands(const char *examples)
{
    for (const char *at = examples; *at != '\0'; at += strcspn(at, "\n") + 1)
        if (strcspn(at, "\n") > 80)
            fail_msg("wider than 80 columns: %s", at);
}

static void read_help(Entries *all)
{
    for (size_t v = 0; v < verb_count; v++) {
        Run run;
        run_poolwright(".", (const char *const[]){verbs[v], "--help", NULL}, NULL, &run);
        assert_int_equal(run.code, 0);
        char *at = strstr(run.out, "\noptions:\n") + strlen("\noptions:\n"), *end = strstr(at, "\n\nexample:");
        expect_whole_commands(end + strlen("\n\nexample:\n"));
        *end = '\0';
        for (char *line = strtok(at, "\n"); line != NULL; line = strtok(NULL, "\n"))
            add_help_line(all, verbs[v], line);
        run_forget(&run);
    }
}

static bool is_word_of(const char *text, const char *word)
{
    const size_t length = strlen(word);
    for (const char *at = strstr(text, word); at != NULL; at = strstr(at + 1, word))
        if ((at == text || at[-1] == ' ') && (at[length] == ' ' || at[length] == '\0'))
            return true;
    return false;
}

/* The verbs of a cell: their names, `all` (those that read a scenario), `all but X and Y`, `those that search`. */
static bool goes_with(const char *cell, const char *verb)
{
    static const char *const searching[] = {"best", "why", "swap", "bench", "what-if", "audit", "revise", "feedback"};
    char *words = strdup(cell), *left = NULL;
    bool found = false;
    for (char *word = strtok_r(words, ",", &left); word != NULL; word = strtok_r(NULL, ",", &left)) {
        word += strspn(word, " ");
        if (strncmp(word, "all but ", 8) == 0 && is_word_of(word + 8, verb))
            continue;
        word[strcspn(word, " ")] = '\0';
        found = found || strcmp(word, verb) == 0 ||
                (strcmp(word, "all") == 0 && strcmp(verb, "init") != 0 && strcmp(verb, "import") != 0 &&
                 strcmp(verb, "words") != 0);
        for (size_t k = 0; strcmp(word, "those") == 0 && k < sizeof searching / sizeof *searching; k++)
            found = found || strcmp(searching[k], verb) == 0;
    }
    free(words);
    return found;
}

static void read_page(Entries *all)
{
    Row row[80];
    const size_t rows = read_rows("verbs.md", "| option | verbs | meaning |", 1, row, 80);
    char code[64];
    for (size_t k = 0; k < rows; k++)
        for (const char *at = row[k].cell[0]; (at = next_code(at, code, sizeof code)) != NULL;)
            for (size_t v = 0; v < verb_count; v++)
                if (goes_with(row[k].cell[1], verbs[v]))
                    add(all, verbs[v], code, row[k].cell[2]);
    free_rows(row, rows);
}

/* "... (1 to 20, default 6)": range and default stand on the page too. */
static int missing_numbers(const Entry *help, const Entry *page)
{
    const char *bracket = strrchr(help->text, '(');
    if (bracket == NULL || help->text[strlen(help->text) - 1] != ')')
        return 0;
    char *words = strdup(bracket + 1), *left = NULL;
    int missing = 0;
    for (char *word = strtok_r(words, ",)", &left); word != NULL; word = strtok_r(NULL, ",)", &left)) {
        word += strspn(word, " ");
        int low, high;
        const bool range = sscanf(word, "%d to %d", &low, &high) == 2;
        if (!range && strncmp(word, "default ", 8) != 0)
            continue;
        if (strstr(page->text, range ? word : word + 8) == NULL) {
            print_error("docs/verbs.md: %s of %s: '%s' is missing\n", help->option, help->verb, word);
            missing++;
        }
    }
    free(words);
    return missing;
}

static void options_stand_on_their_page(void **state)
{
    (void)state;
    Entries *help = calloc(1, sizeof *help), *page = calloc(1, sizeof *page);
    read_help(help);
    read_page(page);
    assert_true(help->count > 100);
    int wrong = 0;
    for (size_t k = 0; k < help->count; k++) {
        const Entry *entry = &help->entry[k], *said = find(page, entry);
        if (said == NULL) {
            print_error("docs/verbs.md does not have %s of %s\n", entry->option, entry->verb);
            wrong++;
        } else
            wrong += missing_numbers(entry, said);
    }
    for (size_t k = 0; k < page->count; k++)
        if (find(help, &page->entry[k]) == NULL) {
            print_error("docs/verbs.md has %s of %s, which is not known\n", page->entry[k].option, page->entry[k].verb);
            wrong++;
        }
    free(help);
    free(page);
    assert_int_equal(wrong, 0);
}

/* Each option with a value refuses an empty one, by name: none is forgotten on the way. */
static void every_value_is_read(void **state)
{
    (void)state;
    Entries *help = calloc(1, sizeof *help);
    read_help(help);
    for (size_t k = 0; k < help->count; k++) {
        char option[64], says[100];
        const char *blank = strchr(help->entry[k].option, ' ');
        if (blank == NULL || strncmp(help->entry[k].option, "--", 2) != 0)
            continue;
        snprintf(option, sizeof option, "%.*s=", (int)(blank - help->entry[k].option), help->entry[k].option);
        snprintf(says, sizeof says, "error: %.*s: found nothing, expected ", (int)strlen(option) - 1, option);
        Run run;
        run_poolwright(".", (const char *const[]){help->entry[k].verb, "none.yaml", "Card", option, NULL}, NULL, &run);
        if (run.code != 2 || strstr(run.err, says) == NULL)
            fail_msg("%s %s: exit code %d, %s", help->entry[k].verb, option, run.code, run.err);
        run_forget(&run);
    }
    free(help);
}

/* ---- keys ---- */

static const char *trim(char *text)
{
    text += strspn(text, " ");
    for (size_t length = strlen(text); length > 0 && text[length - 1] == ' '; length--)
        text[length - 1] = '\0';
    return text;
}

/* Rows of a page's table against the table of the language. Where the page has a column of defaults, it says what the
 * table says ("" is required, or stands with the other bounds). */
static void expect_keys(const FieldTable *table, const char *head, int number)
{
    Row row[80];
    const size_t rows = read_rows("files.md", head, number, row, 80);
    bool *seen = calloc(table->count, sizeof *seen);
    char code[200];
    int wrong = 0;
    for (size_t k = 0; k < rows; k++)
        for (const char *at = row[k].cell[0]; (at = next_code(at, code, sizeof code)) != NULL;) {
            code[strcspn(code, ":")] = '\0';
            const int index = field_index(table, code);
            if (index < 0) {
                print_error("docs/files.md has the key %s, which %s does not\n", code, table->place);
                wrong++;
                continue;
            }
            seen[index] = true;
            const char *fallback = table->field[index].fallback;
            const char *said = strstr(head, "default") != NULL && fallback != NULL ? trim(row[k].cell[2]) : NULL;
            if (said != NULL && strcmp(said, fallback) != 0) {
                print_error("docs/files.md: default of %s: '%s', of the table '%s'\n", code, said, fallback);
                wrong++;
            }
        }
    for (size_t i = 0; i < table->count; i++)
        if (!seen[i]) {
            print_error("docs/files.md does not have the key %s of %s\n", table->field[i].name, table->place);
            wrong++;
        }
    free(seen);
    free_rows(row, rows);
    assert_int_equal(wrong, 0);
}

static void keys_stand_on_their_page(void **state)
{
    (void)state;
    expect_keys(&model_fields, "| key | value | default |", 1);
    expect_keys(&rule_fields, "| key | value | default |", 2);
    expect_keys(&filter_fields, "| field | compares |", 1);
    expect_keys(&scenario_fields, "| key | value |", 3); /* behind those with defaults */
}

static bool has_word(const char *page, const char *word)
{
    const size_t length = strlen(word);
    for (const char *at = page; (at = strstr(at, word)) != NULL; at++)
        if (at > page && strchr(" `{,([", at[-1]) != NULL && strchr("`:,}", at[length]) != NULL)
            return true;
    return false;
}

static void keys_of_maps_are_on_the_page(void **state)
{
    (void)state;
    static const FieldTable *const table[] = {
        &deck_fields,    &accept_fields, &shop_fields,      &cap_counts_words, &seats_fields,  &read_fields,
        &slash_words,    &decimal_words, &duplicates_words, &fit_fields,       &theme_fields,  &engine_fields,
        &step_fields,    &places_fields, &together_fields,  &needs_fields,     &apart_fields,  &group_fields,
        &choose_fields,  &bound_fields,  &exempt_fields,    &band_fields,      &case_fields,   &edit_fields,
        &pattern_fields, &per_words,     &currency_fields,  &risk_fields,      &measure_words, &each_words,
        &scope_words,    &class_words,   &role_words,       &own_words};
    char *page = folder_read("docs", "files.md", NULL);
    assert_non_null(page);
    for (size_t t = 0; t < sizeof table / sizeof *table; t++)
        for (size_t i = 0; i < table[t]->count; i++) {
            assert_non_null(table[t]->field[i].name);
            if (!has_word(page, table[t]->field[i].name))
                fail_msg("docs/files.md does not have '%s' of %s", table[t]->field[i].name, table[t]->place);
        }
    free(page);
}

/* A map that is sound, and where it stands: in a model, or a whole scenario. */
typedef struct {
    const FieldTable *table;
    const char *file, *before, *after;
    const char *pair[4]; /* "name: r" */
} Sound;

#define POOL "size: 2\ncolours: [ebb]\n"

static const Sound sound[] = {
    {&model_fields, "model.yaml", "{", "}\n", {"size: 2", "colours: [ebb]"}},
    {&scenario_fields, "scenario.yaml", "{", "}\n", {"model: model.yaml", "cards: [cards.csv]"}},
    {&fit_fields, "model.yaml", POOL "fit: {", "}\n", {"power: 1"}},
    {&read_fields, "model.yaml", POOL "read: {", "}\n", {"slash: both"}},
    {&accept_fields, "model.yaml", POOL "accept: {", "}\n", {"condition: new"}},
    {&shop_fields, "model.yaml", POOL "shops: [{", "}]\n", {"name: Quay"}},
    {&deck_fields, "model.yaml", POOL "deck: {", "}\n", {"size: 1"}},
    {&seats_fields, "model.yaml", POOL "seats: {", "}\n", {"seats: 1", "packs: 1", "pack_size: 1"}},
    {&theme_fields, "model.yaml", POOL "themes: [{", "}]\n", {"name: nets"}},
    {&engine_fields, "model.yaml", POOL "themes: [{name: nets, engine: {", "}}]\n", {"bonus: 1"}},
    {&step_fields, "model.yaml", POOL "themes: [{name: nets, depth: [{", "}]}]\n", {"share: 50%"}},
    {&rule_fields, "model.yaml", POOL "rules: [{", "}]\n", {"name: r", "at_least: 0"}},
    {&bound_fields,
     "model.yaml",
     POOL "rules: [{name: r, each: colour, at_most: 2, for: {ebb: {",
     "}}}]\n",
     {"at_least: 0"}},
    {&pattern_fields, "model.yaml", POOL "patterns: [{", "}]\n", {"tag: nets", "text: tide"}},
    {&places_fields, "model.yaml", POOL "themes: [{name: nets}]\nplaces: {", "}\n", {"theme: 0", "open: 2"}},
    {&together_fields, "model.yaml", POOL "together: [{", "}]\n", {"name: t", "parts: [[Ash], [Bee]]", "bonus: 1"}},
    {&needs_fields, "model.yaml", POOL "needs: [{", "}]\n", {"name: n", "card: Ash", "one_of: [Bee]"}},
    {&apart_fields, "model.yaml", POOL "apart: [{", "}]\n", {"name: a", "cards: [Ash, Bee]"}},
    {&group_fields, "model.yaml", POOL "groups: [{", "}]\n", {"name: g", "cards: [Ash, Bee]"}},
    {&choose_fields, "model.yaml", POOL "themes: [{name: nets}]\nchoose: {", "}\n", {"from: [nets]", "exactly: 1"}},
    {&exempt_fields,
     "model.yaml",
     POOL "rules: [{name: r, at_least: 0}]\nexempt: [{",
     "}]\n",
     {"card: Ash", "from: [r]"}},
    {&currency_fields, "model.yaml", POOL "currency: {", "}\n", {"default: EUR"}},
    {&risk_fields, "model.yaml", POOL "price_risk: {", "}\n", {"protect: 1"}},
    {&edit_fields,
     "scenario.yaml",
     "model: model.yaml\ncards: [cards.csv]\ncases: [{name: c, cards: {Ash: {",
     "}}}]\n",
     {"wish: yes"}},
};

/* Checks a pool whose file has this map, with the value for the key; NULL: as it is. */
static void check_with(const Sound *map, const char *key, const char *value, Run *run)
{
    char *folder = folder_new(), text[600];
    size_t at = (size_t)snprintf(text, sizeof text, "%s", map->before);
    for (size_t k = 0; k < 4 && map->pair[k] != NULL; k++)
        if (key == NULL || strncmp(map->pair[k], key, strlen(key)) != 0 || map->pair[k][strlen(key)] != ':')
            at += (size_t)snprintf(text + at, sizeof text - at, "%s, ", map->pair[k]);
    if (key != NULL)
        at += (size_t)snprintf(text + at, sizeof text - at, "%s: %s", key, value);
    snprintf(text + at, sizeof text - at, "%s", map->after);
    folder_print(folder, "model.yaml", POOL);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    folder_print(folder, "cards.csv", "name,price,kind,tags\nAsh,1,rig,nets\nBee,1,rig,nets\n");
    folder_print(folder, map->file, text);
    run_poolwright(folder, (const char *const[]){"check", "scenario.yaml", NULL}, NULL, run);
    folder_remove(folder);
    free(folder);
}

/* What stands behind a key is looked at: a map in a list in a list is no value of any. */
static void every_key_is_read(void **state)
{
    (void)state;
    for (size_t m = 0; m < sizeof sound / sizeof *sound; m++) {
        Run run;
        check_with(&sound[m], NULL, NULL, &run);
        if (run.code == 2)
            fail_msg("%s: the map without a fault is refused: %s", sound[m].table->place, run.err);
        run_forget(&run);
        for (size_t i = 0; i < sound[m].table->count; i++) {
            check_with(&sound[m], sound[m].table->field[i].name, "[[{zz: [1]}]]", &run);
            if (run.code != 2 || strstr(run.err, sound[m].file) == NULL)
                fail_msg("%s: a wrong value of %s is taken: exit code %d\n%s%s", sound[m].table->place,
                         sound[m].table->field[i].name, run.code, run.err, run.out);
            run_forget(&run);
        }
    }
}

static int scale_of(FieldUnit unit)
{
    return unit == UNIT_WHOLE ? 1 : unit == UNIT_CENTS ? 100 : 1000;
}

/* The key with this number, in the unit of its range: is it taken? What else may be wrong with it is passed over. */
static bool takes(const Sound *map, size_t key, int64_t number)
{
    const FieldRange *range = &map->table->range[key];
    const FieldInfo *field = &map->table->field[key];
    char value[80], expected[200];
    Run run;
    snprintf(value, sizeof value, "%.3f", (double)number / scale_of(range->unit));
    value[strlen(value) - (range->unit == UNIT_WHOLE ? 4 : range->unit == UNIT_CENTS ? 1 : 0)] = '\0';
    snprintf(expected, sizeof expected, "found '%s%s'", value, range->unit == UNIT_PERCENT ? "%" : "");
    strcat(value, range->unit == UNIT_PERCENT ? "%" : "");
    check_with(map, field->name, value, &run);
    const bool taken = strstr(run.err, expected) == NULL;
    if (!taken && (run.code != 2 || strstr(run.err, map->file) == NULL))
        fail_msg("%s, %s: %s: exit code %d\n%s", map->table->place, field->name, value, run.code, run.err);
    run_forget(&run);
    return taken;
}

/* What is read is what the table says, to the last unit. */
static void ranges_are_kept(void **state)
{
    (void)state;
    int tried = 0;
    for (size_t m = 0; m < sizeof sound / sizeof *sound; m++)
        for (size_t i = 0; sound[m].table->range != NULL && i < sound[m].table->count; i++) {
            const FieldRange *range = &sound[m].table->range[i];
            const char *place = sound[m].table->place, *name = sound[m].table->field[i].name;
            if (range->unit == UNIT_NONE)
                continue;
            if (range->least != INT64_MIN &&
                (takes(&sound[m], i, range->least - 1) || !takes(&sound[m], i, range->least)))
                fail_msg("%s, %s: the least is not what the table says", place, name);
            if (range->most != INT64_MAX && (takes(&sound[m], i, range->most + 1) || !takes(&sound[m], i, range->most)))
                fail_msg("%s, %s: the most is not what the table says", place, name);
            tried++;
        }
    assert_true(tried > 30);
}

/* Words such as "1 to 9", "0 or more", "at most 1000", "more than 0" against the range. */
static void assert_words_say(const FieldTable *table, size_t key, const char *words)
{
    const FieldRange *range = &table->range[key];
    const int scale = scale_of(range->unit);
    for (const char *at = words; *at != '\0'; at++) {
        long low = 0, high = 0;
        int used = 0;
        if (at > words && strchr("0123456789.", at[-1]) != NULL)
            continue;
        if ((sscanf(at, "%ld to %ld%n", &low, &high, &used) == 2 ||
             sscanf(at, "%ld%% to %ld%n", &low, &high, &used) == 2) &&
            (range->least != low * scale || range->most != high * scale))
            fail_msg("%s, %s: '%s' is not the table's range", table->place, table->field[key].name, words);
        used = 0;
        if (sscanf(at, "%ld or more%n", &low, &used) == 1 && used > 0 && range->least != low * scale)
            fail_msg("%s, %s: '%s' is not the table's least", table->place, table->field[key].name, words);
        if (sscanf(at, "at most %ld%n", &high, &used) == 1 && range->most != high * scale)
            fail_msg("%s, %s: '%s' is not the table's most", table->place, table->field[key].name, words);
        if ((strncmp(at, "more than 0", 11) == 0 || strncmp(at, "above 0", 7) == 0) && range->least != 1)
            fail_msg("%s, %s: '%s' is not the table's least", table->place, table->field[key].name, words);
    }
}

/* Ranges in words, for errors and on the page, are the table's; a narrow one is said. */
static void ranges_are_said(void **state)
{
    (void)state;
    Row row[80];
    for (int number = 1; number <= 2; number++) {
        const FieldTable *table = number == 1 ? &model_fields : &rule_fields;
        const size_t rows = read_rows("files.md", "| key | value | default |", number, row, 80);
        for (size_t k = 0; k < rows; k++) {
            char code[200];
            const int key = next_code(row[k].cell[0], code, sizeof code) != NULL ? field_index(table, code) : -1;
            if (key >= 0 && table->range[key].unit != UNIT_NONE)
                assert_words_say(table, (size_t)key, row[k].cell[1]);
        }
        free_rows(row, rows);
    }
    for (size_t m = 0; m < sizeof sound / sizeof *sound; m++)
        for (size_t i = 0; sound[m].table->range != NULL && i < sound[m].table->count; i++) {
            const FieldRange *range = &sound[m].table->range[i];
            const char *words = sound[m].table->field[i].value;
            if (range->unit == UNIT_NONE)
                continue;
            assert_words_say(sound[m].table, i, words);
            if (range->unit == UNIT_WHOLE && range->most < COUNT_LIMIT && strstr(words, " to ") == NULL)
                fail_msg("%s, %s: '%s' does not say the range", sound[m].table->place, sound[m].table->field[i].name,
                         words);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(options_stand_on_their_page),
        cmocka_unit_test(every_value_is_read),
        cmocka_unit_test(keys_stand_on_their_page),
        cmocka_unit_test(keys_of_maps_are_on_the_page),
        cmocka_unit_test(every_key_is_read),
        cmocka_unit_test(ranges_are_kept),
        cmocka_unit_test(ranges_are_said),
    };
    return cmocka_run_group_tests(tests, read_verbs, NULL);
}
