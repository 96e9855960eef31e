/* make_manual.c - make-manual FOLDER DATA: writes poolwright.1 and poolwright-VERB.1 of each verb into the folder. DATA
 * is where models and examples are installed. A program of the build, that is not installed. */
#include <stdio.h>

#include "base/files/file_draft.h"
#include "verbs/manual/pages.h"

static void write_page(const char *folder, const char *verb, Text *page, Diags *diags)
{
    char path[4096];
    snprintf(path, sizeof path, "%s/poolwright%s%s.1", folder, verb != NULL ? "-" : "", verb != NULL ? verb : "");
    file_write(path, text_cstr(page), page->length, diags);
    text_clear(page);
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        fputs("usage: make-manual FOLDER DATA\n", stderr);
        return 2;
    }
    Diags diags;
    Text page = {0};
    diags_init(&diags);
    manual_program(&page, argv[2]);
    write_page(argv[1], NULL, &page, &diags);
    for (VerbId id = 0; id < VERB_COUNT; id++) {
        manual_verb(&page, verb_info(id));
        write_page(argv[1], verb_info(id)->name, &page, &diags);
    }
    const bool good = diags.errors == 0;
    char *problems = diags_text(&diags);
    fputs(problems, stderr);
    mem_free(problems);
    text_release(&page);
    diags_release(&diags);
    return good ? 0 : 4;
}
