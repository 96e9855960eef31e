/* terminal.c - see terminal.h. */
#include "verbs/frame/terminal.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#define WIDTH_UNKNOWN 80
#define WIDTH_LEAST 20
#define WIDTH_MOST 100000

static bool takes_escapes(int descriptor)
{
    const char *terminal = getenv("TERM");
    return isatty(descriptor) && terminal != NULL && terminal[0] != '\0' && strcmp(terminal, "dumb") != 0;
}

Style terminal_style(void)
{
    const char *no_colour = getenv("NO_COLOR");
    Style style = {.colour = takes_escapes(STDOUT_FILENO) && (no_colour == NULL || no_colour[0] == '\0')};
    struct winsize size;
    const char *columns = getenv("COLUMNS");
    const long wanted = columns != NULL ? strtol(columns, NULL, 10) : 0;
    style.width = wanted >= WIDTH_LEAST && wanted <= WIDTH_MOST ? (int)wanted : WIDTH_UNKNOWN;
    if (isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
        style.width = size.ws_col;
    return style;
}

bool terminal_shows_progress(void)
{
    return takes_escapes(STDERR_FILENO);
}

void terminal_progress(const char *line)
{
    struct winsize size;
    const bool known = ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 1;
    /* the last column stays free: some terminals go to the next line with it; our lines are ASCII */
    fprintf(stderr, "\r\033[K%.*s", (known ? size.ws_col : WIDTH_UNKNOWN) - 1, line);
}

void terminal_progress_end(void)
{
    fputs("\r\033[K", stderr);
}
