/* bench_large.c - large inputs of every kind: what the program takes for each, in seconds of processor time and at its
 * peak of memory. usage: bench_large POOLWRIGHT FOLDER [CASE [PART]]. PART divides the sizes (4: a quarter; time and
 * memory should fall to about a quarter too). Data are invented. */
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/files/file_draft.h"
#include "base/text.h"

#define CPU_MOST 200 /* seconds, then a case is ended */

static unsigned draw(unsigned below)
{
    static unsigned long long seed = 20262;
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (unsigned)(seed >> 33) % below;
}

static const char *const words[] = {"harbour", "slow", "lantern", "ebb",   "keel",    "salt",  "ledger", "gull",
                                    "copper",  "reed", "winter",  "quiet", "herring", "tower", "pilot",  "barrel"};
static const char *const colours[] = {"brass", "glass", "linen", "tar"};

typedef struct {
    const char *folder;
    unsigned cards, part;
    Text sheet, model, scenario, side; /* cards.csv, model.yaml, scenario.yaml, side.csv */
} Input;

/* The n-th name: two words and the number. */
static void add_name(Text *out, unsigned n)
{
    text_printf(out, "%s %s %u", words[n % 16], words[n / 16 % 16], n);
}

enum { PLAIN = 0, OWN_TAGS = 1, COLUMNS = 2, TEXTS = 4, THEME_TAGS = 8, UNPRICED = 16 };

static void add_columns(Text *out, unsigned count, unsigned card)
{
    for (unsigned k = 0; k < count; k++)
        if (card == 0)
            text_printf(out, ",own %u", k);
        else
            text_printf(out, ",%s %u", words[draw(16)], draw(1000));
}

static void make_sheet(Input *in, unsigned cards, int with)
{
    Text *out = &in->sheet;
    in->cards = cards / in->part;
    const unsigned columns = with & COLUMNS ? 60 : 0;
    text_add(out, "name,colours,kind,cost,power,tags,text");
    text_add(out, with & UNPRICED ? "" : ",price");
    add_columns(out, columns, 0);
    for (unsigned n = 0; n < in->cards; n++) {
        text_add(out, "\n");
        add_name(out, n);
        text_printf(out, ",%s,crew,%u,%u.%u,", colours[draw(4)], draw(8), 1 + draw(9), draw(10));
        for (unsigned k = 0; k < 3 && with & OWN_TAGS; k++)
            text_printf(out, "%sown tag t%u", k > 0 ? "; " : "", 3 * n + k);
        for (unsigned k = 0; k < 3 && with & THEME_TAGS; k++)
            text_printf(out, "%stheme t%u", k > 0 ? "; " : "", (n * 3 + k) % (2000 / in->part));
        text_add(out, ",");
        for (unsigned k = 0; k < 20 && with & TEXTS; k++)
            text_printf(out, "%s ", words[draw(16)]);
        if (!(with & UNPRICED))
            text_printf(out, ",%u.%02u", draw(20), draw(100));
        add_columns(out, columns, 1);
    }
    text_add(out, "\n");
}

static void begin_model(Input *in)
{
    text_add(&in->scenario, "model: model.yaml\ncards: [cards.csv]\n");
    text_add(&in->model, "colours: [brass, glass, linen, tar]\nsize: 360\n"
                         "fit: {power: 1}\nspending_cap: 3000\n");
}

/* `before` number `after`, comma separated. */
static void add_list(Text *out, unsigned count, unsigned from, const char *before, const char *after)
{
    for (unsigned k = 0; k < count; k++)
        text_printf(out, "%s%s%u%s", k > 0 ? ",\n  " : "", before, from + k, after);
}

static void add_names(Text *out, unsigned count)
{
    for (unsigned k = 0; k < count; k++) {
        text_add(out, k > 0 ? ",\n  " : "");
        add_name(out, k);
    }
}

/* ---- the cases ---- */

static void make_plain(Input *in)
{
    make_sheet(in, 60000, PLAIN);
    begin_model(in);
}

static void make_tags(Input *in)
{
    make_sheet(in, 60000, OWN_TAGS);
    begin_model(in);
}

static void make_tag_sheet(Input *in)
{
    make_sheet(in, 60000, PLAIN);
    begin_model(in);
    text_add(&in->scenario, "tags: [side.csv]\n");
    text_add(&in->side, "name,tag\n");
    for (unsigned k = 0; k < 200000 / in->part; k++) {
        add_name(&in->side, k % in->cards);
        text_printf(&in->side, ",line tag t%u\n", k);
    }
}

static void make_one_card_tags(Input *in)
{
    make_sheet(in, 60000, PLAIN);
    begin_model(in);
    text_add(&in->scenario, "tags: [side.csv]\n");
    text_add(&in->side, "name,tag\n");
    for (unsigned k = 0; k < 200000 / in->part; k++) {
        add_name(&in->side, k % 4);
        text_printf(&in->side, ",line tag t%u\n", k);
    }
}

static void make_unknown_keep(Input *in)
{
    make_sheet(in, 60000, PLAIN);
    begin_model(in);
    text_add(&in->model, "keep: [");
    add_list(&in->model, 4000 / in->part, 0, "nobody knows the card ", "");
    text_add(&in->model, "]\n");
}

static void make_rules(Input *in)
{
    make_sheet(in, 60000, PLAIN);
    begin_model(in);
    text_add(&in->model, "rules:\n");
    for (unsigned k = 0; k < 1000 / in->part; k++)
        text_printf(&in->model, "  - {name: rule %u, where: {cost: {to: %u}, power: {from: %u.%u}}, at_least: %u}\n", k,
                    k % 8, k % 9, k % 10, k % 3);
}

static void make_columns(Input *in)
{
    make_sheet(in, 60000, COLUMNS);
    begin_model(in);
}

static void make_prices(Input *in)
{
    make_sheet(in, 60000, UNPRICED);
    begin_model(in);
    text_add(&in->model, "unpriced: 1\n");
    text_add(&in->scenario, "prices: [side.csv]\n");
    text_add(&in->side, "name,price,date\n");
    for (unsigned k = 0; k < 300000 / in->part; k++) {
        add_name(&in->side, in->cards / 2 + k % (2 * in->cards));
        text_printf(&in->side, ",%u.%02u,2026-01-%02u\n", draw(30), draw(100), 1 + draw(28));
    }
}

static void make_pool(Input *in)
{
    make_sheet(in, 60000, PLAIN);
    begin_model(in);
    text_add(&in->scenario, "pool: side.csv\n");
    text_add(&in->side, "name\n");
    for (unsigned k = 0; k < 20000 / in->part; k++)
        text_printf(&in->side, "unknown to all %u\n", k);
}

static void make_themes(Input *in)
{
    make_sheet(in, 60000, THEME_TAGS);
    begin_model(in);
    text_add(&in->model, "themes: [");
    add_list(&in->model, 2000 / in->part, 0, "{name: theme t", ", colours: brass}");
    text_add(&in->model, "]\nrules:\n  - {name: backed, each: theme, at_most: 40}\n");
}

static void make_where(Input *in)
{
    make_sheet(in, 60000, OWN_TAGS | TEXTS);
    begin_model(in);
    text_add(&in->model, "rules:\n  - name: tags\n    at_least: 1\n    where: {tag: [");
    add_list(&in->model, 10000 / in->part, 10000, "own tag t", "");
    text_add(&in->model, "]}\n  - name: names\n    at_least: 1\n    where: {name: [");
    add_names(&in->model, 10000 / in->part);
    text_add(&in->model, "]}\n  - name: column\n    at_least: 0\n    where: {text: [");
    add_list(&in->model, 10000 / in->part, 0, "such text ", "");
    text_add(&in->model, "]}\n  - name: numbers\n    at_least: 1\n    where: {cost: [");
    add_list(&in->model, 10000 / in->part, 3, "", "");
    text_add(&in->model, "]}\n");
}

static void make_unknown_where(Input *in)
{
    make_sheet(in, 60000, OWN_TAGS);
    begin_model(in);
    text_add(&in->model, "rules:\n  - name: tags\n    at_least: 0\n    where: {tag: [");
    add_list(&in->model, 2000 / in->part, 10000, "nobody has this ", "");
    text_add(&in->model, "]}\n  - name: names\n    at_least: 0\n    where: {name: [");
    add_list(&in->model, 2000 / in->part, 0, "nobody knows the card ", "");
    text_add(&in->model, "]}\n");
}

static void make_entries(Input *in)
{
    const unsigned count = 10000 / in->part; /* exempt; of the others together less than the 4096 rows of a search */
    make_sheet(in, 60000, PLAIN);
    begin_model(in);
    text_add(&in->model, "rules:\n  - {name: cheap, where: {cost: {to: 2}}, at_most: 300}\nexempt:\n");
    for (unsigned k = 0; k < count; k++) {
        text_add(&in->model, "  - {card: ");
        add_name(&in->model, k);
        text_add(&in->model, ", from: [cheap]}\n");
    }
    static const char *const key[] = {"needs", "apart", "groups", "together"};
    for (unsigned f = 0; f < 4; f++) {
        text_printf(&in->model, "%s:\n", key[f]);
        for (unsigned k = 0; k < count / 20; k++) {
            text_printf(&in->model, "  - {name: %s %u, %s: ", key[f], k, f == 0 ? "card" : "cards");
            text_add(&in->model, f == 0 ? "" : "[");
            add_name(&in->model, 4 * k);
            text_add(&in->model, f == 0 ? ", one_of: [" : ", ");
            add_name(&in->model, 4 * k + 1);
            text_printf(&in->model, "]%s}\n",
                        f == 0   ? ""
                        : f == 1 ? ", at_most: 1"
                        : f == 2 ? ", at_least: 1"
                                 : ", bonus: 1");
        }
    }
}

static void make_patterns(Input *in)
{
    make_sheet(in, 60000, TEXTS);
    begin_model(in);
    text_add(&in->model, "patterns:\n");
    for (unsigned k = 0; k < 100; k++)
        text_printf(&in->model, "  - {tag: seen t%u, text: \"\\\\b%s .{0,9}%s\"}\n", k, words[k % 16],
                    words[k / 7 % 16]);
}

static void make_doubles(Input *in)
{
    make_sheet(in, 60000, PLAIN);
    Text twice = {0};
    text_add(&twice, text_cstr(&in->sheet));
    text_add(&twice, strchr(text_cstr(&in->sheet), '\n') + 1);
    text_release(&in->sheet);
    in->sheet = twice;
    begin_model(in);
}

static void add_curve(Input *in)
{
    text_add(&in->model, "rules:\n"
                         "  - {name: colours, each: colour, where: {class: mono}, exactly: 90}\n"
                         "  - {name: early, each: colour, where: {cost: {to: 2}}, between: [20, 40]}\n"
                         "  - {name: late, each: colour, where: {cost: {from: 5}}, between: [20, 40]}\n"
                         "  - {name: mean, measure: cost, average_at_most: 3.5}\n");
}

static void make_swap(Input *in)
{
    make_sheet(in, 30000, TEXTS);
    begin_model(in);
    add_curve(in);
}

/* A present pool of 5,000 cards that breaks most of the rules. */
static void make_large_pool(Input *in)
{
    make_sheet(in, 60000, TEXTS);
    begin_model(in);
    add_curve(in);
    text_add(&in->scenario, "pool: side.csv\n");
    text_add(&in->side, "name\n");
    for (unsigned k = 0; k < 5000 / in->part; k++) {
        add_name(&in->side, 7 * k);
        text_add(&in->side, "\n");
    }
}

/* The pool is nearly all there is. */
static void make_whole(Input *in)
{
    make_sheet(in, 60000, PLAIN);
    begin_model(in);
    text_printf(&in->scenario, "change: {size: %u, spending_cap: none}\n", 50000 / in->part);
}

typedef struct {
    const char *name, *verb, *options;
    void (*make)(Input *in);
} Case;

static const Case cases[] = {
    {"60,000 candidates", "check", "", make_plain},
    {"180,000 tags", "check", "", make_tags},
    {"tag sheet of 200,000 lines", "check", "", make_tag_sheet},
    {"50,000 tags on a card", "check", "", make_one_card_tags},
    {"4,000 unknown names in keep", "check", "", make_unknown_keep},
    {"1,000 rules", "check", "", make_rules},
    {"60 columns", "check", "", make_columns},
    {"price sheet of 300,000 lines", "check", "", make_prices},
    {"pool of 20,000 unknown names", "check", "", make_pool},
    {"2,000 themes", "check", "", make_themes},
    {"filters of 10,000 values", "check", "", make_where},
    {"filters of 2,000 unknown values", "check", "", make_unknown_where},
    {"10,000 exempt, 2,000 needs, apart", "check", "", make_entries},
    {"100 patterns", "check", "", make_patterns},
    {"every line twice", "check", "", make_doubles},
    {"check --json", "check", "--json", make_columns},
    {"find, all in order", "find", "--sort=name", make_plain},
    {"audit of a pool of 5,000", "audit", "", make_large_pool},
    {"best: 50,000 of 60,000, --json", "best", "--json", make_whole},
    {"best", "best", "--json", make_swap},
    {"swap", "swap", "--json", make_swap},
};

static void write_file(const Input *in, const char *name, const Text *text)
{
    Diags diags;
    diags_init(&diags);
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", in->folder, name);
    if (!file_write(path, text_cstr(text), text->length, &diags)) {
        char *told = diags_text(&diags);
        fputs(told, stderr);
        exit(4);
    }
    diags_release(&diags);
}

static void measure(const char *program, const Case *c, const char *folder, unsigned part)
{
    Input in = {.folder = folder, .part = part};
    c->make(&in);
    write_file(&in, "cards.csv", &in.sheet);
    write_file(&in, "model.yaml", &in.model);
    write_file(&in, "scenario.yaml", &in.scenario);
    write_file(&in, "side.csv", &in.side);
    text_release(&in.sheet);
    text_release(&in.model);
    text_release(&in.scenario);
    text_release(&in.side);
    char scenario[1024], output[1024];
    snprintf(scenario, sizeof scenario, "%s/scenario.yaml", folder);
    snprintf(output, sizeof output, "%s/output.txt", folder);
    fflush(stdout);
    const pid_t child = fork();
    if (child == 0) {
        setrlimit(RLIMIT_CPU, &(struct rlimit){CPU_MOST, CPU_MOST});
        const int out = open(output, O_WRONLY | O_CREAT | O_TRUNC, 0644);
        dup2(out, STDOUT_FILENO);
        dup2(out, STDERR_FILENO);
        execl(program, program, c->verb, scenario, c->options[0] != '\0' ? c->options : (char *)NULL, (char *)NULL);
        _exit(126);
    }
    int status = 0;
    struct rusage usage;
    wait4(child, &status, 0, &usage);
    printf("%-34s %8.2f s %8.0f MB  exit %d\n", c->name,
           (double)(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
               (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e6,
           (double)usage.ru_maxrss / 1024, WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status));
}

int main(int argc, char **argv)
{
    if (argc < 3)
        return 2;
    const unsigned part = argc > 4 ? (unsigned)strtoul(argv[4], NULL, 10) : 1;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++)
        if (argc <= 3 || strcmp(argv[3], "all") == 0 || strcmp(argv[3], cases[k].name) == 0)
            measure(argv[1], &cases[k], argv[2], part > 0 ? part : 1);
    return 0;
}
