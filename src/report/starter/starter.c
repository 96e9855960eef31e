/* starter.c - model, targets and scenario of a new folder.
 *
 * The sums, common practice where nothing else is said: a seat opens three packs of fifteen, so a pool serves size / 45
 * seats; where more are said, the packs are smaller. A drafter picks 45 cards and plays 24, so each card that is played
 * needs 45 / 24 = 15 / 8 cards of the pool, and a deck's 24 places (15 mono, 3 gold, 1 hybrid, 2 colourless, 3 fixing;
 * with one colour 19 mono and 5 colourless) are shares of the pool. A deck has two colours, so the drafters of a colour
 * are 2 / colours of all, and the drafters of a theme are one in as many as there are pairs or themes, whichever are
 * more. */
#include "report/starter/starter.h"

#include "base/number.h"
#include "report/sheet/sheet_out.h"
#include "report/starter/starter_found.h"

#define DECK_PLACES 24

static int least_of(int a, int b)
{
    return a < b ? a : b;
}

int starter_pack(int size, int seats)
{
    const int pack = least_of(SEAT_PACK, size / (SEAT_PACKS * seats));
    return pack > 0 ? pack : 1;
}

void starter_numbers(const StarterPlan *plan, StarterNumbers *numbers)
{
    int colours = (int)plan->colours, size = plan->size, themes = (int)plan->themes;
    const int served = size / SEAT_CARDS > 0 ? size / SEAT_CARDS : 1;
    StarterNumbers n = {.seats = plan->seats > 0 ? plan->seats : served, .pairs = colours * (colours - 1) / 2};
    n.pack = starter_pack(size, n.seats);
    n.mono = size * (colours > 1 ? 15 : 19) / (DECK_PLACES * colours);
    if (n.pairs > 0) {
        n.gold = size * 3 / (DECK_PLACES * n.pairs);
        n.hybrid = size / (DECK_PLACES * n.pairs);
        n.fixing = size * 3 / (DECK_PLACES * n.pairs);
        n.all_gold = n.all_fixing = size * 3 / DECK_PLACES;
        n.all_hybrid = size / DECK_PLACES;
    }
    n.colourless = size * (colours > 1 ? 2 : 5) / DECK_PLACES;
    n.early = n.mono / 3;
    n.removal = least_of(n.seats * (colours > 1 ? 2 : 1) * n.pack / (8 * colours), n.mono / 5);
    int shares = n.pairs > themes ? n.pairs : themes;
    if (shares > 0) {
        n.payoffs = least_of(3 * n.seats * n.pack / (8 * shares), n.mono / 8);
        n.enablers = least_of(6 * n.seats * n.pack / (8 * shares), n.mono / 4);
    }
    n.cap = (int64_t)size * 125;
    *numbers = n;
}

/* A YAML text in double quotes. */
void starter_size_remark(Text *out)
{
    text_add(out,
             "# Limits move along with another size of --size or of a case in scenario.yaml; changed here, they stay "
             "as they are written.\n");
}

void starter_quoted(Text *out, const char *text)
{
    text_add_char(out, '"');
    for (const char *c = text; *c != '\0'; c++) {
        if (*c == '\n' || *c == '\r' || *c == '\t') {
            text_printf(out, "\\%c", *c == '\n' ? 'n' : *c == '\r' ? 'r' : 't');
            continue;
        }
        if (*c == '"' || *c == '\\')
            text_add_char(out, '\\');
        text_add_char(out, *c);
    }
    text_add_char(out, '"');
}

static void add_mask(Text *out, const StarterPlan *plan, ColourMask mask)
{
    Text text = {0};
    for (size_t c = 0; c < plan->colours; c++)
        if ((unsigned)mask >> c & 1U)
            text_printf(&text, "%s%s", text.length > 0 ? "+" : "", plan->colour[c]);
    starter_quoted(out, text_cstr(&text));
    text_release(&text);
}

/* ---- model ---- */

static void add_model_head(const StarterPlan *plan, const StarterNumbers *n, Text *out)
{
    char cap[NUMBER_TEXT];
    text_printf(out,
                "# The rules of the pool. Everything behind a # is a comment. Change what you like; `poolwright check` "
                "tells whether it fits together.\n"
                "#\n"
                "# Where the numbers come from: a seat opens three packs of %d, so %d cards serve %d seat%s. A "
                "drafter picks %d cards and plays 24 of\n"
                "# them, so each card that is played needs %d/24 = %d/8 cards of the pool, and the places of a deck "
                "are shares of the pool.\n\n",
                n->pack, plan->size, n->seats, n->seats == 1 ? "" : "s", SEAT_PACKS * n->pack, SEAT_PACKS * n->pack,
                n->pack);
    starter_size_remark(out);
    text_printf(out,
                "size: %d\n\n# On cards that must be bought: 1.25 for each place. Write your own sum, or "
                "none.\nspending_cap: %s\n\n",
                plan->size, number_format(cap, n->cap, 2, 2));
    text_add(out, "colours: [");
    for (size_t c = 0; c < plan->colours; c++) {
        text_add(out, c > 0 ? ", " : "");
        starter_quoted(out, plan->colour[c]);
    }
    text_add(out, "]\n\n");
    if (n->pairs > 0)
        text_add(out, "# Cards that help to pay for others are a class of their own.\nfixing: {kind: source}\n\n");
    text_printf(out,
                "seats: {seats: %d, packs: 3, pack_size: %d}\n\n"
                "# What a card adds: its power, and the weights of its tags for the themes below. A card without a "
                "power counts as 4.5.\n"
                "fit: {power: 1.0, unscored: 4.5}\n\n",
                n->seats, n->pack);
}

void starter_themes(const StarterPlan *plan, Text *out)
{
    if (plan->themes == 0) {
        text_add(out, "# Themes: what decks are built around. A card belongs to one by a tag of its name.\n"
                      "#themes:\n#  - {name: my theme, colours: a colour+another, weight: 1.0}\n\n");
        return;
    }
    text_add(out, "# Themes: what decks are built around. A card belongs to one by a tag of its name; twice the weight "
                  "counts its tags double.\nthemes:\n");
    for (size_t t = 0; t < plan->themes; t++) {
        text_add(out, "  - {name: ");
        starter_quoted(out, plan->theme[t].name);
        text_add(out, ", colours: ");
        add_mask(out, plan, plan->theme[t].colours);
        text_add(out, ", weight: 1.0}\n");
    }
    text_add_char(out, '\n');
}

void starter_patterns(Text *out)
{
    text_add(out, "# Tags by pattern, for cards whose text (or kind, or cost) says what they do. `poolwright check "
                  "--tags` shows what each one catches.\n"
                  "#patterns:\n#  - {tag: removal, where: {kind: action}, text: \"wreck|turn back\"}\n\n");
}

static void add_class_rules(const StarterPlan *plan, const StarterNumbers *n, Text *out)
{
    int colours = (int)plan->colours;
    text_printf(out, "  # %d of a deck's 24 places are mono: %d x %d/24 / %d colour%s.\n", colours > 1 ? 15 : 19,
                plan->size, colours > 1 ? 15 : 19, colours, colours == 1 ? "" : "s");
    text_printf(out, "  - {name: mono cards, each: colour, where: {class: mono}, exactly: %d}\n\n", n->mono);
    if (n->gold > 0)
        text_printf(out,
                    "  # 3 places are gold: %d x 3/24 / %d pairs.\n  - {name: gold cards, each: pair, where: {class: "
                    "gold}, between: [%d, %d]}\n\n",
                    plan->size, n->pairs, n->gold, n->gold + 1);
    else if (n->pairs > 0)
        text_printf(out,
                    "  # 3 places are gold: %d x 3/24, too few for a number of each pair.\n"
                    "  - {name: gold cards, where: {class: gold}, between: [%d, %d]}\n\n",
                    plan->size, n->all_gold * 8 / 10, n->all_gold);
    if (n->pairs > 0)
        text_printf(out,
                    "  # 1 place is hybrid: %d x 1/24 / %d pairs.\n  - {name: hybrid cards, each: pair, where: {class: "
                    "hybrid}, between: [%d, %d]}\n\n",
                    plan->size, n->pairs, n->hybrid, n->hybrid + 1);
    text_printf(out,
                "  # %d places are colourless: %d x %d/24.\n  - {name: colourless cards, where: {class: colourless}, "
                "at_least: %d}\n\n",
                colours > 1 ? 2 : 5, plan->size, colours > 1 ? 2 : 5, n->colourless);
    if (n->fixing > 0)
        text_printf(out,
                    "  # 3 places help to pay: %d x 3/24 / %d pairs.\n  - {name: fixing, each: pair, where: {class: "
                    "fixing}, at_least: %d}\n\n",
                    plan->size, n->pairs, n->fixing);
}

static void add_play_rules(const StarterPlan *plan, const StarterNumbers *n, Text *out)
{
    text_add(
        out,
        "  # Close to half of what a colour has stays in play.\n"
        "  - {name: bodies, each: colour, where: {class: mono, kind: body}, at_least: 45%, of: {class: mono}}\n\n");
    if (n->early > 2)
        text_printf(out,
                    "  # A third of the mono cards is for the first turns, give or take two.\n"
                    "  - {name: early plays, each: colour, where: {class: mono, cost: {to: 2}}, between: [%d, %d]}\n\n",
                    n->early - 2, n->early + 2);
    text_add(out, "  - {name: low curve, where: {class: {not: fixing}}, measure: cost, average_at_most: 3.40}\n\n");
    if (n->removal > 0)
        text_printf(out,
                    "  # Each drafter of a colour wants one answer from it: %d seat%s x %d/%zu x %d/8 (and not above a "
                    "fifth of the colour).\n"
                    "  - {name: removal, each: colour, where: {class: mono, tag: removal}, at_least: %d}\n\n",
                    n->seats, n->seats == 1 ? "" : "s", plan->colours > 1 ? 2 : 1, plan->colours, n->pack, n->removal);
    if (plan->themes == 0 || n->payoffs == 0)
        return;
    int shares = n->pairs > (int)plan->themes ? n->pairs : (int)plan->themes;
    text_printf(out,
                "  # A deck of a theme wants 3 payoffs and 6 enablers; %d seat%s over %d pairs or themes, x %d/8 (not "
                "above 1/8 and 1/4 of a colour).\n",
                n->seats, n->seats == 1 ? "" : "s", shares, n->pack);
    text_printf(out, "  - {name: payoffs, each: theme, where: {role: payoff}, at_least: %d}\n", n->payoffs);
    text_printf(out, "  - {name: enablers, each: theme, where: {role: enabler}, at_least: %d}\n", n->enablers);
}

void starter_model(const StarterPlan *plan, Text *out)
{
    StarterNumbers n;
    starter_numbers(plan, &n);
    add_model_head(plan, &n, out);
    starter_themes(plan, out);
    starter_patterns(out);
    text_add(out, "rules:\n");
    add_class_rules(plan, &n, out);
    add_play_rules(plan, &n, out);
}

/* ---- targets ---- */

char starter_separator(const StarterPlan *plan)
{
    return plan->semicolons ? ';' : ',';
}

static void add_target(const StarterPlan *plan, const char *rule, const char *all, Text *out)
{
    const char separator = starter_separator(plan);
    sheet_cell(out, rule, separator);
    text_add_char(out, separator);
    sheet_cell(out, all, separator);
    for (size_t k = 0; k < plan->colours + plan->themes; k++)
        text_add_char(out, separator);
    text_add(out, "\r\n");
}

static void add_number(const StarterPlan *plan, const char *rule, const char *format, int low, int high, Text *out)
{
    Text cell = {0};
    for (const char *c = format; *c != '\0'; c++) {
        if (*c == 'L' || *c == 'H')
            text_printf(&cell, "%d", *c == 'L' ? low : high);
        else
            text_add_char(&cell, *c);
    }
    add_target(plan, rule, text_cstr(&cell), out);
    text_release(&cell);
}

void starter_targets(const StarterPlan *plan, Text *out)
{
    StarterNumbers n;
    starter_numbers(plan, &n);
    const char separator = starter_separator(plan);
    sheet_begin_marked(out, plan->semicolons);
    text_printf(out, "rule%call", separator);
    for (size_t c = 0; c < plan->colours; c++) {
        text_add_char(out, separator);
        sheet_cell(out, plan->colour[c], separator);
    }
    for (size_t t = 0; t < plan->themes; t++) {
        text_add_char(out, separator);
        sheet_cell(out, plan->theme[t].name, separator);
    }
    text_add(out, "\r\n");
    add_number(plan, "mono cards", "L", n.mono, 0, out);
    add_number(plan, "colourless cards", ">=L", n.colourless, 0, out);
    if (n.early > 2)
        add_number(plan, "early plays", "L..H", n.early - 2, n.early + 2, out);
    if (n.removal > 0)
        add_number(plan, "removal", ">=L", n.removal, 0, out);
    if (plan->themes == 0 || n.payoffs == 0)
        return;
    add_number(plan, "payoffs", ">=L", n.payoffs, 0, out);
    add_number(plan, "enablers", ">=L", n.enablers, 0, out);
}

/* ---- scenario ---- */

void starter_scenario(const StarterPlan *plan, Text *out)
{
    text_printf(out,
                "# A scenario: which rules, which cards, and what you wish for. Everything behind a # is a comment.\n"
                "# Take the # away from a line such as #keep: and it counts.\n"
                "#\n"
                "#   poolwright check .      are the files sound, can the rules be met\n"
                "#   poolwright best . -o pool.csv\n\n"
                "model: model.yaml\n\n"
                "# The candidates. cards.csv holds samples, so that everything runs: put your own list in its place.\n"
                "cards: [cards.csv]\n\n"
                "# The model's numbers once more as a sheet, to edit in a spreadsheet program. What stands there wins "
                "over the model.\n"
                "targets: [targets.csv]\n\n"
                "# Further sheets, matched by name:\n"
                "#prices: [prices.csv]      # name, price; optional low, high, date, currency. Several lines for a "
                "card: the cheapest counts\n"
                "#owned: [owned.csv]        # name, copies\n"
                "#tags: [tags.csv]          # name, tag, role, weight, status\n"
                "#pool: pool.csv            # the pool as it is now\n\n"
                "#keep: [\"A card that must be in\"]\n\n"
                "#change: {spending_cap: %d.00}\n\n"
                "#cases:\n"
                "#  - {name: a smaller purse, change: {spending_cap: %d.00}}\n",
                plan->size * 5 / 4, plan->size);
}
