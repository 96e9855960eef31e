/* job.h - what every verb does around its own work: read the files, show problems, write the answer, end with the right
 * code. */
#ifndef POOLWRIGHT_VERBS_JOB_H
#define POOLWRIGHT_VERBS_JOB_H

#include "model/instance.h"
#include "report/table.h"
#include "verbs/options.h"
#include "programme/answer.h"
#include "whatif/ground.h"
#include "whatif/pool_file.h"

/* docs/verbs.md */
enum { EXIT_ANSWERED = 0, EXIT_ANSWER_NO = 1, EXIT_BAD_INPUT = 2, EXIT_STOPPED = 3, EXIT_COULD_NOT_RUN = 4 };

typedef struct {
    Options options;
    Diags diags;
    Scenario *scenario;
    Instance *instance;
    Style style;
} Job;

/* Reads scenario and sheets. False after errors (they are in job->diags). */
bool job_read(Job *job);
/* Only says where presets are looked for; job_read does it too. */
void job_model_folders(Job *job);
/* Errors and notices to standard error; notices only if there are no errors and not under --json. */
void job_show_problems(Job *job);
/* Writes to standard output; EXIT_COULD_NOT_RUN with a message when that fails, else code. */
int job_print(Job *job, const Text *out, int code);
/* Is `path`, which `option` names or leads to, none of the files that the scenario or the command line reads (but for
 * the present pool)? False with an error. */
bool job_spares_inputs(Job *job, const Scenario *scenario, const char *option, const char *path);
/* Before a search: that, and can it be written as far as one can know? NULL and "-" may. False with an error in
 * job->diags and the exit code in *code, which is unchanged otherwise. */
bool job_may_write(Job *job, const Scenario *scenario, const char *option, const char *path, int *code);
/* Has a signal asked to stop? */
bool job_is_cancelled(void);
/* Search options from the command line, with progress on terminals and cancellation by SIGINT and SIGTERM. */
void job_search_options(const Job *job, SearchOptions *options);
/* Wipes the progress line. */
void job_progress_end(void);

/* The list named behind the subject, else the scenario's present pool. False with an error. */
bool job_read_pool(Job *job, const Ground *ground, PoolFile *list);

bool job_is_stdout(const char *path); /* NULL is not */
/* False with an error when --json and -o would both go to standard output. */
bool job_one_output(Job *job);
/* The folder that -o names, made if it is not there. False with an error. */
bool job_make_folder(Job *job);
/* The answer's pool (NULL or none: nothing) as a sheet where -o says. False with an error; *written: there is a file
 * now. */
bool job_write_pool(Job *job, const Instance *instance, const Answer *answer, bool *written);
/* Prints what a report made and frees it; good false: it could not be made as JSON. */
int job_print_json(Job *job, bool good, Text *out, int code);

/* Parses the rest of the command line and runs the verb; the exit code. */
int job_run(const VerbInfo *verb, int argc, char **argv);

int verb_check(Job *job);
int verb_best(Job *job);
int verb_why(Job *job);
int verb_swap(Job *job);
int verb_init(Job *job);
int verb_what_if(Job *job);
int verb_audit(Job *job);
int verb_revise(Job *job);
int verb_feedback(Job *job);
int verb_find_cards(Job *job);
int verb_export(Job *job);

#endif
