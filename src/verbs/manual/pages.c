/* pages.c - see pages.h. */
#include "verbs/manual/pages.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "verbs/manual/roff.h"
#include "verbs/options/option_table.h"

static void begin_page(Text *out, const char *name, const char *summary)
{
    text_add(out, ".TH ");
    for (const char *c = name; *c != '\0'; c++)
        text_add_char(out, (char)toupper((unsigned char)*c));
    text_printf(out, " 1 %s \"poolwright %s\" \"User Commands\"\n", POOLWRIGHT_DATE, POOLWRIGHT_VERSION);
    /* Words are not parted nor spread out: a command or a name stands as it is typed. */
    text_add(out, ".nh\n.ad l\n.SH NAME\n");
    roff_typed(out, name, strlen(name));
    text_add(out, " \\-\n");
    roff_paragraph(out, summary);
}

static void section(Text *out, const char *title)
{
    text_printf(out, ".SH %s\n", title);
}

static void paragraph(Text *out, const char *text)
{
    text_add(out, ".PP\n");
    roff_paragraph(out, text);
}

/* A bold word with what it means. */
static void entry(Text *out, const char *word, const char *meaning)
{
    text_add(out, ".TP 11\n\\fB");
    roff_typed(out, word, strlen(word));
    text_add(out, "\\fR\n");
    roff_paragraph(out, meaning);
}

/* Lines to type, as --help has them; what is too long for a screen goes on further in. */
static void commands(Text *out, const char *lines)
{
    for (const char *at = lines, *end; *at != '\0'; at = end + 1) {
        at += strspn(at, " ");
        end = strchr(at, '\n');
        text_add(out, at == lines + strspn(lines, " ") ? ".HP 4\n.PD 0\n" : ".HP 4\n");
        roff_command(out, at, (size_t)(end - at));
    }
    text_add(out, ".PD\n");
}

/* "poolwright best", then what stands behind it. */
static void synopsis(Text *out, const char *usage)
{
    text_add(out, ".HP 4\n");
    roff_usage(out, usage);
    text_add_char(out, '\n');
}

static void add_option(Text *out, const OptionInfo *option)
{
    text_add(out, ".TP 11\n");
    if (option->alias != NULL) {
        roff_usage(out, option->alias);
        text_add(out, ", ");
    }
    roff_usage(out, option->name);
    if (option->argument != NULL) {
        text_add(out, " \\fI");
        roff_typed(out, option->argument, strlen(option->argument));
        text_add(out, "\\fR");
    }
    text_add_char(out, '\n');
    Text help = {0};
    option_help(option, &help);
    roff_paragraph(out, text_cstr(&help));
    text_release(&help);
}

static void exit_status(Text *out)
{
    section(out, "EXIT STATUS");
    entry(out, "0", "answered");
    entry(out, "1", "the answer is no: no pool meets all limits, or the list breaks one");
    entry(out, "2", "something is wrong with a file or with what was typed; nothing was written");
    entry(out, "3", "stopped before the end, by the limit of effort or a signal; what was found until then is shown");
    entry(out, "4", "could not run, or a file could not be written");
}

static void see_also(Text *out, const VerbInfo *verb)
{
    section(out, "SEE ALSO");
    const char *between = "";
    if (verb != NULL) {
        text_add(out, ".BR poolwright (1)");
        between = ",\n";
    }
    for (VerbId id = 0; id < VERB_COUNT; id++) {
        const VerbInfo *other = verb_info(id);
        if (other == verb || (verb != NULL && strcmp(verb_group(other), verb_group(verb)) != 0))
            continue;
        text_printf(out, "%s.BR poolwright\\-", between);
        roff_typed(out, other->name, strlen(other->name));
        text_add(out, " (1)");
        between = ",\n";
    }
    text_add_char(out, '\n');
}

void manual_verb(Text *out, const VerbInfo *verb)
{
    char name[64];
    snprintf(name, sizeof name, "poolwright-%s", verb->name);
    begin_page(out, name, verb->summary);
    section(out, "SYNOPSIS");
    synopsis(out, verb->usage);
    section(out, "DESCRIPTION");
    roff_paragraph(out, verb->about);
    section(out, "OPTIONS");
    for (size_t k = 0; k < option_count; k++)
        if (option_table[k].verbs & VERB_BIT(verb->id))
            add_option(out, &option_table[k]);
    exit_status(out);
    section(out, "EXAMPLES");
    commands(out, verb->example);
    see_also(out, verb);
}

static void list_verbs(Text *out)
{
    section(out, "VERBS");
    roff_paragraph(out, "`poolwright` VERB `--help` and the page poolwright-VERB(1) say what a verb does, with its "
                        "options and an example.");
    for (VerbId id = 0; id < VERB_COUNT; id++) {
        const VerbInfo *verb = verb_info(id);
        if (verb->group != NULL) {
            text_add(out, ".PD\n.SS ");
            roff_typed(out, verb->group, strlen(verb->group));
            text_add(out, "\n.PD 0\n");
        }
        entry(out, verb->name, verb->summary);
    }
    text_add(out, ".PD\n");
}

static void files(Text *out, const char *share)
{
    char path[4096];
    section(out, "FILES");
    entry(out, "scenario.yaml",
          "one pool of yours: which sheets belong together, which model, cards to keep and ban, cases to try. A folder "
          "stands for the file of this name in it");
    entry(out, "model.yaml", "the limits, a line each: size, spending cap, colours, themes, rules");
    entry(out, "*.csv, *.tsv, *.xlsx, *.ods",
          "sheets: candidates, prices, owned cards, tags, targets, the present pool. They are only read, but where "
          "--apply says so");
    snprintf(path, sizeof path, "%s/poolwright/models", share);
    entry(out, path, "presets, which a scenario or --model names without a path: four-360 and others");
    snprintf(path, sizeof path, "%s/poolwright/scenarios", share);
    entry(out, path, "examples of an invented game");
    snprintf(path, sizeof path, "%s/doc/poolwright", share);
    entry(out, path, "README.md; docs/tutorial.md, a first pool step by step; and pages for looking things up");
}

static void environment(Text *out)
{
    section(out, "ENVIRONMENT");
    entry(out, "COLUMNS", "how wide the lines of an answer are where it goes to a file or a pipe; without it 80");
    entry(out, "NO_COLOR", "no bold and faint text on a terminal, if it is set to anything");
    entry(out, "TERM",
          "a terminal that is called dumb, or nothing, gets no bold and faint text and no line of progress");
    entry(out, "TMPDIR", "where workbooks are put together; without it /tmp");
}

void manual_program(Text *out, const char *share)
{
    begin_page(out, "poolwright", "the best card pool for drafting within limits and a spending cap, proven");
    section(out, "SYNOPSIS");
    synopsis(out, "poolwright VERB SCENARIO|CARDS.csv [options]");
    synopsis(out, "poolwright VERB --help");
    synopsis(out, "poolwright --version");
    section(out, "DESCRIPTION");
    roff_paragraph(out,
                   "You design a shared pool of cards for drafting: so many cards from a long list of candidates in a "
                   "spreadsheet, themes that drafters must be able to build, colours that are equally deep, few gold "
                   "cards, a curve, removal, and a fixed sum of money. `poolwright` chooses the pool with the greatest "
                   "fit to your themes that meets every one of these limits, proves how good it is, says which limits "
                   "cost fit and which one holds a wanted card back, and answers what-ifs.");
    paragraph(out, "It reads sheets as they are, and a short file of limits, which `import` or `init` write first. "
                   "Same files, same answer.");
    list_verbs(out);
    files(out, share);
    environment(out);
    exit_status(out);
    section(out, "EXAMPLES");
    roff_paragraph(out, "A first pool of your own list, at most 300.00 to buy:");
    commands(out, "  poolwright import list.xlsx -o my-pool\n"
                  "  poolwright best my-pool --cap 300 -o my-pool/pool.csv\n");
    paragraph(out, "The examples, in a folder to play in:");
    Arena *arena = arena_new();
    Text copy = {0};
    const char *examples = arena_printf(arena, "%s/poolwright", share);
    text_printf(&copy, "  cp -r %s play\n  cd play\n", text_shell_word(arena, examples));
    text_add(&copy, "  poolwright best scenarios/demo\n"
                    "  poolwright why scenarios/small \"Mail Dinghy\"\n"
                    "  poolwright what-if scenarios/demo\n");
    commands(out, text_cstr(&copy));
    text_release(&copy);
    arena_free(arena);
    see_also(out, NULL);
}
