/* certificate.c - see certificate.h. */
#include "search/certificate/certificate.h"

#include "base/memory.h"

void certificate_release(Certificate *certificate)
{
    mem_free(certificate->step);
    mem_free(certificate->term);
    mem_free(certificate->upper);
    *certificate = (Certificate){0};
}

CertificateStep *certificate_step(Certificate *c, CertificateKind kind, int depth)
{
    mem_reserve((void **)&c->step, &c->step_capacity, c->steps + 1, sizeof *c->step);
    CertificateStep *step = &c->step[c->steps++];
    *step = (CertificateStep){.kind = kind, .depth = depth, .first_term = c->terms, .first_upper = c->uppers};
    return step;
}

void certificate_term(Certificate *c, int row, int64_t multiplier)
{
    mem_reserve((void **)&c->term, &c->term_capacity, c->terms + 1, sizeof *c->term);
    c->term[c->terms++] = (CertificateTerm){row, multiplier};
    c->step[c->steps - 1].terms++;
}

void certificate_upper(Certificate *c, int column)
{
    mem_reserve((void **)&c->upper, &c->upper_capacity, c->uppers + 1, sizeof *c->upper);
    c->upper[c->uppers++] = column;
    c->step[c->steps - 1].uppers++;
}

void certificate_keep_uppers(Certificate *c, const bool *marked)
{
    CertificateStep *last = &c->step[c->steps - 1];
    size_t kept = 0;
    for (size_t u = 0; u < last->uppers; u++) {
        const int column = c->upper[last->first_upper + u];
        if (marked[column])
            c->upper[last->first_upper + kept++] = column;
    }
    last->uppers = kept;
    c->uppers = last->first_upper + kept;
}

void certificate_drop(Certificate *c)
{
    const CertificateStep *last = &c->step[--c->steps];
    c->terms = last->first_term;
    c->uppers = last->first_upper;
}
