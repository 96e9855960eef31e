/* make_manual.c - make-manual FOLDER DATA: writes poolwright.1 and poolwright-VERB.1 of each verb into the folder. DATA
 * is where models and examples are installed. A program of the build, that is not installed. */
#include <stdio.h>
#include <string.h>

#include "base/files/file_draft.h"
#include "verbs/manual/completion.h"
#include "verbs/manual/pages.h"

static void write_page(const char *folder, const char *verb, Text *page, Diags *diags)
{
    char path[4096];
    snprintf(path, sizeof path, "%s/poolwright%s%s.1", folder, verb != NULL ? "-" : "", verb != NULL ? verb : "");
    file_write(path, text_cstr(page), page->length, diags);
    text_clear(page);
}

static void write_pages(const char *folder, const char *share, Diags *diags)
{
    Text page = {0};
    manual_program(&page, share);
    write_page(folder, NULL, &page, diags);
    for (VerbId id = 0; id < VERB_COUNT; id++) {
        manual_verb(&page, verb_info(id));
        write_page(folder, verb_info(id)->name, &page, diags);
    }
    text_release(&page);
}

static void write_completion(Diags *diags)
{
    Text script = {0};
    completion_bash(&script);
    file_write("-", text_cstr(&script), script.length, diags);
    text_release(&script);
}

int main(int argc, char **argv)
{
    Diags diags;
    diags_init(&diags);
    if (argc == 2 && strcmp(argv[1], "completion") == 0)
        write_completion(&diags);
    else if (argc == 3)
        write_pages(argv[1], argv[2], &diags);
    else
        diag_error(&diags, (SourcePos){0}, "usage: make-manual FOLDER SHARE, or make-manual completion");
    const bool good = diags.errors == 0;
    char *problems = diags_text(&diags);
    fputs(problems, stderr);
    mem_free(problems);
    diags_release(&diags);
    return good ? 0 : 4;
}
