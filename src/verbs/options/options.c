/* options.c - the command line parsed by the table of options, and the options in --help. */
#include "verbs/options/options.h"

#include <stdio.h>
#include <string.h>

#include "verbs/options/option_table.h"

typedef struct {
    const VerbInfo *verb;
    Options *options;
    Diags *diags;
    const char **word;               /* room for argc */
    const char *value[OPTIONS_MOST]; /* of each row of the table the value it was given, or NULL */
} Parser;

static const SourcePos command_line = {0};

/* One that goes with the verb, else one of that name. */
static const OptionInfo *option_find(VerbId verb, const char *name, size_t length)
{
    const OptionInfo *other = NULL;
    for (size_t k = 0; k < option_count; k++) {
        const OptionInfo *option = &option_table[k];
        bool named =
            (strlen(option->name) == length && strncmp(option->name, name, length) == 0) ||
            (option->alias != NULL && strlen(option->alias) == length && strncmp(option->alias, name, length) == 0);
        if (named && (option->verbs & VERB_BIT(verb)))
            return option;
        if (named)
            other = option;
    }
    return other;
}

static void unknown_option(Parser *p, const char *name)
{
    const char *known[OPTIONS_MOST];
    size_t count = 0;
    for (size_t k = 0; k < option_count; k++)
        if (option_table[k].verbs & VERB_BIT(p->verb->id))
            known[count++] = option_table[k].name;
    const char *near = text_nearest(name, known, count);
    if (near != NULL)
        diag_error(p->diags, command_line, "unknown option %s; did you mean %s?", name, near);
    else
        diag_error(p->diags, command_line, "unknown option %s; poolwright %s --help lists the options", name,
                   p->verb->name);
}

/* Is it given once more than it may be? Which of two values was meant cannot be known. */
static bool stands_twice(Parser *p, const OptionInfo *option, const char *value)
{
    const char **before = &p->value[option - option_table];
    if (value == NULL || option->take == take_list || option->take == take_words)
        return false;
    if (*before != NULL)
        diag_error(p->diags, command_line, "%s: found twice, '%s' and '%s', expected once", option->name, *before,
                   value);
    else
        *before = value;
    return *before != value;
}

static void apply(Parser *p, const OptionInfo *option, const char *value)
{
    Options *o = p->options;
    if (stands_twice(p, option, value))
        return;
    if (option->take(option, value, o)) {
        if (option->given != 0)
            *(bool *)((char *)o + option->given) = true;
        return;
    }
    value = option_wrong_part(option, value, o->arena);
    const char *expected = option_expected(option, o->arena), *near = option_nearest_word(option, value, o->arena);
    const char *found = value[0] != '\0' ? arena_printf(o->arena, "'%s'", value) : "nothing";
    diag_error(p->diags, command_line, "%s: found %s, expected %s%s%s%s", option->name, found, expected,
               near != NULL ? "; did you mean " : "", near != NULL ? near : "", near != NULL ? "?" : "");
}

static void take_subject_or_word(Parser *p, const char *word)
{
    Options *o = p->options;
    if (p->verb->needs_subject && o->subject == NULL)
        o->subject = word;
    else if (o->words < p->verb->max_words)
        p->word[o->words++] = word;
    else if (p->diags->errors == 0) /* after a wrong option its value would be blamed too */
        diag_error(p->diags, command_line,
                   "unexpected word '%s' (text with blanks stands in straight quotes); usage: %s", word,
                   p->verb->usage);
}

/* "–cap": programs that write letters make one long dash of two hyphens. */
static bool has_long_dash(Parser *p, const char *word)
{
    const size_t dash = strlen("\xE2\x80\x93");
    if (strncmp(word, "\xE2\x80\x93", dash) != 0 && strncmp(word, "\xE2\x80\x94", dash) != 0)
        return false;
    const char *meant = arena_printf(p->options->arena, "--%s", word + dash);
    const char *equals = strchr(meant, '=');
    if (option_find(p->verb->id, meant, equals != NULL ? (size_t)(equals - meant) : strlen(meant)) == NULL)
        return false;
    diag_error(p->diags, command_line, "found '%s' with a long dash, expected two hyphens: %s", word, meant);
    return true;
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
    if (!(option->verbs & VERB_BIT(p->verb->id))) {
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

/* Lists get room for all words of the command line; what has a fallback gets it. */
static void begin(Options *options, size_t room)
{
    for (size_t k = 0; k < option_count; k++) {
        const OptionInfo *option = &option_table[k];
        if (option->take == take_list)
            *(const char ***)((char *)options + option->to) = arena_alloc(options->arena, room, sizeof(const char *));
        if (option->fallback != NULL)
            option->take(option, option->fallback, options);
    }
}

bool options_parse(const VerbInfo *verb, int argc, char **argv, Options *options, Diags *diags)
{
    const size_t room = (size_t)argc + 1;
    Parser p = {.verb = verb, .options = options, .diags = diags};
    p.word = arena_alloc(options->arena, room, sizeof *p.word);
    options->word = p.word;
    options->verb = verb->name;
    begin(options, room);
    if (!valid_words(argc, argv, diags))
        return false;
    bool only_words = false;
    for (int k = 0; k < argc;) {
        if (!only_words && strcmp(argv[k], "--") == 0) {
            only_words = true;
            k++;
        } else if (!only_words && argv[k][0] == '-' && argv[k][1] != '\0')
            k += take_option(&p, argc, argv, k);
        else if (!only_words && has_long_dash(&p, argv[k]))
            k++;
        else
            take_subject_or_word(&p, argv[k++]);
    }
    if (options->help)
        return diags->errors == 0;
    if (verb->needs_subject && options->subject == NULL && diags->errors == 0)
        diag_error(diags, command_line, "expected %s; usage: %s",
                   verb->id == VERB_INIT     ? "a folder to write"
                   : verb->id == VERB_IMPORT ? "a sheet"
                                             : "a scenario or a cards sheet",
                   verb->usage);
    if (options->differ_given && options->alternatives == 0)
        diag_error(diags, command_line, "--differ: expected --alternatives K with it, how many other pools to show");
    if (verb->id == VERB_WHY && options->words == 0 && diags->errors == 0)
        diag_error(diags, command_line, "expected the name of a card; usage: %s", verb->usage);
    return diags->errors == 0;
}

void option_help(const OptionInfo *option, Text *out)
{
    text_add(out, option->help);
    if (option->most > 0)
        text_printf(out, " (%d to %d", (int)option->least, (int)option->most);
    if (option->fallback != NULL)
        text_printf(out, "%sdefault %s", option->most > 0 ? ", " : " (", option->fallback);
    if (option->most > 0 || option->fallback != NULL)
        text_add_char(out, ')');
}

void help_verb(const VerbInfo *verb, Text *out)
{
    text_printf(out, "usage: %s\n\n%s\n\noptions:\n", verb->usage, verb->about);
    for (size_t k = 0; k < option_count; k++) {
        const OptionInfo *option = &option_table[k];
        if (!(option->verbs & VERB_BIT(verb->id)))
            continue;
        char left[64];
        snprintf(left, sizeof left, "%s%s%s%s%s", option->alias != NULL ? option->alias : "",
                 option->alias != NULL ? ", " : "", option->name, option->argument != NULL ? " " : "",
                 option->argument != NULL ? option->argument : "");
        text_printf(out, "  %-24s ", left);
        option_help(option, out);
        text_add_char(out, '\n');
    }
    text_printf(out, "\nexample:\n%s", verb->example);
}
