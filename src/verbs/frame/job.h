/* job.h - what every verb does around its own work: read the files, show problems, write the answer, end with the right
 * code. */
#ifndef POOLWRIGHT_VERBS_FRAME_JOB_H
#define POOLWRIGHT_VERBS_FRAME_JOB_H

#include "base/files/file_draft.h"
#include "model/instance/instance.h"
#include "report/shown.h"
#include "report/layout/table.h"
#include "verbs/options/options.h"
#include "programme/answer.h"
#include "whatif/loaded.h"
#include "whatif/list/pool_file.h"

/* docs/verbs.md */
enum { EXIT_ANSWERED = 0, EXIT_ANSWER_NO = 1, EXIT_BAD_INPUT = 2, EXIT_STOPPED = 3, EXIT_COULD_NOT_RUN = 4 };

/* One run of one verb: all that it holds, so that nothing is static. */
typedef struct {
    const VerbInfo *verb;
    Options options;
    Diags diags;
    FileStore *files; /* that it reads, each once */
    Scenario *scenario;
    Instance *instance;
    Style style;
    FileDrafts drafts; /* the files that are being written */
    atomic_int signal; /* that asked to stop; 0: none */
    atomic_int gentle; /* what is found by then is shown; else a signal ends the run at once */
    bool made_folder;  /* that -o names */
    bool shows_progress;
    const char *rehearsal; /* rehearse.c; NULL: none */
} Job;

/* Reads scenario and sheets. False after errors (they are in job->diags). */
bool job_read(Job *job);
/* The folder of the program, in the arena; "." where the system does not say. */
const char *job_folder(Arena *arena);
/* Errors and notices to standard error; notices only if there are no errors and not under --json. */
void job_show_problems(Job *job);
/* From here on the first signal lets the search stop, and what was found is shown. */
void job_stop_gently(Job *job);
/* While somebody is asked for something a signal ends the run at once again. */
void job_waits(Job *job, bool waits);
/* Has a signal asked to stop? */
bool job_is_cancelled(const Job *job);
/* The exit code of a run that stopped early, by effort or signal: with nothing to show, that of the signal. */
int job_stopped_code(const Job *job, bool has_something);
/* Tests may stop a run here: "read", "search", "pool" (one is found), what explanations tell, "files" (written beside
 * their targets). */
void job_stage(Job *job, const char *stage);
/* That it may use: as asked for, else one for each processor. */
int job_threads(const Job *job);
/* Search options from the command line, with progress on terminals; the job may not move while they are used. */
void job_search_options(Job *job, SearchOptions *options);
/* How much of the answer is shown. */
Sections job_sections(const Job *job);
/* Wipes the progress line. */
void job_progress_end(const Job *job);

/* The list named behind the subject, else the scenario's present pool. False with an error. */
bool job_read_pool(Job *job, const Instance *instance, PoolFile *list);

/* A file that was written, as the scenario would name it: as seen from its folder. In the instance's arena. */
const char *job_names_file(const Job *job, const char *path);

/* The cards of these names, without doubles, into card[names]; false with errors for unknown ones. */
bool job_cards(Job *job, const char *const *name, size_t names, size_t *card, size_t *count);

/* Prints what a report made and releases it; its lines within the screen unless it is JSON or a sheet. good false: it
 * could not be made as JSON, which becomes an error. code, or EXIT_COULD_NOT_RUN. */
int job_print(Job *job, bool good, Text *out, int code);

/* Parses the rest of the command line and runs the verb; the exit code. */
int job_run(Job *job, const VerbInfo *verb, int argc, char **argv);
/* Writes to standard output; EXIT_COULD_NOT_RUN with the reason on standard error when that fails, else code. */
int print_text(const Text *out, int code);

int verb_check(Job *job);
int verb_best(Job *job);
int verb_why(Job *job);
int verb_swap(Job *job);
int verb_bench(Job *job);
int verb_init(Job *job);
int verb_import(Job *job);
int verb_what_if(Job *job);
int verb_audit(Job *job);
int verb_decks(Job *job);
int verb_seats(Job *job);
int verb_weigh(Job *job);
int verb_order(Job *job);
int verb_bought(Job *job);
int verb_slips(Job *job);
int verb_revise(Job *job);
int verb_feedback(Job *job);
int verb_compare(Job *job);
int verb_find_cards(Job *job);
int verb_export(Job *job);
int verb_ask(Job *job);
int verb_page(Job *job);
int verb_words(Job *job);

#endif
