/* seats_report.c - see seats_report.h. */
#include "report/seats/seats_report.h"

#include <string.h>

#include "report/json/json.h"
#include "report/layout/format.h"

static const char *const by_word[DRAWS] = {
    [DRAW_PACK] = "pack", [DRAW_OPENS] = "opens", [DRAW_SEES] = "sees", [DRAW_DEALT] = "dealt"};

/* ---- text ---- */

/* Where a role is on no card at all, it was not given; nothing is short of it. */
static bool add_untagged(const Seats *s, Text *out)
{
    int enablers = 0, payoffs = 0;
    for (size_t t = 0; t < s->themes; t++) {
        enablers += s->theme[t].enablers.by[DRAW_SEES].copies;
        payoffs += s->theme[t].payoffs.by[DRAW_SEES].copies;
    }
    const bool no_enabler = enablers == 0 && s->package.enablers > 0,
               no_payoff = payoffs == 0 && s->package.payoffs > 0;
    if (no_enabler && no_payoff)
        text_printf(out, "No card of a theme here is tagged as enabler or payoff: tags say it (`%s enabler`).\n",
                    s->theme[0].name);
    else if (no_enabler || no_payoff)
        text_printf(
            out,
            "No card of a theme here is tagged as %s: tags say it (`%s %s`), and --package %d+%d counts without "
            "it.\n",
            no_enabler ? "enabler" : "payoff", s->theme[0].name, no_enabler ? "enabler" : "payoff",
            no_enabler ? 0 : s->package.enablers, no_payoff ? 0 : s->package.payoffs);
    return no_enabler || no_payoff;
}

bool seats_add_shortest(const Seats *s, const char *what, Text *out)
{
    const ThemeSeen *t = &s->theme[0];
    const SeenCards *role = t->short_of_payoffs ? &t->payoffs : &t->enablers;
    const double one = t->short_of_payoffs ? t->has_payoffs[0] : t->has_enablers[0];
    const int wanted = t->short_of_payoffs ? s->package.payoffs : s->package.enablers;
    if (add_untagged(s, out))
        return false;
    if (theme_may_be_short(t))
        text_printf(out,
                    "Shortest: %s, of %s: the %s has %d, and %s of them pass a seat on average. Enough for one drafter "
                    "(%d): %s; for two (%d): %s.\n",
                    t->name, t->short_of_payoffs ? "payoffs" : "enablers", what, role->by[DRAW_SEES].copies,
                    format_mean(s->arena, role->by[DRAW_SEES].mean), wanted, format_chance(s->arena, one), 2 * wanted,
                    format_chance(s->arena, t->least));
    for (size_t k = 0; k < s->themes; k++)
        if (!s->theme[k].tagged)
            text_printf(out, "No candidate is tagged as enabler or payoff of %s: nothing is short of it.\n",
                        s->theme[k].name);
        else if (s->theme[k].left_out)
            text_printf(out, "%s is not chosen in this pool: nothing is short of it.\n", s->theme[k].name);
    return theme_may_be_short(t);
}

static void add_role(const Seats *s, const SeenCards *role, const double has[2], Table *table)
{
    table_addf(table, "%d", role->by[DRAW_SEES].copies);
    for (int k = 0; k < 2; k++)
        table_add(table, format_chance(s->arena, has[k]));
}

enum { COLUMN_PACK = 2, COLUMN_OPENS = 3, COLUMN_NINE = 5 };

/* Of the columns that there is room for; they are left out from the right. */
static void add_legend(const Seats *s, const Table *table, const Style *style, Text *out)
{
    const bool pack = table_shows(table, COLUMN_PACK, style), opens = table_shows(table, COLUMN_OPENS, style);
    text_printf(out, "%s%ssees: cards on average %s%sin all that passes a seat; ", pack ? "a pack, " : "",
                opens ? "opens, " : "", pack ? "in one pack, " : "", opens ? "in all packs of a seat, " : "");
    if (table_shows(table, COLUMN_NINE, style))
        text_add(out, "9 of 10: what nine seats in ten see at least; ");
    text_printf(out,
                "one, two: the chance that enough of them passes a seat for one drafter (%d enablers, %d payoffs), for "
                "two.\n",
                s->package.enablers, s->package.payoffs);
}

static void add_themes(const Seats *s, const Style *style, Text *out)
{
    style_heading(out, style, "Themes, the one that is short first");
    static const char *const header[] = {"theme", "cards", "a pack", "opens",   "sees", "9 of 10",
                                         "enab",  "one",   "two",    "payoffs", "one",  "two"};
    Table *table = table_new("lrRRrRrrrrrr", header);
    for (size_t t = 0; t < s->themes; t++) {
        const ThemeSeen *theme = &s->theme[t];
        table_add(table, theme->name);
        table_addf(table, "%d", theme->cards.by[DRAW_SEES].copies);
        table_add(table, format_mean(s->arena, theme->cards.by[DRAW_PACK].mean));
        table_add(table, format_mean(s->arena, theme->cards.by[DRAW_OPENS].mean));
        table_add(table, format_mean(s->arena, theme->cards.by[DRAW_SEES].mean));
        table_addf(table, "%d", theme->cards.by[DRAW_SEES].sure);
        add_role(s, &theme->enablers, theme->has_enablers, table);
        add_role(s, &theme->payoffs, theme->has_payoffs, table);
    }
    table_print(table, out, style);
    add_legend(s, table, style, out);
    table_free(table);
}

static void add_together(const Seats *s, const Style *style, Text *out)
{
    if (s->togethers == 0)
        return;
    static const char *const header[] = {"all cards of", "are dealt", "one seat sees", "one seat opens"};
    style_heading(out, style, "Cards that belong together");
    Table *table = table_new("lrrr", header);
    for (size_t k = 0; k < s->togethers; k++) {
        table_add(table, s->together[k].name);
        const double *by = s->together[k].by;
        const bool lacks = s->together[k].lacks;
        table_add(table, lacks ? "not in the pool" : format_chance(s->arena, by[DRAW_DEALT]));
        table_add(table, lacks ? "" : format_chance(s->arena, by[DRAW_SEES]));
        table_add(table, lacks ? "" : format_chance(s->arena, by[DRAW_OPENS]));
    }
    table_print(table, out, style);
    table_free(table);
}

static void add_rules(const Seats *s, const Style *style, Text *out)
{
    static const char *const header[] = {"rule", "of",      "cards",   "a pack", "opens",
                                         "sees", "9 of 10", "opens 1", "opens 3"};
    style_heading(out, style, "Rules that ask for cards");
    Table *table = table_new("llrRrrRrr", header);
    for (size_t r = 0; r < s->rules; r++) {
        const SeenCards *rule = &s->rule[r];
        table_add(table, rule->name);
        table_add(table, rule->of);
        table_addf(table, "%d", rule->by[DRAW_SEES].copies);
        table_add(table, format_mean(s->arena, rule->by[DRAW_PACK].mean));
        table_add(table, format_mean(s->arena, rule->by[DRAW_OPENS].mean));
        table_add(table, format_mean(s->arena, rule->by[DRAW_SEES].mean));
        table_addf(table, "%d", rule->by[DRAW_SEES].sure);
        table_add(table, format_chance(s->arena, rule->by[DRAW_OPENS].at_least[1]));
        table_add(table, format_chance(s->arena, rule->by[DRAW_OPENS].at_least[3]));
    }
    table_print(table, out, style);
    table_free(table);
}

static void add_chances(const Seats *s, DrawBy by, const char *heading, const Style *style, Text *out)
{
    static const char *const header[] = {"theme", "role", "cards", "1", "2", "3", "4", "5", "6", "8", "10"};
    static const int of[] = {1, 2, 3, 4, 5, 6, 8, 10};
    style_heading(out, style, heading);
    Table *table = table_new("llrrrrrrrRR", header);
    for (size_t t = 0; t < s->themes; t++)
        for (int role = 0; role < 3; role++) {
            static const char *const word[] = {"any", "enabler", "payoff"};
            const ThemeSeen *theme = &s->theme[t];
            const SeenCards *cards = role == 0 ? &theme->cards : role == 1 ? &theme->enablers : &theme->payoffs;
            table_add(table, role == 0 ? theme->name : "");
            table_add(table, word[role]);
            table_addf(table, "%d", cards->by[by].copies);
            for (size_t k = 0; k < sizeof of / sizeof *of; k++)
                table_add(table, format_chance(s->arena, cards->by[by].at_least[of[k]]));
        }
    table_print(table, out, style);
    table_free(table);
}

static const ThemeSeen *theme_of(const Seats *s, const char *name)
{
    for (size_t t = 0; t < s->themes; t++)
        if (strcmp(s->theme[t].name, name) == 0)
            return &s->theme[t];
    return NULL;
}

void seats_add_beside(const Seats *first, const char *heading, const SeatsBeside *beside, const Style *style, Text *out)
{
    const Seats *order = first != NULL ? first : &beside->table[0];
    const char *header[2 + TABLES_MOST] = {"theme"};
    char align[3 + TABLES_MOST] = "l";
    size_t columns = 1;
    if ((first == NULL && beside->tables == 0) || order->themes == 0)
        return;
    Arena *arena = order->arena;
    if (first != NULL)
        header[columns++] = heading;
    for (size_t k = 0; k < beside->tables; k++)
        header[columns++] = arena_printf(arena, "%d seats", beside->table[k].drafting.seats);
    memset(align + 1, 'r', columns - 1);
    const Package *package = &order->package;
    style_heading(out, style,
                  arena_printf(arena, "Enough of a theme for one drafter (%d+%d), by the number of seats",
                               package->enablers, package->payoffs));
    Table *table = table_new(align, header);
    for (size_t t = 0; t < order->themes; t++) {
        table_add(table, order->theme[t].name);
        for (size_t k = 0; k < beside->tables + (first != NULL); k++) {
            const Seats *s = first == NULL ? &beside->table[k] : k == 0 ? first : &beside->table[k - 1];
            const ThemeSeen *theme = theme_of(s, order->theme[t].name);
            table_add(table, format_chance(arena, theme->has_package));
        }
    }
    table_print(table, out, style);
    table_free(table);
}

/* What this pool can be asked, too. */
static void add_more(const Drafting *d, Text *out)
{
    text_add(out, "\nMore: --full (rules, every chance), --drafts 1000 (simulated), ");
    if (d->seats >= 4)
        text_printf(out, "--seats %d --part (for fewer players), ", d->seats / 2);
    text_printf(out, "--deal %d (packs).\n", d->seats * d->packs);
}

void seats_text(const Seats *s, const PoolFile *pool, const SeatsBeside *beside, bool full, const Style *style,
                Text *out)
{
    const Drafting *d = &s->drafting;
    text_printf(out, "%d %s %s (%s), %d %s of %d each: a seat opens %d, and %d pass it.\n", d->seats,
                d->seats == 1 ? "seat drafts" : "seats draft", pool->path, format_cards(s->arena, s->pool), d->packs,
                d->packs == 1 ? "pack" : "packs", d->pack_size, s->drawn[DRAW_OPENS], s->drawn[DRAW_SEES]);
    if (s->drawn[DRAW_DEALT] < s->pool)
        text_printf(out, "%d of the cards are dealt: a card is there with a chance of %s.\n", s->drawn[DRAW_DEALT],
                    format_chance(s->arena, (double)s->drawn[DRAW_DEALT] / s->pool));
    if (pool->unknowns > 0)
        text_printf(out, "%zu of the list %s no candidate and %s as a card of nothing.\n", pool->unknowns,
                    pool->unknowns == 1 ? "is" : "are", pool->unknowns == 1 ? "counts" : "count each");
    if (s->themes > 0) {
        seats_add_shortest(s, "pool", out);
        add_themes(s, style, out);
    }
    add_together(s, style, out);
    if (full) {
        seats_add_beside(NULL, NULL, beside, style, out);
        add_rules(s, style, out);
        add_chances(s, DRAW_PACK, "At least so many in the first pack", style, out);
        add_chances(s, DRAW_OPENS, "At least so many in all packs that a seat opens", style, out);
        add_chances(s, DRAW_SEES, "At least so many in all that passes a seat", style, out);
    }
    text_add(out,
             "\nChances are exact. What passes a seat is counted as if all picks were at random; who drafts a theme "
             "at a table where others want it too gets less.\n");
    if (!full)
        add_more(d, out);
}

/* ---- JSON ---- */

static json_t *seen_json(const SeenCards *cards)
{
    json_t *item = json_object();
    json_object_set_new(item, "copies", json_integer(cards->by[0].copies));
    for (int by = 0; by < DRAW_DEALT; by++) {
        const Seen *seen = &cards->by[by];
        json_t *one = json_object(), *chances = json_array();
        for (int k = 1; k <= SEEN_MOST; k++)
            json_array_append_new(chances, json_real(seen->at_least[k]));
        json_object_set_new(one, "mean", json_real(seen->mean));
        json_object_set_new(one, "nine_in_ten", json_integer(seen->sure));
        json_object_set_new(one, "at_least", chances);
        json_object_set_new(item, by_word[by], one);
    }
    return item;
}

static json_t *themes_json(const Seats *s)
{
    json_t *list = json_array();
    for (size_t t = 0; t < s->themes; t++) {
        const ThemeSeen *theme = &s->theme[t];
        json_t *item = json_object();
        json_object_set_new(item, "theme", json_string(theme->name));
        json_object_set_new(item, "short_of",
                            theme_may_be_short(theme) ? json_string(theme->short_of_payoffs ? "payoffs" : "enablers")
                                                      : json_null());
        json_object_set_new(item, "enough_enablers",
                            json_pack("[f, f]", theme->has_enablers[0], theme->has_enablers[1]));
        json_object_set_new(item, "enough_payoffs", json_pack("[f, f]", theme->has_payoffs[0], theme->has_payoffs[1]));
        json_object_set_new(item, "cards", seen_json(&theme->cards));
        json_object_set_new(item, "enablers", seen_json(&theme->enablers));
        json_object_set_new(item, "payoffs", seen_json(&theme->payoffs));
        json_array_append_new(list, item);
    }
    return list;
}

static json_t *together_json(const Seats *s)
{
    json_t *list = json_array();
    for (size_t k = 0; k < s->togethers; k++) {
        const TogetherSeen *t = &s->together[k];
        json_t *item = json_object(), *cards = json_array();
        for (size_t c = 0; c < t->cards; c++)
            json_array_append_new(cards, json_string(t->card[c]));
        json_object_set_new(item, "name", json_string(t->name));
        json_object_set_new(item, "cards", cards);
        json_object_set_new(item, "in", json_boolean(!t->lacks));
        for (int by = 0; by < DRAWS; by++)
            json_object_set_new(item, by_word[by], json_real(t->by[by]));
        json_array_append_new(list, item);
    }
    return list;
}

/* [{"seats", "sees", "themes": {"eels": 0.93}}] */
static json_t *beside_json(const SeatsBeside *beside)
{
    json_t *list = json_array();
    for (size_t k = 0; k < beside->tables; k++) {
        const Seats *s = &beside->table[k];
        json_t *item = json_object(), *themes = json_object();
        for (size_t t = 0; t < s->themes; t++)
            json_object_set_new(themes, s->theme[t].name, json_real(s->theme[t].has_package));
        json_object_set_new(item, "seats", json_integer(s->drafting.seats));
        json_object_set_new(item, "sees", json_integer(s->drawn[DRAW_SEES]));
        json_object_set_new(item, "themes", themes);
        json_array_append_new(list, item);
    }
    return list;
}

/* What the screen says of it, line by line, and its name. */
static void shortest_json(const Seats *s, const char *what, json_t *root)
{
    Text text = {0};
    json_t *lines = json_array();
    const bool is_short = seats_add_shortest(s, what, &text);
    for (const char *at = text_cstr(&text); *at != '\0';) {
        const size_t length = strcspn(at, "\n");
        json_array_append_new(lines, json_stringn(at, length));
        at += length + (at[length] != '\0');
    }
    text_release(&text);
    json_object_set_new(root, "short_first", is_short ? json_string(s->theme[0].name) : json_null());
    json_object_set_new(root, "text", lines);
}

json_t *seats_object(const Seats *s, const char *what, size_t unknowns, const SeatsBeside *beside)
{
    json_t *root = json_object(), *drawn = json_object(), *rules = json_array();
    json_object_set_new(root, "pool", json_integer(s->pool));
    json_object_set_new(root, "unknown", json_count(unknowns));
    json_object_set_new(root, "seats", json_integer(s->drafting.seats));
    json_object_set_new(root, "packs", json_integer(s->drafting.packs));
    json_object_set_new(root, "pack_size", json_integer(s->drafting.pack_size));
    for (int by = 0; by < DRAWS; by++)
        json_object_set_new(drawn, by_word[by], json_integer(s->drawn[by]));
    json_object_set_new(root, "drawn", drawn);
    json_object_set_new(root, "package",
                        json_pack("{s:i, s:i}", "enablers", s->package.enablers, "payoffs", s->package.payoffs));
    json_object_set_new(root, "themes", themes_json(s));
    if (s->themes > 0)
        shortest_json(s, what, root);
    for (size_t r = 0; r < s->rules; r++) {
        json_t *item = seen_json(&s->rule[r]);
        json_object_set_new(item, "name", json_string(s->rule[r].name));
        json_object_set_new(item, "of", json_string(s->rule[r].of));
        json_array_append_new(rules, item);
    }
    json_object_set_new(root, "rules", rules);
    json_object_set_new(root, "together", together_json(s));
    json_object_set_new(root, "tables", beside_json(beside));
    return root;
}

json_t *seats_json(const Seats *s, size_t unknowns, const SeatsBeside *beside, const Diags *notices)
{
    json_t *root = seats_object(s, "pool", unknowns, beside);
    json_object_set_new(root, "notices", json_notices(notices));
    return root;
}
