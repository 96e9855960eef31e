/* page_files.h - the files of a scenario as the page holds them, under relative paths by which they find each other. */
#ifndef POOLWRIGHT_VERBS_POOL_PAGE_FILES_H
#define POOLWRIGHT_VERBS_POOL_PAGE_FILES_H

#include "page/page.h"
#include "verbs/frame/job.h"

typedef struct {
    PageFile *file;
    size_t count;
    const char *main;                         /* the scenario among them */
    const char *const *read, *const *in_page; /* [reads] paths as they were read, and of the same files in the page */
    size_t reads;
} PageFiles;

/* All that the job's scenario reads: paths as seen from the innermost folder that holds them, so that none tells where
 * on this machine they lie; presets also under models/. A cards sheet that was named with --model gets a scenario of
 * its own. In the job's arena; false with errors. */
bool page_files_read(Job *job, PageFiles *files);
/* The presets alone, for a page without a scenario. */
bool page_files_presets(Job *job, PageFiles *files);
/* The path in the page of a file that was read by this path; NULL: there is none. */
const char *page_files_path(const PageFiles *files, const char *read);

/* What a page is called: the folder of the scenario, or the sheet without its ending. In the arena. */
const char *page_title(Arena *arena, const Scenario *scenario);

#endif
