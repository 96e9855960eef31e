/* main.c - poolwright VERB ... */
#include <locale.h>
#include <stdio.h>
#include <string.h>

#include "verbs/job.h"

static int show(void (*add)(Text *), FILE *to, int code)
{
    Text text = {0};
    add(&text);
    bool good = fputs(text_cstr(&text), to) >= 0 && fflush(to) == 0;
    text_release(&text);
    return good ? code : EXIT_COULD_NOT_RUN;
}

static void add_version(Text *out)
{
    text_add(out, "poolwright " POOLWRIGHT_VERSION "\n");
}

int main(int argc, char **argv)
{
    setlocale(LC_CTYPE, ""); /* never LC_NUMERIC: decimal points must stay points */
    if (argc < 2)
        return show(help_general, stderr, EXIT_BAD_INPUT);
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0 || strcmp(argv[1], "help") == 0) {
        const VerbInfo *about = argc > 2 ? verb_find(argv[2]) : NULL;
        char *help[] = {"--help"};
        return about != NULL ? job_run(about, 1, help) : show(help_general, stdout, EXIT_ANSWERED);
    }
    if (strcmp(argv[1], "--version") == 0)
        return show(add_version, stdout, EXIT_ANSWERED);
    const VerbInfo *verb = verb_find(argv[1]);
    if (verb != NULL)
        return job_run(verb, argc - 2, argv + 2);
    const char *near = verb_nearest(argv[1]);
    fprintf(stderr, "error: unknown verb '%s', expected one that poolwright --help lists%s%s%s\n", argv[1],
            near != NULL ? "; did you mean '" : "", near != NULL ? near : "", near != NULL ? "'?" : "");
    return EXIT_BAD_INPUT;
}
