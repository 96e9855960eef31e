/* options.c - parsing of the command line by one table. */
#include "verbs/options.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

#include "base/number.h"
#include "model/money.h"

typedef enum {
    OPTION_MODEL,
    OPTION_CASE,
    OPTION_CAP,
    OPTION_SIZE,
    OPTION_KEEP,
    OPTION_BAN,
    OPTION_WISH,
    OPTION_GAP,
    OPTION_EFFORT,
    OPTION_THREADS,
    OPTION_ENGINE,
    OPTION_FIRM,
    OPTION_ALTERNATIVES,
    OPTION_DIFFER,
    OPTION_RULES,
    OPTION_ALL,
    OPTION_OUTPUT,
    OPTION_FORMAT,
    OPTION_COLOURS,
    OPTION_THEMES,
    OPTION_SEMICOLONS,
    OPTION_WHERE,
    OPTION_FILTER,
    OPTION_TEXT,
    OPTION_NAME,
    OPTION_SORT,
    OPTION_TOP,
    OPTION_SHEET,
    OPTION_SHOPPING,
    OPTION_PRICES,
    OPTION_TODAY,
    OPTION_TAGS,
    OPTION_SCOUT,
    OPTION_PACKAGE,
    OPTION_SIZES,
    OPTION_CAPS,
    OPTION_CASES,
    OPTION_CSV,
    OPTION_PLOT,
    OPTION_SWAPS,
    OPTION_SPEND,
    OPTION_NEW,
    OPTION_APPLY,
    OPTION_JSON,
    OPTION_VERBOSE,
    OPTION_HELP
} OptionId;

#define IN(verb) (1u << (verb))
#define IN_ALL (~0u)
#define IN_READING (IN_ALL & ~IN(VERB_INIT)) /* verbs that read a scenario */
#define IN_SEARCHING                                                                                                   \
    (IN(VERB_WHY) | IN(VERB_SWAP) | IN(VERB_BEST) | IN(VERB_WHAT_IF) | IN(VERB_AUDIT) | IN(VERB_REVISE) |              \
     IN(VERB_FEEDBACK))

typedef struct {
    OptionId id;
    const char *name;     /* "--cap" */
    const char *alias;    /* "-o" or NULL */
    const char *argument; /* NULL: none */
    unsigned verbs;
    const char *help;
} OptionInfo;

static const OptionInfo option_table[] = {
    {OPTION_MODEL, "--model", NULL, "FILE", IN_READING,
     "a model file or preset (four-180, four-360, ...), instead of the scenario's"},
    {OPTION_CASE, "--case", NULL, "NAME", IN_READING, "the scenario with this case's changes"},
    {OPTION_CAP, "--cap", NULL, "MONEY", IN_READING, "the spending cap; none lifts it"},
    {OPTION_SIZE, "--size", NULL, "N|A-B", IN_READING, "the pool's size; bounds written for another size are scaled"},
    {OPTION_SIZE, "--size", NULL, "N", IN(VERB_INIT), "the pool's size, 20 to 5000 cards"},
    {OPTION_KEEP, "--keep", NULL, "CARD", IN_READING, "this card must be in (may be repeated)"},
    {OPTION_BAN, "--ban", NULL, "CARD", IN_READING, "this card must stay out (may be repeated)"},
    {OPTION_WISH, "--wish", NULL, "CARD", IN_READING, "report on this card (may be repeated)"},
    {OPTION_PRICES, "--prices", NULL, "FILE", IN_READING,
     "a sheet of prices instead of the scenario's (may be repeated); best also says what changes"},
    {OPTION_TODAY, "--today", NULL, "DATE", IN_READING,
     "the day from which the age of prices counts, such as 2026-03-31, or now (the newest price)"},
    {OPTION_GAP, "--gap", NULL, "P%", IN_SEARCHING,
     "stop when proven within this share of the best (0: the best itself; default: a short try for the best, then "
     "0.05%)"},
    {OPTION_EFFORT, "--effort", NULL, "N", IN_SEARCHING, "most steps of the search, such as 200k or 5M (no limit)"},
    {OPTION_THREADS, "--threads", NULL, "N", IN_SEARCHING, "processor cores to use (all); never changes the answer"},
    {OPTION_ENGINE, "--engine", NULL, "fast|reference", IN_SEARCHING, "how the search is done (fast)"},
    {OPTION_FIRM, "--firm", NULL, NULL, IN(VERB_BEST), "how firmly each card stands, and which scores matter"},
    {OPTION_ALTERNATIVES, "--alternatives", NULL, "K", IN(VERB_BEST), "K other pools nearly as good"},
    {OPTION_DIFFER, "--differ", NULL, "D", IN(VERB_BEST), "with --alternatives: at least D cards differ (1)"},
    {OPTION_RULES, "--rules", NULL, NULL, IN(VERB_WHY) | IN(VERB_BEST) | IN(VERB_CHECK) | IN(VERB_AUDIT),
     "show every rule, not only those that stand out"},
    {OPTION_ALL, "--all", NULL, NULL, IN(VERB_WHY) | IN(VERB_SWAP) | IN(VERB_BEST) | IN(VERB_WHAT_IF),
     "everything that is cut short otherwise; best: all candidates in the list too"},
    {OPTION_OUTPUT, "--output", "-o", "FILE",
     IN(VERB_FIND) | IN(VERB_BEST) | IN(VERB_EXPORT) | IN(VERB_AUDIT) | IN(VERB_REVISE) | IN(VERB_FEEDBACK),
     "where to write; - is standard output"},
    {OPTION_OUTPUT, "--output", "-o", "FOLDER", IN(VERB_WHAT_IF),
     "where every pool is written as a sheet, with comparison.csv and cards.csv"},
    {OPTION_SHOPPING, "--shopping", NULL, "FILE", IN(VERB_BEST),
     "what to buy, as a sheet: dearest first, subtotals, what leaves"},
    {OPTION_FORMAT, "--format", NULL, "lp|mps", IN(VERB_EXPORT), "the file's format (by its ending, else lp)"},
    {OPTION_COLOURS, "--colours", NULL, "A,B,...", IN(VERB_INIT),
     "the game's colours, 1 to 16 names with commas between"},
    {OPTION_THEMES, "--themes", NULL, "T=A+B;...", IN(VERB_INIT),
     "themes with ; between, each with the colours it is played in (none said: all)"},
    {OPTION_SEMICOLONS, "--semicolons", NULL, NULL, IN(VERB_INIT),
     "sheets with ; between and decimal commas, for spreadsheet programs that write 3,50"},
    {OPTION_SIZES, "--sizes", NULL, "A,B,...", IN(VERB_WHAT_IF), "sizes to try, such as 360,450,540 or 360..540/90"},
    {OPTION_CAPS, "--caps", NULL, "A..B/STEP", IN(VERB_WHAT_IF),
     "caps to try: 200..800/50, or 250,300,none; 200..800 alone finds the exact steps"},
    {OPTION_CASES, "--cases", NULL, NULL, IN(VERB_WHAT_IF), "with --sizes or --caps: every case of the scenario too"},
    {OPTION_CSV, "--csv", NULL, "FILE", IN(VERB_WHAT_IF), "the comparison as a sheet"},
    {OPTION_SWAPS, "--swaps", NULL, "N", IN(VERB_REVISE),
     "at most so many cards of the present pool may leave (a curve of all numbers)"},
    {OPTION_SPEND, "--spend", NULL, "MONEY", IN(VERB_REVISE), "at most so much for cards that enter and are not owned"},
    {OPTION_NEW, "--new", NULL, "FILE", IN(VERB_REVISE),
     "a sheet of new candidates: says which are in, near, or out, and what each is worth"},
    {OPTION_APPLY, "--apply", NULL, NULL, IN(VERB_FEEDBACK), "with -o: write a copy of the cards with the new powers"},
    {OPTION_PLOT, "--plot", NULL, "FILE.svg", IN(VERB_WHAT_IF), "the frontier as a picture"},
    {OPTION_WHERE, "--where", NULL, "FIELD=VALUE", IN(VERB_FIND),
     "only these: cost=2..4, kind=crew,vessel, 'not tag=removal' (may be repeated)"},
    {OPTION_FILTER, "--filter", NULL, "FILE", IN(VERB_FIND), "a YAML file with the fields of a rule's where"},
    {OPTION_TEXT, "--text", NULL, "PATTERN", IN(VERB_FIND),
     "only cards whose text this regular expression is found in"},
    {OPTION_NAME, "--name", NULL, "PATTERN", IN(VERB_FIND), "the same for the name"},
    {OPTION_SORT, "--sort", NULL, "ORDER", IN(VERB_FIND), "fit, price, fit-per-money or name (fit)"},
    {OPTION_TOP, "--top", NULL, "N", IN(VERB_FIND), "only the first N (30 on the screen, else all)"},
    {OPTION_SHEET, "--sheet", NULL, NULL, IN(VERB_FIND),
     "with -o: a sheet with empty columns status, tag, role, weight to fill in"},
    {OPTION_TAGS, "--tags", NULL, NULL, IN(VERB_CHECK),
     "what the patterns caught, what your own tags contradict, what nothing caught"},
    {OPTION_SCOUT, "--themes", NULL, NULL, IN(VERB_CHECK),
     "how deep each theme is, what a package costs, pairs without a theme"},
    {OPTION_PACKAGE, "--package", NULL, "E+P", IN(VERB_CHECK),
     "with --themes: enablers and payoffs of a playable package (6+3)"},
    {OPTION_JSON, "--json", NULL, NULL, IN_ALL, "the answer as JSON"},
    {OPTION_VERBOSE, "--verbose", NULL, NULL, IN_ALL, "the search's own figures too"},
    {OPTION_HELP, "--help", "-h", NULL, IN_ALL, "this text"},
};
#define OPTIONS (sizeof option_table / sizeof option_table[0])

static const VerbInfo verb_table[VERB_COUNT] = {
    {VERB_CHECK, "check", "are the files sound, and can the rules be met",
     "poolwright check SCENARIO|CARDS.csv [options]",
     "Reads everything and counts, without choosing: how many candidates pass each rule, which rule cannot be met "
     "whatever is chosen, how many\n"
     "places the rules leave free, and what is unscored, unpriced or untagged.",
     "  poolwright check scenarios/demo\n"
     "  poolwright check cards.csv --model four-360 --rules\n",
     true, 0},
    {VERB_BEST, "best", "the best pool, and how good it is proven to be",
     "poolwright best SCENARIO|CARDS.csv [options]",
     "Chooses the pool with the greatest fit that keeps every rule, and says how far from the best it can be at most. "
     "With -o the list is written\n"
     "as a sheet that keeps your own columns and adds `chosen` and `reason`.",
     "  poolwright best scenarios/demo --cap 300 -o pool.csv\n"
     "  poolwright best cards.csv --model four-360 --cap 420 --keep \"Harbour Pilot\"\n",
     true, 0},
    {VERB_WHY, "why", "what keeps a card out, or in, and what would change it",
     "poolwright why SCENARIO|CARDS.csv CARD... [options]",
     "Says for each card named what keeps it out of the best pool: what forcing it in costs and who would leave, the "
     "fit and the price from which it would be in\n"
     "by itself, and for each limit the least change that lets it in. For a card that is in: what is lost without it. "
     "--rules asks every limit to the end;\n"
     "where no pool can hold the card, the rules that stand against it are listed (--all: all groups of them, and all "
     "ways out).",
     "  poolwright why scenarios/demo \"Mail Dinghy\"\n"
     "  poolwright why cards.csv \"Harbour Pilot\" \"Mail Dinghy\" --model four-360 --cap 420 --rules\n",
     true, 50},
    {VERB_SWAP, "swap", "what would replace a chosen card, by fit and by money",
     "poolwright swap SCENARIO|CARDS.csv [CARD...] [options]",
     "For each card of the best pool that is named (none: the dearest to buy): the cards that could take its place "
     "alone without breaking a rule, best first\n"
     "and cheapest first, and against that the pool chosen anew without it. --all shows every such card.",
     "  poolwright swap scenarios/demo \"Harbour Pilot\"\n"
     "  poolwright swap scenarios/demo\n",
     true, 50},
    {VERB_INIT, "init", "a folder to start from: cards, targets, model, scenario",
     "poolwright init FOLDER --size N --colours A,B,... [--themes \"T=A+B; ...\"] [--semicolons]",
     "Writes four commented files for a pool of the size, colours and themes asked for: cards.csv with sample cards to "
     "replace by your own, targets.csv,\n"
     "model.yaml whose numbers follow from size and colours by sums that stand beside them, and scenario.yaml. Nothing "
     "that is there is overwritten.",
     "  poolwright init my-pool --size 360 --colours brass,glass,linen,tar --themes \"convoys=brass+linen; "
     "lures=glass+tar\"\n"
     "  poolwright best my-pool\n",
     true, 0},
    {VERB_WHAT_IF, "what-if", "cases, sizes and caps side by side; what money buys",
     "poolwright what-if SCENARIO|CARDS.csv [--sizes ...] [--caps ...] [options]",
     "Without --sizes and --caps: every case of the scenario against the scenario as it stands, side by side, with the "
     "cards that come in and go out.\n"
     "--sizes scales the rules and says what one draft sees. --caps shows what money buys: the knee, sums that buy "
     "nothing, the least that buys a pool at all.\n"
     "With -o FOLDER every pool is written as a sheet, and one sheet that holds all of them side by side.",
     "  poolwright what-if scenarios/demo\n"
     "  poolwright what-if scenarios/demo --sizes 360,450,540 -o pools\n"
     "  poolwright what-if scenarios/demo --caps 200..800/50 --plot frontier.svg\n",
     true, 0},
    {VERB_FIND, "find", "candidates by their fields and texts, sorted", "poolwright find SCENARIO|CARDS.csv [options]",
     "Shows the candidates that pass everything asked for. With -o they go into a sheet with your own columns and "
     "`fit`; with --sheet into one that has\n"
     "empty columns to fill in: name that sheet among the scenario's `tags`, and what you filled in counts.",
     "  poolwright find scenarios/demo --where theme=convoys --where role=payoff --sort fit-per-money\n"
     "  poolwright find scenarios/demo --text \"haul [2-9]\" --where cost=..3 --sheet -o short-list.csv\n",
     true, 0},
    {VERB_AUDIT, "audit", "an existing list against every rule, and what mends it",
     "poolwright audit SCENARIO|CARDS.csv [POOL] [options]",
     "Counts a list (a sheet with `name`, or one name a line; without POOL the scenario's present pool) against every "
     "rule: what it breaks and by how much,\n"
     "deliberate exceptions apart, names that are no candidates, how far it is from the best pool, and the fewest "
     "changes that mend it. Exit code 1 if it\n"
     "breaks a rule. With -o the mended list is written.",
     "  poolwright audit scenarios/demo\n"
     "  poolwright audit scenarios/demo my-list.csv -o mended.csv\n",
     true, 1},
    {VERB_REVISE, "revise", "the present pool made better by few changes",
     "poolwright revise SCENARIO|CARDS.csv [POOL] [--swaps N] [--spend MONEY] [--new FILE] [options]",
     "The best pool of which at most N cards of the present one leave; without --swaps a curve of fit against swaps, "
     "and the swaps that are worth most, one after the\n"
     "other. --spend limits the money for what enters. With --new each new candidate is judged: in, near, or out, whom "
     "it would replace, what it is worth.",
     "  poolwright revise scenarios/demo\n"
     "  poolwright revise scenarios/demo --swaps 20 --spend 40 -o next.csv\n"
     "  poolwright revise scenarios/demo --new winter.csv --swaps 20\n",
     true, 1},
    {VERB_FEEDBACK, "feedback", "notes from play as new powers, and what they would change",
     "poolwright feedback SCENARIO|CARDS.csv NOTES.csv [--apply -o FILE|FOLDER] [options]",
     "Reads a sheet with card, date, verdict and note and proposes a new power for each card, with the reasons: better "
     "+0.5, worse -0.5, unused -0.25, fine 0, or\n"
     "points such as +1. Shows which cards would enter and leave the best pool. Nothing is changed; with --apply -o "
     "FILE a copy of the cards is written.",
     "  poolwright feedback scenarios/demo notes.csv\n"
     "  poolwright feedback scenarios/demo notes.csv --apply -o cards-next.csv\n",
     true, 1},
    {VERB_EXPORT, "export", "the integer programme as LP or MPS", "poolwright export SCENARIO|CARDS.csv [options]",
     "Writes the integer programme behind `best` in an open format that other solvers read. Fit is in thousandths, "
     "money in cents; an MPS file\n"
     "minimises the negated fit.",
     "  poolwright export scenarios/demo -o demo.lp\n"
     "  poolwright export scenarios/demo --format mps -o demo.mps\n",
     true, 0},
};

const VerbInfo *verb_find(const char *name)
{
    for (size_t v = 0; v < VERB_COUNT; v++)
        if (strcmp(verb_table[v].name, name) == 0)
            return &verb_table[v];
    return NULL;
}

const char *verb_nearest(const char *name)
{
    const char *names[VERB_COUNT];
    for (size_t v = 0; v < VERB_COUNT; v++)
        names[v] = verb_table[v].name;
    return text_nearest(name, names, VERB_COUNT);
}

typedef struct {
    const VerbInfo *verb;
    Options *options;
    Diags *diags;
    const char **keep, **ban, **wish, **word, **where, **prices; /* room for argc each */
} Parser;

static const SourcePos command_line = {0};

/* One that goes with the verb, else one of that name. */
static const OptionInfo *option_find(VerbId verb, const char *name, size_t length)
{
    const OptionInfo *other = NULL;
    for (size_t k = 0; k < OPTIONS; k++) {
        const OptionInfo *option = &option_table[k];
        bool named =
            (strlen(option->name) == length && strncmp(option->name, name, length) == 0) ||
            (option->alias != NULL && strlen(option->alias) == length && strncmp(option->alias, name, length) == 0);
        if (named && (option->verbs & IN(verb)))
            return option;
        if (named)
            other = option;
    }
    return other;
}

static void unknown_option(Parser *p, const char *name)
{
    const char *known[OPTIONS];
    size_t count = 0;
    for (size_t k = 0; k < OPTIONS; k++)
        if (option_table[k].verbs & IN(p->verb->id))
            known[count++] = option_table[k].name;
    const char *near = text_nearest(name, known, count);
    if (near != NULL)
        diag_error(p->diags, command_line, "unknown option %s; did you mean %s?", name, near);
    else
        diag_error(p->diags, command_line, "unknown option %s; poolwright %s --help lists the options", name,
                   p->verb->name);
}

static bool parse_whole(const char *text, int64_t most, int64_t *value)
{
    int64_t v;
    if (number_parse(text, 0, false, &v) != NUMBER_OK || v < 0 || v > most)
        return false;
    *value = v;
    return true;
}

static void parse_cap(Parser *p, const char *value)
{
    Overrides *o = &p->options->overrides;
    if (strcmp(value, "none") == 0) {
        o->no_cap = true;
        o->has_cap = false;
        return;
    }
    int64_t cents;
    if (number_parse_money(value, true, &cents) != NUMBER_OK || cents < 0) {
        diag_error(p->diags, command_line,
                   "--cap: found '%s', expected an amount of money such as 420 or 419.50 (without separators of "
                   "thousands), or none",
                   value);
        return;
    }
    o->has_cap = true;
    o->no_cap = false;
    o->cap = cents;
}

static void parse_size(Parser *p, const char *value)
{
    Overrides *o = &p->options->overrides;
    int64_t from = 0, to = 0;
    const char *dash = strchr(value, '-');
    bool good;
    if (dash != NULL) {
        char *first = arena_strndup(p->options->arena, value, (size_t)(dash - value));
        good = parse_whole(first, 100000, &from) && parse_whole(dash + 1, 100000, &to);
    } else {
        good = parse_whole(value, 100000, &to);
        from = to;
    }
    if (!good || from < 1 || from > to) {
        diag_error(
            p->diags, command_line,
            "--size: found '%s', expected a whole number from 1 to 100000 such as 360, or a band such as 350-360",
            value);
        return;
    }
    o->has_size = true;
    o->size_from = (int)from;
    o->size_to = (int)to;
}

static void parse_gap(Parser *p, const char *value)
{
    int64_t ppm;
    size_t length = strlen(value);
    bool percent = length > 0 && value[length - 1] == '%';
    char *digits = arena_strndup(p->options->arena, value, percent ? length - 1 : length);
    /* A percent with 4 decimals is whole parts per million; without the sign the number means percent too. */
    if (number_parse(digits, 4, false, &ppm) != NUMBER_OK || ppm < 0 || ppm > 1000000) {
        diag_error(
            p->diags, command_line,
            "--gap: found '%s', expected a percentage from 0 to 100%% with at most four decimals, such as 0.05%%",
            value);
        return;
    }
    p->options->gap_ppm = ppm;
    p->options->gap_given = true;
}

static void parse_effort(Parser *p, const char *value)
{
    size_t length = strlen(value);
    int64_t factor = 1, steps;
    if (length > 1 && (value[length - 1] == 'k' || value[length - 1] == 'K'))
        factor = 1000;
    else if (length > 1 && value[length - 1] == 'M')
        factor = 1000000;
    char *digits = arena_strndup(p->options->arena, value, factor > 1 ? length - 1 : length);
    if (!parse_whole(digits, INT64_C(1000000000000), &steps) || steps < 1) {
        diag_error(p->diags, command_line, "--effort: found '%s', expected a number of steps such as 5000, 200k or 5M",
                   value);
        return;
    }
    p->options->effort = steps * factor;
}

static void parse_swaps(Parser *p, const char *value)
{
    int64_t swaps;
    if (!parse_whole(value, 100000, &swaps)) {
        diag_error(p->diags, command_line, "--swaps: found '%s', expected a whole number from 0 to 100000", value);
        return;
    }
    p->options->has_swaps = true;
    p->options->swaps = (int)swaps;
}

static void parse_spend(Parser *p, const char *value)
{
    int64_t cents;
    if (number_parse_money(value, true, &cents) != NUMBER_OK || cents < 0) {
        diag_error(
            p->diags, command_line,
            "--spend: found '%s', expected an amount of money such as 40 or 39.50 (without separators of thousands)",
            value);
        return;
    }
    p->options->has_spend = true;
    p->options->spend = cents;
}

static void parse_threads(Parser *p, const char *value)
{
    int64_t threads;
    if (!parse_whole(value, 256, &threads) || threads < 1)
        diag_error(p->diags, command_line, "--threads: found '%s', expected a whole number from 1 to 256", value);
    else
        p->options->threads = (int)threads;
}

/* One of several words; -1 with an error. */
static int parse_choice(Parser *p, const char *option, const char *value, const char *const *choice, size_t choices)
{
    for (size_t k = 0; k < choices; k++)
        if (strcmp(choice[k], value) == 0)
            return (int)k;
    const char *near = text_nearest(value, choice, choices);
    diag_error(p->diags, command_line, "%s: found '%s', expected %s or %s%s%s%s", option, value, choice[0], choice[1],
               near != NULL ? "; did you mean " : "", near != NULL ? near : "", near != NULL ? "?" : "");
    return -1;
}

static void parse_engine(Parser *p, const char *value)
{
    static const char *const choice[] = {"fast", "reference"};
    int k = parse_choice(p, "--engine", value, choice, 2);
    if (k >= 0)
        p->options->engine = k == 0 ? SEARCH_ENGINE_FAST : SEARCH_ENGINE_REFERENCE;
}

static void parse_format(Parser *p, const char *value)
{
    static const char *const choice[] = {"lp", "mps"};
    int k = parse_choice(p, "--format", value, choice, 2);
    if (k >= 0) {
        p->options->has_format = true;
        p->options->format = k == 0 ? EXPORT_LP : EXPORT_MPS;
    }
}

static void parse_sort(Parser *p, const char *value)
{
    static const char *const choice[] = {"fit", "price", "fit-per-money", "name"};
    for (size_t k = 0; k < 4; k++)
        if (strcmp(choice[k], value) == 0) {
            p->options->sort = (FindSort)k;
            return;
        }
    const char *near = text_nearest(value, choice, 4);
    diag_error(p->diags, command_line, "--sort: found '%s', expected fit, price, fit-per-money or name%s%s%s", value,
               near != NULL ? "; did you mean " : "", near != NULL ? near : "", near != NULL ? "?" : "");
}

static void parse_today(Parser *p, const char *value)
{
    Overrides *o = &p->options->overrides;
    if (strcmp(value, "now") == 0) {
        o->today = (int)(time(NULL) / 86400);
        o->has_today = true;
    } else if (date_parse(value, &o->today))
        o->has_today = true;
    else
        diag_error(p->diags, command_line, "--today: found '%s', expected a date such as 2026-03-31, or now", value);
}

static void parse_top(Parser *p, const char *value)
{
    int64_t top;
    if (!parse_whole(value, 1000000, &top) || top < 1)
        diag_error(p->diags, command_line, "--top: found '%s', expected a whole number, 1 or more", value);
    else
        p->options->top = (int)top;
}

static void parse_package(Parser *p, const char *value)
{
    int64_t enablers = 0, payoffs = 0;
    const char *plus = strchr(value, '+');
    bool good = plus != NULL &&
                parse_whole(arena_strndup(p->options->arena, value, (size_t)(plus - value)), 1000, &enablers) &&
                parse_whole(plus + 1, 1000, &payoffs);
    if (!good || enablers + payoffs < 1)
        diag_error(p->diags, command_line, "--package: found '%s', expected enablers and payoffs such as 6+3", value);
    else
        p->options->package = (Package){.enablers = (int)enablers, .payoffs = (int)payoffs};
}

static void parse_count(Parser *p, const char *option, const char *value, int64_t most, int *count)
{
    int64_t n;
    if (!parse_whole(value, most, &n) || n < 1)
        diag_error(p->diags, command_line, "%s: found '%s', expected a whole number from 1 to %d", option, value,
                   (int)most);
    else
        *count = (int)n;
}

/* An option's text as it is. */
static void take_text(Parser *p, const OptionInfo *option, const char *value, const char **slot)
{
    *slot = value;
    if (value[0] == '\0')
        diag_error(p->diags, command_line, "%s: found nothing, expected %s", option->name, option->argument);
}

static void apply(Parser *p, const OptionInfo *option, const char *value)
{
    Options *o = p->options;
    Overrides *change = &o->overrides;
    switch (option->id) {
    case OPTION_CAP: parse_cap(p, value); break;
    case OPTION_SIZE: parse_size(p, value); break;
    case OPTION_GAP: parse_gap(p, value); break;
    case OPTION_EFFORT: parse_effort(p, value); break;
    case OPTION_THREADS: parse_threads(p, value); break;
    case OPTION_SWAPS: parse_swaps(p, value); break;
    case OPTION_SPEND: parse_spend(p, value); break;
    case OPTION_ENGINE: parse_engine(p, value); break;
    case OPTION_FORMAT: parse_format(p, value); break;
    case OPTION_TODAY: parse_today(p, value); break;
    case OPTION_SORT: parse_sort(p, value); break;
    case OPTION_TOP: parse_top(p, value); break;
    case OPTION_PACKAGE: parse_package(p, value); break;
    case OPTION_SHEET: o->sheet = true; break;
    case OPTION_TAGS: o->tags = true; break;
    case OPTION_SCOUT: o->scout = true; break;
    case OPTION_FIRM: o->firm = true; break;
    case OPTION_ALTERNATIVES: parse_count(p, "--alternatives", value, 20, &o->alternatives); break;
    case OPTION_DIFFER: parse_count(p, "--differ", value, 100000, &o->differ); break;
    case OPTION_RULES: o->rules = true; break;
    case OPTION_ALL: o->all = true; break;
    case OPTION_CASES: o->cases = true; break;
    case OPTION_APPLY: o->apply = true; break;
    case OPTION_SEMICOLONS: o->semicolons = true; break;
    case OPTION_JSON: o->json = true; break;
    case OPTION_VERBOSE: o->verbose = true; break;
    case OPTION_HELP: o->help = true; break;
    case OPTION_MODEL: take_text(p, option, value, &change->model); break;
    case OPTION_CASE: take_text(p, option, value, &change->case_name); break;
    case OPTION_KEEP: take_text(p, option, value, &p->keep[change->keeps++]); break;
    case OPTION_BAN: take_text(p, option, value, &p->ban[change->bans++]); break;
    case OPTION_WISH: take_text(p, option, value, &p->wish[change->wishes++]); break;
    case OPTION_OUTPUT: take_text(p, option, value, &o->output); break;
    case OPTION_COLOURS: take_text(p, option, value, &o->colours); break;
    case OPTION_THEMES: take_text(p, option, value, &o->themes); break;
    case OPTION_SHOPPING: take_text(p, option, value, &o->shopping); break;
    case OPTION_PRICES: take_text(p, option, value, &p->prices[change->prices_count++]); break;
    case OPTION_WHERE: take_text(p, option, value, &p->where[o->wheres++]); break;
    case OPTION_FILTER: take_text(p, option, value, &o->filter); break;
    case OPTION_TEXT: take_text(p, option, value, &o->text); break;
    case OPTION_NAME: take_text(p, option, value, &o->name_text); break;
    case OPTION_SIZES: take_text(p, option, value, &o->sizes); break;
    case OPTION_CAPS: take_text(p, option, value, &o->caps); break;
    case OPTION_CSV: take_text(p, option, value, &o->csv); break;
    case OPTION_PLOT: take_text(p, option, value, &o->plot); break;
    case OPTION_NEW: take_text(p, option, value, &o->newcomers); break;
    }
}

static void take_word(Parser *p, const char *word)
{
    Options *o = p->options;
    if (p->verb->needs_subject && o->subject == NULL)
        o->subject = word;
    else if (o->words < p->verb->max_words)
        p->word[o->words++] = word;
    else if (p->diags->errors == 0) /* after a wrong option its value would be blamed too */
        diag_error(p->diags, command_line, "unexpected word '%s'; usage: %s", word, p->verb->usage);
}

/* Handles argv[k]; returns how many words it took. */
static int take_option(Parser *p, int argc, char **argv, int k)
{
    const char *word = argv[k];
    const char *equals = strncmp(word, "--", 2) == 0 ? strchr(word, '=') : NULL;
    size_t length = equals != NULL ? (size_t)(equals - word) : strlen(word);
    const OptionInfo *option = option_find(p->verb->id, word, length);
    if (option == NULL) {
        unknown_option(p, arena_strndup(p->options->arena, word, length));
        return 1;
    }
    if (!(option->verbs & IN(p->verb->id))) {
        diag_error(p->diags, command_line, "%s does not go with %s", option->name, p->verb->name);
        return option->argument != NULL && equals == NULL && k + 1 < argc ? 2 : 1;
    }
    if (option->argument == NULL) {
        if (equals != NULL)
            diag_error(p->diags, command_line, "%s takes no value, found '%s'", option->name, equals + 1);
        else
            apply(p, option, NULL);
        return 1;
    }
    if (equals != NULL) {
        apply(p, option, equals + 1);
        return 1;
    }
    if (k + 1 >= argc) {
        diag_error(p->diags, command_line, "%s: expected %s after it", option->name, option->argument);
        return 1;
    }
    apply(p, option, argv[k + 1]);
    return 2;
}

/* Not valid UTF-8 on the command line: nothing it could name would match. */
static bool valid_words(int argc, char **argv, Diags *diags)
{
    for (int k = 0; k < argc; k++)
        if (text_utf8_error(argv[k], strlen(argv[k])) != strlen(argv[k])) {
            diag_error(diags, command_line, "word %d of the command line is not valid UTF-8", k + 1);
            return false;
        }
    return true;
}

bool options_parse(const VerbInfo *verb, int argc, char **argv, Options *options, Diags *diags)
{
    size_t room = (size_t)argc + 1;
    Parser p = {.verb = verb, .options = options, .diags = diags};
    p.keep = arena_alloc(options->arena, room, sizeof *p.keep);
    p.ban = arena_alloc(options->arena, room, sizeof *p.ban);
    p.wish = arena_alloc(options->arena, room, sizeof *p.wish);
    p.word = arena_alloc(options->arena, room, sizeof *p.word);
    p.prices = arena_alloc(options->arena, room, sizeof *p.prices);
    p.where = arena_alloc(options->arena, room, sizeof *p.where);
    options->package = (Package){.enablers = 6, .payoffs = 3};
    options->verb = verb->name;
    options->gap_ppm = 500;
    if (!valid_words(argc, argv, diags))
        return false;
    bool only_words = false;
    for (int k = 0; k < argc;) {
        if (!only_words && strcmp(argv[k], "--") == 0) {
            only_words = true;
            k++;
        } else if (!only_words && argv[k][0] == '-' && argv[k][1] != '\0')
            k += take_option(&p, argc, argv, k);
        else
            take_word(&p, argv[k++]);
    }
    options->overrides.keep = p.keep;
    options->overrides.ban = p.ban;
    options->overrides.wish = p.wish;
    options->word = p.word;
    options->where = p.where;
    options->overrides.prices = p.prices;
    if (options->help)
        return diags->errors == 0;
    if (verb->needs_subject && options->subject == NULL && diags->errors == 0)
        diag_error(diags, command_line, "expected %s; usage: %s",
                   verb->id == VERB_INIT ? "a folder to write" : "a scenario or a cards sheet", verb->usage);
    if (options->differ > 0 && options->alternatives == 0)
        diag_error(diags, command_line, "--differ: expected --alternatives K with it, how many other pools to show");
    if (verb->id == VERB_WHY && options->words == 0 && diags->errors == 0)
        diag_error(diags, command_line, "expected the name of a card; usage: %s", verb->usage);
    return diags->errors == 0;
}

void help_general(Text *out)
{
    text_add(
        out,
        "poolwright chooses a card pool for drafting: the best one within a spending cap and your rules, proven.\n\n"
        "usage: poolwright VERB SCENARIO|CARDS.csv [options]\n\nverbs:\n");
    for (size_t v = 0; v < VERB_COUNT; v++)
        text_printf(out, "  %-8s %s\n", verb_table[v].name, verb_table[v].summary);
    text_add(
        out,
        "\n  poolwright VERB --help   what a verb does, its options, an example\n  poolwright --version\n\nexample:\n");
    text_add(out, verb_table[VERB_BEST].example);
}

void help_verb(const VerbInfo *verb, Text *out)
{
    text_printf(out, "usage: %s\n\n%s\n\noptions:\n", verb->usage, verb->about);
    for (size_t k = 0; k < OPTIONS; k++) {
        const OptionInfo *option = &option_table[k];
        if (!(option->verbs & IN(verb->id)))
            continue;
        char left[64];
        snprintf(left, sizeof left, "%s%s%s%s%s", option->alias != NULL ? option->alias : "",
                 option->alias != NULL ? ", " : "", option->name, option->argument != NULL ? " " : "",
                 option->argument != NULL ? option->argument : "");
        text_printf(out, "  %-24s %s\n", left, option->help);
    }
    text_printf(out, "\nexample:\n%s", verb->example);
}
