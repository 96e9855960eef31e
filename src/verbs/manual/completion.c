/* completion.c - see completion.h. Names of verbs and options, and words, hold letters and hyphens only: none is
 * quoted. */
#include "verbs/manual/completion.h"

#include <string.h>

#include "verbs/options/option_table.h"

static void add_verbs(Text *out)
{
    for (VerbId id = 0; id < VERB_COUNT; id++)
        text_printf(out, "%s ", verb_info(id)->name);
    text_add(out, "--help --version");
}

static void add_options(const VerbInfo *verb, Text *out)
{
    text_printf(out, "        '%s -') words='", verb->name);
    for (size_t k = 0; k < option_count; k++) {
        const OptionInfo *option = &option_table[k];
        if (option->verbs & VERB_BIT(verb->id))
            text_printf(out, "%s%s%s ", option->alias != NULL ? option->alias : "", option->alias != NULL ? " " : "",
                        option->name);
    }
    text_add(out, "' ;;\n");
}

/* Behind an option that takes some words: "lp|mps" as "lp mps". */
static void add_words(const VerbInfo *verb, Text *out)
{
    for (size_t k = 0; k < option_count; k++) {
        const OptionInfo *option = &option_table[k];
        if (!(option->verbs & VERB_BIT(verb->id)) || option->words == NULL)
            continue;
        text_printf(out, "        '%s %s') words='", verb->name, option->name);
        for (const char *c = option->words; *c != '\0'; c++)
            text_add_char(out, *c == '|' ? ' ' : *c);
        text_add(out, "' ;;\n");
    }
}

void completion_bash(Text *out)
{
    text_add(out, "# Completion for bash: verbs, options and their words. Made with the program.\n"
                  "_poolwright()\n"
                  "{\n"
                  "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} words=\n"
                  "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
                  "        words='");
    add_verbs(out);
    text_add(out, "'\n"
                  "    else\n"
                  "        [[ $word != -* ]] || before=-\n"
                  "        case \"${COMP_WORDS[1]} $before\" in\n");
    for (VerbId id = 0; id < VERB_COUNT; id++) {
        add_options(verb_info(id), out);
        add_words(verb_info(id), out);
    }
    text_add(out, "        esac\n"
                  "    fi\n"
                  "    COMPREPLY=($(compgen -W \"$words\" -- \"$word\"))\n"
                  "}\n"
                  "complete -o default -F _poolwright poolwright\n");
}
