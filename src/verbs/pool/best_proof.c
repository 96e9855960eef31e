/* best_proof.c - answer -> certificate -> text. */
#include "verbs/pool/best_proof.h"

#include <inttypes.h>

#include "report/layout/format.h"
#include "search/certificate/certificate_file.h"
#include "search/certify.h"

#define USUAL_EFFORT 5000000 /* pivots, without --effort: a minute or so */

bool best_proof_is_due(const Job *job, const Answer *answer)
{
    return job->options.proof != NULL && (answer->has_pool ? answer->has_bound : answer->status == ANSWER_INFEASIBLE);
}

static void add_head(const Job *job, const Answer *answer, Text *out)
{
    Arena *arena = arena_new();
    char subject[TEXT_EXCERPT]; /* on one line */
    text_printf(out, "# No pool of %s ", text_excerpt(subject, job->options.subject));
    if (answer->has_pool)
        text_printf(out, "has more than %s of fit", format_number(arena, answer->bound));
    else
        text_add(out, "keeps all limits");
    text_add(out, ". poolwright audit --proof goes over these steps; what they mean is in\n"
                  "# docs/proofs.md. Columns and rows are those that poolwright export writes.\n");
    arena_free(arena);
}

bool best_proof_find(Job *job, const Programme *programme, const Answer *answer, Text *out)
{
    const SearchProblem *p = &programme->problem;
    Programme *stated = programme_at_risk(programme) ? programme_compact(job->instance, &job->diags) : NULL;
    if (stated == NULL && programme_at_risk(programme))
        return false;
    const SearchProblem *about = stated != NULL ? &stated->problem : p;
    int64_t *x = mem_new((size_t)p->columns + 1, sizeof *x), pivots = 0;
    SearchOptions options;
    Certificate certificate = {0};
    job_search_options(job, &options);
    options.effort = job->options.effort > 0 ? job->options.effort : USUAL_EFFORT;
    const int64_t wanted = answer->has_pool ? answer->bound + 1 : CERTIFICATE_ANY;
    const bool found = (!answer->has_pool || programme_solution(programme, answer->copies, x)) &&
                       search_certify(p, about, &options, wanted, answer->has_pool ? x : NULL, &certificate, &pivots);
    job_progress_end(job);
    if (found) {
        add_head(job, answer, out);
        certificate_write(&certificate, (CertificateShape){.columns = about->columns, .rows = about->rows}, out);
    } else if (job_is_cancelled(job))
        diag_error(&job->diags, (SourcePos){0}, "--proof: '%s' is not written: the search for a proof was stopped",
                   job->options.proof);
    else
        diag_error(&job->diags, (SourcePos){0},
                   "--proof: '%s' is not written: no proof of few enough steps was found with %" PRId64
                   " pivots; --effort %" PRId64 "M looks further",
                   job->options.proof, pivots, 2 + 2 * options.effort / 1000000);
    certificate_release(&certificate);
    programme_free(stated);
    mem_free(x);
    return found;
}
