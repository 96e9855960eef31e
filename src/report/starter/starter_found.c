/* starter_found.c - see starter_found.h.
 *
 * Why some pool meets all limits: every candidate is in one class (mono of a colour, gold, hybrid, colourless, fixing).
 * First each class gets a number of places, never more than it has candidates, which together are the size. The bands
 * are around these numbers, so a pool of just these numbers meets them; within a colour the least of early plays and
 * removal together ask for less than its places, and the least of each pair for less than those of gold. Limits on
 * themes are soft: they can be missed. */
#include "report/starter/starter_found.h"

#include <string.h>

#include "base/number.h"
#include "intake/bag.h"

typedef struct {
    int mono[COLOURS_MAX];
    int gold, hybrid, colourless, fixing;
} Places;

static int least_of(int a, int b)
{
    return a < b ? a : b;
}

/* ---- places of each class ---- */

/* Room left over goes to the classes in turn, one place at a time. */
static void spread(const StarterFound *f, Places *p, int left)
{
    const Supply *s = &f->supply;
    while (left > 0) {
        const int before = left;
        for (size_t c = 0; c < f->plan.colours && left > 0; c++)
            if (p->mono[c] < s->mono[c]) {
                p->mono[c]++;
                left--;
            }
        int *const other[] = {&p->gold, &p->hybrid, &p->colourless, &p->fixing};
        const int most[] = {s->gold, s->hybrid, s->colourless, s->fixing};
        const bool mono_full = left == before;
        for (size_t k = 0; k < 4 && left > 0 && mono_full; k++)
            if (*other[k] < most[k]) {
                ++*other[k];
                left--;
            }
        if (left == before)
            return;
    }
}

static void place(const StarterFound *f, const StarterNumbers *n, Places *p)
{
    const Supply *s = &f->supply;
    *p = (Places){.gold = least_of(n->all_gold, s->gold),
                  .hybrid = least_of(n->all_hybrid, s->hybrid),
                  .colourless = least_of(n->colourless, s->colourless),
                  .fixing = least_of(n->all_fixing, s->fixing)};
    int left = f->plan.size - p->gold - p->hybrid - p->colourless - p->fixing;
    for (size_t c = 0; c < f->plan.colours && left > 0; c++) {
        p->mono[c] = least_of(least_of(n->mono, s->mono[c]), left);
        left -= p->mono[c];
    }
    spread(f, p, left);
}

/* ---- how the sheets are read ---- */

static void add_list(Text *out, const char *const *word, size_t words)
{
    text_add_char(out, '[');
    for (size_t i = 0; i < words; i++) {
        text_add(out, i > 0 ? ", " : "");
        starter_quoted(out, word[i]);
    }
    text_add_char(out, ']');
}

/* The headers of one field, in brackets where there are several. */
static void add_headers(const Intake *intake, const char *field, Text *out)
{
    const char **header = mem_new(intake->maps, sizeof *header);
    size_t headers = 0;
    for (size_t i = 0; i < intake->maps; i++)
        if (strcmp(intake->map_field[i], field) == 0)
            header[headers++] = intake->map_header[i];
    text_printf(out, "  %s: ", field);
    if (headers == 1)
        starter_quoted(out, header[0]);
    else
        add_list(out, header, headers);
    text_add_char(out, '\n');
    mem_free(header);
}

static void add_columns(const StarterFound *f, Text *out)
{
    const Intake *intake = f->intake;
    if (intake->maps == 0)
        return;
    text_add(out, "# Which columns of your sheets hold what.\ncolumns:\n");
    for (size_t i = 0; i < intake->maps; i++) {
        bool first = true;
        for (size_t k = 0; k < i; k++)
            first = first && strcmp(intake->map_field[k], intake->map_field[i]) != 0;
        if (first)
            add_headers(intake, intake->map_field[i], out);
    }
    text_add_char(out, '\n');
}

static void add_marks(Text *out, const char *key, const char *marks)
{
    if (marks == NULL)
        return;
    text_printf(out, "  %s: [", key);
    bool first = true;
    for (const char *m = marks; *m != '\0'; m++) {
        if (*m == '\r')
            continue;
        text_add(out, first ? "" : ", ");
        first = false;
        if (*m == '\n')
            text_add(out, "newline");
        else if (*m == ' ')
            text_add(out, "blank");
        else
            text_printf(out, "\"%c\"", *m);
    }
    text_add(out, "]\n");
}

static void add_colour_words(const StarterFound *f, Text *out)
{
    const Habits *h = &f->intake->habits;
    if (h->colour_words == 0)
        return;
    text_add(out, "  colour_words: {");
    for (size_t i = 0; i < h->colour_words; i++) {
        const ColourWord *word = &h->colour_word[i];
        text_add(out, i > 0 ? ", " : "");
        starter_quoted(out, word->word);
        text_add(out, ": ");
        starter_quoted(out, word->colour >= 0 ? f->plan.colour[word->colour] : "colourless");
    }
    text_add(out, "}\n");
}

static void add_own_words(const StarterFound *f, Text *out)
{
    const Habits *h = &f->intake->habits;
    if (h->own_words == 0)
        return;
    text_add(out, "  words: {");
    for (size_t i = 0; i < h->own_words; i++) {
        text_add(out, i > 0 ? ", " : "");
        starter_quoted(out, h->own_word[i].word);
        text_printf(out, ": %s", h->own_word[i].meant);
    }
    text_add(out, "}\n");
}

static void add_reading(const StarterFound *f, Text *out)
{
    static const char *const how[] = {"error", "first", "last", "fill"};
    const Habits *h = &f->intake->habits;
    Text keys = {0};
    add_marks(&keys, "tags_split", h->tags_split);
    add_marks(&keys, "colours_split", h->colours_split);
    if (h->slash_said)
        text_printf(&keys, "  slash: %s\n", h->slash_is_both ? "both" : "either");
    add_colour_words(f, &keys);
    add_own_words(f, &keys);
    if (h->decimal != DECIMAL_BY_SEPARATOR)
        text_printf(&keys, "  decimal: %s\n", h->decimal == DECIMAL_COMMA ? "comma" : "point");
    if (h->blanks > 0) {
        text_add(&keys, "  blanks: ");
        add_list(&keys, f->intake->blank, h->blanks);
        text_add_char(&keys, '\n');
    }
    if (h->listed_names)
        text_add(&keys, "  listed_names: yes\n");
    if (h->skips > 0) {
        text_add(&keys, "  skip_lines: ");
        add_list(&keys, f->intake->skip, h->skips);
        text_add_char(&keys, '\n');
    }
    if (h->duplicates != DUPLICATES_ERROR)
        text_printf(&keys, "  duplicates: %s\n", how[h->duplicates]);
    if (keys.length > 0)
        text_printf(out, "# How their cells are written (docs/files.md, \"Sheets as they are\").\nread:\n%s\n",
                    text_cstr(&keys));
    text_release(&keys);
}

static void add_grades(const StarterFound *f, Text *out)
{
    const Grades *grades = &f->intake->grades;
    char number[NUMBER_TEXT];
    if (grades->count == 0)
        return;
    text_add(out, "# What scores in words are worth: write your own numbers.\ngrades: {");
    for (size_t k = 0; k < grades->count; k++) {
        text_add(out, k > 0 ? ", " : "");
        starter_quoted(out, grades->grade[k].word);
        text_printf(out, ": %s", number_format(number, grades->grade[k].value, 3, 0));
    }
    text_add(out, "}\n\n");
}

static void add_rates(const StarterFound *f, Text *out)
{
    const Intake *intake = f->intake;
    char number[NUMBER_TEXT];
    size_t known = 0;
    for (size_t k = 0; k < intake->rates; k++)
        known += intake->rate[k].rate > 0;
    if (intake->rates == 0 || known < intake->rates)
        return;
    text_add(
        out,
        "# Other prices are turned into the first currency, once: 1 of theirs is so much of it.\ncurrency: {default: ");
    starter_quoted(out, intake->currency);
    text_add(out, ", rates: {");
    for (size_t k = 0; k < intake->rates; k++) {
        text_add(out, k > 0 ? ", " : "");
        starter_quoted(out, intake->rate[k].mark);
        text_printf(out, ": %s", number_format(number, intake->rate[k].rate, 6, 0));
    }
    text_add(out, "}}\n\n");
}

/* ---- the model ---- */

static void add_head(const StarterFound *f, Text *out)
{
    char number[NUMBER_TEXT];
    starter_size_remark(out);
    text_printf(out, "size: %d            # of %d candidates\n", f->plan.size, f->supply.candidates);
    if (f->cap >= 0)
        text_printf(out, "spending_cap: %s   # on cards that must be bought\n", number_format(number, f->cap, 2, 2));
    else
        text_add(out, "spending_cap: none   # on cards that must be bought: write your own sum, such as 300.00\n");
    if (f->unpriced >= 0)
        text_printf(out, "unpriced: %s      # what the %zu candidates without a price count as; skip leaves them out\n",
                    number_format(number, f->unpriced, 2, 2), f->unpriced_cards);
    text_add(out, "\ncolours: [");
    for (size_t c = 0; c < f->plan.colours; c++) {
        text_add(out, c > 0 ? ", " : "");
        starter_quoted(out, f->plan.colour[c]);
    }
    text_add(out, "]\n");
    if (f->intake->fixing != NULL) {
        text_add(out, f->intake->fixing_is_kind ? "fixing: {kind: " : "fixing: {");
        if (f->intake->fixing_is_kind)
            starter_quoted(out, f->intake->fixing);
        else
            starter_tagged(f->intake, f->intake->fixing, out);
        text_add(out, "}   # cards that help to pay\n");
    } else
        text_add(
            out,
            "#fixing: {kind: source}   # if a kind of cards only helps to pay: what it is called in your sheets\n");
    const int seats = f->plan.size / SEAT_CARDS > 0 ? f->plan.size / SEAT_CARDS : 1;
    text_printf(out, "seats: {seats: %d, packs: %d, pack_size: %d}\n", seats, SEAT_PACKS,
                starter_pack(f->plan.size, seats));
    if (f->unscored >= 0)
        text_printf(
            out,
            "\n# A card's fit is its power, plus the weights of its tags of declared themes. %zu candidates have no "
            "power: they count as the middle one.\n"
            "fit: {power: 1.0, unscored: %s}\n",
            f->unscored_cards, number_format(number, f->unscored, 3, 0));
    text_add_char(out, '\n');
}

#define SHOPS_SHOWN 8

/* The shops that sheets of prices name, with what a parcel costs left to the user. */
static void add_shops(const StarterFound *f, Text *out)
{
    Arena *arena = arena_new();
    Bag shops = {.arena = arena};
    for (size_t s = 0; s < f->intake->sheets; s++) {
        const IntakeSheet *sheet = &f->intake->sheet[s];
        for (size_t k = 0; k < sheet->sheet.header.cells && sheet->role == SHEET_PRICES; k++)
            for (size_t i = 0; i < sheet->sheet.rows && sheet->field[k] == HOLDS_SHOP; i++) {
                const char *shop = sheet->sheet.row[i].cell[k].text;
                if (shop[0] != '\0')
                    bag_add(&shops, shop, strlen(shop), (SourcePos){0});
            }
    }
    bag_settle(&shops);
    if (shops.words > 0)
        text_add(out,
                 "# The shops of your price sheets. For `poolwright order`: write what a parcel of each costs, and "
                 "take the # away.\n#shops:\n");
    for (size_t k = 0; k < shops.words && k < SHOPS_SHOWN; k++) {
        text_add(out, "#  - {name: ");
        starter_quoted(out, shops.word[k].spelled);
        text_add(out, k == 0 ? ", postage: 3.50, free_from: 50.00, least: 0}\n" : ", postage: 3.50}\n");
    }
    text_add(out, shops.words > 0 ? "\n" : "");
    bag_release(&shops);
    arena_free(arena);
}

/* Begins the next entry under a rule's `for`; *own: there are some. */
static void add_own(bool *own, const char *name, Text *out)
{
    text_add(out, *own ? ", " : ", for: {");
    *own = true;
    starter_quoted(out, name);
}

static void end_rule(bool own, Text *out)
{
    text_add(out, own ? "}}\n" : "}\n");
}

static int low_of(int places)
{
    return places * 9 / 10;
}

static int high_of(int places)
{
    return (places * 11 + 9) / 10;
}

#define NEAR_USUAL 3 /* places: colours that differ by no more share a band */

static void add_mono(const StarterFound *f, const Places *p, Text *out)
{
    if (f->plan.colours == 1 && p->mono[0] == 0)
        return;
    int usual = 0, least;
    for (size_t c = 0; c < f->plan.colours; c++)
        usual = p->mono[c] > usual ? p->mono[c] : usual;
    least = usual;
    for (size_t c = 0; c < f->plan.colours; c++)
        if (p->mono[c] >= usual - NEAR_USUAL && p->mono[c] < least)
            least = p->mono[c];
    text_printf(out, "  # There are");
    for (size_t c = 0; c < f->plan.colours; c++)
        text_printf(out, "%s %d %s", c > 0 ? "," : "", f->supply.mono[c], f->plan.colour[c]);
    text_printf(out, ".\n  - {name: mono cards, each: colour, where: {class: mono}, between: [%d, %d]", low_of(least),
                high_of(usual));
    bool own = false;
    for (size_t c = 0; c < f->plan.colours; c++) {
        if (p->mono[c] >= usual - NEAR_USUAL)
            continue;
        add_own(&own, f->plan.colour[c], out);
        text_printf(out, ": {between: [%d, %d]}", low_of(p->mono[c]), high_of(p->mono[c]));
    }
    end_rule(own, out);
}

static void add_class(const char *name, const char *class, int places, int supply, Text *out)
{
    if (supply == 0)
        return;
    text_printf(out, "  - {name: %s, where: {class: %s}, between: [%d, %d]}   # of %d\n", name, class, low_of(places),
                high_of(places), supply);
}

/* A band of its own for each pair that has enough, within what gold has in all. */
static void add_pairs(const StarterFound *f, const Places *p, const StarterNumbers *n, Text *out)
{
    const int least = n->pairs > 0 ? p->gold * 6 / 10 / n->pairs : 0;
    if (least < 1)
        return;
    text_printf(out, "  - {name: gold cards of a pair, each: pair, where: {class: gold}, at_least: %d", least);
    size_t pair = 0;
    bool own = false;
    for (size_t a = 0; a < f->plan.colours; a++)
        for (size_t b = a + 1; b < f->plan.colours; b++, pair++) {
            if (f->supply.pair[pair] >= least)
                continue;
            Text name = {0};
            text_printf(&name, "%s+%s", f->plan.colour[a], f->plan.colour[b]);
            add_own(&own, text_cstr(&name), out);
            text_release(&name);
            text_printf(out, ": {at_least: %d}", f->supply.pair[pair]);
        }
    end_rule(own, out);
}

/* At least so many mono cards of each colour pass; a colour that has fewer gets its own number. */
static void add_within(const StarterFound *f, const Places *p, const char *name, const char *where, const int *supply,
                       int wanted, int share, Text *out)
{
    int usual = 0, number[COLOURS_MAX];
    for (size_t c = 0; c < f->plan.colours; c++) {
        number[c] = least_of(least_of(wanted, supply[c]), low_of(p->mono[c]) / share);
        usual = number[c] > usual ? number[c] : usual;
    }
    if (usual == 0)
        return;
    text_printf(out, "  - {name: %s, each: colour, where: {class: mono, %s}, at_least: %d", name, where, usual);
    bool own = false;
    for (size_t c = 0; c < f->plan.colours; c++) {
        if (number[c] == usual)
            continue;
        add_own(&own, f->plan.colour[c], out);
        text_printf(out, ": {at_least: %d}", number[c]);
    }
    end_rule(own, out);
}

/* How many candidates have the theme's tag in that role. */
static int role_supply(const StarterFound *f, size_t theme, bool (*is_role)(Role))
{
    const CardSet *cards = f->intake->cards;
    const int tag = card_tag(cards, f->plan.theme[theme].name);
    int found = 0;
    for (size_t i = 0; i < cards->count && tag >= 0; i++) {
        const CardTag *here = card_has_tag(&cards->card[i], tag);
        found += here != NULL && is_role(here->role);
    }
    return found;
}

/* Of each theme so many cards of a role; of one that has fewer as many as it has. */
static void add_role(const StarterFound *f, const char *role, bool (*is_role)(Role), int wanted, Text *out)
{
    bool own = false;
    text_printf(out, "  - {name: %ss, each: theme, where: {role: %s}, at_least: %d, soft: 2", role, role, wanted);
    for (size_t t = 0; t < f->plan.themes; t++) {
        const int supply = role_supply(f, t, is_role);
        if (supply >= wanted)
            continue;
        add_own(&own, f->plan.theme[t].name, out);
        text_printf(out, ": {at_least: %d}", supply);
    }
    end_rule(own, out);
}

static void add_rules(const StarterFound *f, Text *out)
{
    StarterNumbers n;
    Places p;
    starter_numbers(&f->plan, &n);
    place(f, &n, &p);
    text_add(out, "rules:\n");
    add_mono(f, &p, out);
    add_class("gold cards", "gold", p.gold, f->supply.gold, out);
    add_pairs(f, &p, &n, out);
    add_class("hybrid cards", "hybrid", p.hybrid, f->supply.hybrid, out);
    add_class("colourless cards", "colourless", p.colourless, f->supply.colourless, out);
    add_class("fixing", "fixing", p.fixing, f->supply.fixing, out);
    if (f->supply.has_costs)
        add_within(f, &p, "early plays", "cost: {to: 2}", f->supply.early, n.early, 3, out);
    if (f->intake->removal != NULL) {
        Text where = {0};
        starter_tagged(f->intake, f->intake->removal, &where);
        add_within(f, &p, "removal", text_cstr(&where), f->supply.removal, n.removal, 5, out);
        text_release(&where);
    }
    const bool payoffs = f->supply.has_payoffs && n.payoffs > 0, enablers = f->supply.has_enablers && n.payoffs > 0;
    if (f->plan.themes > 0 && (payoffs || enablers))
        text_add(out, "  # soft: the pool may miss these, at 2 fit for each card.\n");
    if (f->plan.themes > 0 && payoffs)
        add_role(f, "payoff", role_is_payoff, n.payoffs, out);
    if (f->plan.themes > 0 && enablers)
        add_role(f, "enabler", role_is_enabler, n.enablers, out);
    if (f->supply.average_cost >= 0) {
        char number[NUMBER_TEXT];
        text_printf(out,
                    "  # The candidates cost %s on average. A limit on the pool's own, if you want one:\n"
                    "  #- {name: low curve, measure: cost, average_at_most: 3.40}\n",
                    number_format(number, (f->supply.average_cost + 5) / 10, 2, 2));
    }
}

void starter_tagged(const Intake *intake, const char *tag, Text *out)
{
    const char **mark;
    size_t marks;
    const char *column = intake_mere_marks(intake, tag, &mark, &marks);
    text_add(out, column == NULL ? "tag: " : "");
    starter_quoted(out, column == NULL ? tag : column);
    if (column == NULL)
        return;
    for (size_t k = 0; k < marks; k++) {
        text_add(out, k == 0 ? ": [" : ", ");
        starter_quoted(out, mark[k]);
    }
    text_add(out, "]");
}

void starter_found_head(const StarterFound *f, Text *out)
{
    add_head(f, out);
    add_columns(f, out);
    add_reading(f, out);
    add_grades(f, out);
    add_rates(f, out);
    add_shops(f, out);
    starter_themes(&f->plan, out);
}

void starter_found_model(const StarterFound *f, Text *out)
{
    text_add(out,
             "# The rules of the pool. Everything behind a # is a comment. Change what you like; `poolwright check` "
             "tells whether it fits together.\n"
             "# The numbers follow from the size and from what there is: some pool meets all of them.\n\n");
    starter_found_head(f, out);
    starter_patterns(out);
    add_rules(f, out);
}

/* ---- the scenario ---- */

void starter_found_scenario(const StarterFound *f, Text *out)
{
    static const char *const keys[] = {"cards", "prices", "owned", "tags"};
    text_add(out, "# A scenario: which rules, which cards, and what you wish for. Everything behind a # is a comment.\n"
                  "# Take the # away from a line such as #keep: and it counts.\n"
                  "#\n"
                  "#   poolwright check .      are the files sound, can the rules be met\n"
                  "#   poolwright best . -o pool.csv\n\n"
                  "model: model.yaml\n\n"
                  "# Your sheets, where they are and as they are: the model says how they are read.\n");
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++) {
        bool some = false;
        for (size_t s = 0; s < f->sheets; s++) {
            if (strcmp(f->sheet[s].key, keys[k]) != 0)
                continue;
            if (some)
                text_add(out, ", ");
            else
                text_printf(out, "%s: [", keys[k]);
            some = true;
            starter_quoted(out, f->sheet[s].path);
        }
        if (some)
            text_add(out, "]\n");
    }
    size_t pool = 0;
    while (pool < f->sheets && strcmp(f->sheet[pool].key, "pool") != 0)
        pool++;
    if (pool < f->sheets) {
        text_add(out, "pool: ");
        starter_quoted(out, f->sheet[pool].path);
        text_add_char(out, '\n');
    } else {
        text_add(out, "#pool: pool.csv    # the pool as it is, once there is one\n");
    }
    text_add(out, "\n#keep: [\"A card that must be in\"]\n#change: {spending_cap: 300.00}\n#cases:\n"
                  "#  - {name: a smaller purse, change: {spending_cap: 200.00}}\n");
}
