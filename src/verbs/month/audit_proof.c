/* audit_proof.c - list and proof, or the proof alone -> checked -> what follows of them. */
#include "verbs/month/audit_proof.h"

#include "report/list/proof_report.h"
#include "search/certificate/certificate_file.h"
#include "search/certificate/checker.h"

/* False with an error where the proof does not hold. */
static bool proof_holds(Job *job, const SearchProblem *p, const Certificate *certificate, CertificateShape shape)
{
    static const char hint[] = "is the scenario as it was when the proof was written, with the same options?";
    const char *file = job->options.proof;
    size_t at = 0;
    if (shape.columns != p->columns || shape.rows != p->rows) {
        diag_error(&job->diags, (SourcePos){.file = file, .line = shape.line},
                   "the proof is of a programme of %d columns and %d rows, this scenario's has %d and %d: %s",
                   shape.columns, shape.rows, p->columns, p->rows, hint);
        return false;
    }
    const char *trouble = certificate_check(p, certificate, &at);
    if (trouble == NULL)
        return true;
    if (at < certificate->steps)
        diag_error(&job->diags, (SourcePos){.file = file, .line = certificate->step[at].line},
                   "the proof does not hold: of this step, %s; %s", trouble, hint);
    else
        diag_error(&job->diags, (SourcePos){.file = file}, "the proof does not hold: %s; %s", trouble, hint);
    return false;
}

static int show(Job *job, const ProvenPool *proven)
{
    Text out = {0};
    bool good = true;
    if (job->options.json)
        good = proof_json(proven, &job->diags, &out);
    else
        proof_text(proven, &out);
    return job_print(job, good, &out, proven->broken > 0 ? EXIT_ANSWER_NO : EXIT_ANSWERED);
}

/* Cards that are no candidates, or more or fewer copies than may be. */
static size_t faults_of(const Instance *in, const PoolFile *list)
{
    size_t faults = list->unknowns;
    for (size_t c = 0; c < in->cards->count; c++)
        faults += list->copies[c] < in->least[c] || list->copies[c] > in->most[c];
    return faults;
}

static void count_pool(const Instance *in, const PoolFile *list, ProvenPool *proven)
{
    PoolCheck check;
    pool_check(in, list->copies, &check);
    proven->pool = list->path;
    proven->fit = check.fit;
    proven->broken = pool_broken_limits(&check) + faults_of(in, list);
    pool_check_release(&check);
}

int audit_proof(Job *job, const Loaded *loaded, const PoolFile *list)
{
    Programme *stated = NULL;
    const char *path = job->options.proof;
    Certificate certificate;
    CertificateShape shape;
    Arena *arena = arena_new();
    size_t length = 0;
    int code = EXIT_BAD_INPUT;
    if (job->options.output != NULL || job->options.against != NULL) {
        diag_error(&job->diags, (SourcePos){0}, "%s does not go with --proof: nothing is %s",
                   job->options.output != NULL ? "-o" : "--against",
                   job->options.output != NULL ? "mended" : "compared");
        goto done;
    }
    stated = programme_compact(loaded->instance, &job->diags); /* as export writes it */
    if (stated == NULL)
        goto done;
    const char *text = file_store_read(job->files, arena, path, (SourcePos){0}, &length, &job->diags);
    if (text == NULL || !certificate_read(path, text, length, &certificate, &shape, &job->diags))
        goto done;
    code = EXIT_ANSWER_NO;
    if (proof_holds(job, &stated->problem, &certificate, shape)) {
        ProvenPool proven = {.proof = path,
                             .any = certificate.wanted != CERTIFICATE_ANY,
                             .most = certificate.wanted - (certificate.wanted != CERTIFICATE_ANY),
                             .steps = certificate.steps};
        if (list != NULL)
            count_pool(loaded->instance, list, &proven);
        if (list != NULL && proven.broken == 0 && (!proven.any || proven.most < proven.fit)) {
            diag_error(&job->diags, (SourcePos){.file = path},
                       "the proof and the pool contradict each other, which is a fault of the program");
            code = EXIT_COULD_NOT_RUN;
        } else
            code = show(job, &proven);
    }
    certificate_release(&certificate);
done:
    programme_free(stated);
    arena_free(arena);
    return code;
}
