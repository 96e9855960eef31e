/* explain_job.c - see explain_job.h. */
#include "verbs/frame/explain_job.h"

#include "programme/programme.h"
#include "verbs/frame/terminal.h"

static void show_progress(void *context, const char *what, int done, int of)
{
    Job *job = context;
    job_stage(job, what);
    if (!job->shows_progress)
        return;
    Text line = {0};
    text_printf(&line, "asking why: %s %d of %d (Ctrl-C: stop with what is proven)", what, done + 1, of);
    terminal_progress(text_cstr(&line));
    text_release(&line);
}

Inquiry job_inquiry(Job *job, const Instance *instance, SearchOptions *search)
{
    const Options *o = &job->options;
    job_search_options(job, search);
    return (Inquiry){.instance = instance,
                     .search = search,
                     .gap_given = o->gap_given,
                     .rules = o->rules,
                     .all = o->all,
                     .firm = o->firm,
                     .alternatives = o->alternatives,
                     .differ = o->differ,
                     .progress = show_progress,
                     .context = job};
}

bool explain_base(Job *job, const Programme *programme, Answer *answer)
{
    SearchOptions search;
    const Inquiry inquiry = job_inquiry(job, job->instance, &search);
    const bool found = inquire_base(&inquiry, programme, answer, &job->diags);
    job_progress_end(job);
    return found;
}

void explain_best(Job *job, Answer *answer, Explained *explained)
{
    SearchOptions search;
    const Inquiry inquiry = job_inquiry(job, job->instance, &search);
    inquire_screen(&inquiry, answer, explained, &job->diags);
    job_progress_end(job);
}

bool explain_causes(Job *job, const Instance *instance, Explained *explained)
{
    SearchOptions search;
    const Inquiry inquiry = job_inquiry(job, instance, &search);
    const bool found = inquire_causes(&inquiry, explained, &job->diags);
    job_progress_end(job);
    return found;
}
