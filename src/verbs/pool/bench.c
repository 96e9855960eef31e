/* bench.c - files -> best pool -> one section of it, who is next in line, what is settled -> report and sheet. */
#include "report/list/bench_report.h"
#include "report/json/json.h"
#include "report/layout/format.h"
#include "verbs/frame/explain_job.h"
#include "verbs/outputs/outputs.h"

#define SETTLE_EFFORT 2000000 /* pivots to prove the least money, unless --effort says otherwise */

static int exit_code(const Job *job, const BenchView *view)
{
    const Settle *s = view->settle;
    const bool settled = view->answer->status == ANSWER_BEST || view->answer->status == ANSWER_WITHIN_GAP;
    const bool least = s == NULL || (s->has_low && s->low == s->high);
    return settled && least && !job_is_cancelled(job) ? EXIT_ANSWERED : job_stopped_code(job, true);
}

static int show(Job *job, const BenchView *view)
{
    bool good = true;
    Text out = {0}, sheet = {0};
    bench_sheet(view, &sheet);
    const char *written = output_sheet(job, view->section->name, view->instance, &sheet);
    const int code = job->diags.errors > 0 ? EXIT_COULD_NOT_RUN : exit_code(job, view);
    if (is_stdout(job->options.output))
        return code;
    if (job->options.json)
        good = bench_json(view, &job->diags, &out);
    else
        bench_text(view, job_sections(job).full, written, &job->style, &out);
    if (!job->options.json && job_is_cancelled(job))
        text_add(&out, STOPPED_EARLY);
    return job_print(job, good, &out, code);
}

static bool settle(Job *job, const Programme *programme, const Answer *answer, const Bench *bench, Settle *found)
{
    SearchOptions options;
    int *settled = mem_new(job->instance->cards->count + 1, sizeof *settled);
    for (size_t k = 0; k < bench->ins; k++)
        settled[bench->in[k]] = answer->copies[bench->in[k]];
    job_search_options(job, &options);
    if (options.effort == 0)
        options.effort = SETTLE_EFFORT;
    const bool good = settle_find(programme, settled, answer->copies, &options, found, &job->diags);
    job_progress_end(job);
    mem_free(settled);
    return good;
}

static int find(Job *job, const Programme *programme, const Section *section, const Answer *answer)
{
    Bench bench;
    Settle settled = {0};
    int code = EXIT_COULD_NOT_RUN;
    bench_find(job->instance, answer->copies, section, &bench);
    const BenchView view = {.instance = job->instance,
                            .answer = answer,
                            .section = section,
                            .bench = &bench,
                            .settle = job->options.settle ? &settled : NULL};
    if (!job->options.settle || settle(job, programme, answer, &bench, &settled))
        code = show(job, &view);
    settle_release(&settled);
    bench_release(&bench);
    return code;
}

/* Nothing to show a section of. */
static int without_pool(Job *job, const Answer *answer)
{
    const bool none = answer->status == ANSWER_INFEASIBLE;
    const int code = none ? EXIT_ANSWER_NO : job_stopped_code(job, false);
    Text out = {0};
    if (job->options.json) {
        json_t *root = json_object();
        json_object_set_new(root, "status", json_string(answer_status_name(answer->status)));
        json_object_set_new(root, "notices", json_notices(&job->diags));
        return job_print(job, json_finish(root, &out), &out, code);
    }
    text_add(&out, none ? NO_POOL_SEE_BEST : STOPPED_WITHOUT_POOL);
    return job_print(job, true, &out, code);
}

static bool read_section(Job *job, Section *section)
{
    if (job->options.words > 0)
        return section_read(job->instance->model, job->options.word[0], job->options.arena, section, &job->diags);
    diag_error(&job->diags, (SourcePos){0},
               "found no section, expected a theme or a colour behind the scenario, such as `poolwright bench %s %s`",
               text_shell_word(job->options.arena, job->options.subject),
               text_shell_word(job->options.arena, job->instance->model->themes > 0
                                                       ? job->instance->model->theme[0].name
                                                       : job->instance->model->colour[0]));
    return false;
}

int verb_bench(Job *job)
{
    Programme *programme = NULL;
    Answer answer = {0};
    Section section;
    int code = EXIT_BAD_INPUT;
    if (!outputs_go_together(job) || !job_read(job) || !read_section(job, &section) ||
        !outputs_good(job, job->scenario, &code))
        goto done;
    programme = programme_new(job->instance, &job->diags);
    if (programme == NULL)
        goto done;
    code = EXIT_COULD_NOT_RUN;
    job_stop_gently(job);
    if (explain_base(job, programme, &answer))
        code = answer.has_pool ? find(job, programme, &section, &answer) : without_pool(job, &answer);
done:
    job_show_problems(job);
    answer_release(&answer);
    programme_free(programme);
    return code;
}
