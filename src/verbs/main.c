/* main.c - poolwright VERB ... */
#include <fcntl.h>
#include <locale.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/files/file.h"
#include "report/layout/wrap.h"
#include "verbs/frame/signals.h"
#include "verbs/frame/terminal.h"

/* A file of ours never takes the place of a standard stream that was closed: reading and writing there fail instead. */
static void hold_standard_streams(void)
{
    for (int descriptor = 0; descriptor <= 2; descriptor++)
        if (fcntl(descriptor, F_GETFD) == -1 && open("/dev/null", descriptor == 0 ? O_WRONLY : O_RDONLY) < 0)
            return;
}

static int show(void (*add)(Text *))
{
    Text text = {0};
    add(&text);
    wrap_lines(&text, terminal_style().width);
    const int code = print_text(&text, EXIT_ANSWERED);
    text_release(&text);
    return code;
}

static int usage(void)
{
    Text text = {0};
    help_general(&text);
    wrap_lines(&text, terminal_style().width);
    fputs(text_cstr(&text), stderr);
    text_release(&text);
    return EXIT_BAD_INPUT;
}

static void add_version(Text *out)
{
    text_add(out, "poolwright " POOLWRIGHT_VERSION "\n");
}

static int run(Job *job, int argc, char **argv)
{
    if (argc < 2)
        return usage();
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0 || strcmp(argv[1], "help") == 0) {
        const VerbInfo *about = argc > 2 ? verb_find(argv[2]) : NULL;
        char *help[] = {"--help"};
        return about != NULL ? job_run(job, about, 1, help) : show(help_general);
    }
    if (strcmp(argv[1], "--version") == 0)
        return show(add_version);
    const VerbInfo *verb = verb_find(argv[1]);
    if (verb != NULL)
        return job_run(job, verb, argc - 2, argv + 2);
    const char *near = verb_nearest(argv[1]);
    if (near == NULL && file_exists(argv[1])) {
        fprintf(stderr, "error: found '%s' where a verb belongs, expected for instance: poolwright check %s\n", argv[1],
                argv[1]);
        return EXIT_BAD_INPUT;
    }
    fprintf(stderr, "error: unknown verb '%s', expected one that poolwright --help lists%s%s%s\n", argv[1],
            near != NULL ? "; did you mean '" : "", near != NULL ? near : "", near != NULL ? "'?" : "");
    return EXIT_BAD_INPUT;
}

int main(int argc, char **argv)
{
    Job job = {.options.overrides.clock = day_of_clock()};
    hold_standard_streams();
    setlocale(LC_CTYPE, ""); /* never LC_NUMERIC: decimal points must stay points */
    signals_watch(&job);
    return run(&job, argc, argv);
}
