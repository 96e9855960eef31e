/* certificates.c - see certificates.h. */
#include "support/certificates.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>

#include <cmocka.h>

#include "search/certificate/certificate_file.h"
#include "search/certificate/checker.h"
#include "search/certify.h"
#include "support/programme_make.h"

bool certificate_made(const SearchProblem *p, const SearchProblem *stated, int64_t wanted, const int64_t *x,
                      int64_t effort, Certificate *c)
{
    SearchOptions options;
    int64_t pivots = 0;
    search_options_default(&options);
    options.effort = effort;
    return search_certify(p, stated, &options, wanted, x, c, &pivots);
}

const char *certificate_trouble(const SearchProblem *p, const Certificate *c)
{
    size_t at = 0;
    return certificate_check(p, c, &at);
}

/* One number of it is another one. */
static void change(Certificate *c, uint64_t *state)
{
    const uint64_t pick = programme_random(state);
    const int64_t by = (int64_t)(programme_random(state) % 7) - 3;
    if (c->steps == 0)
        return;
    CertificateStep *step = &c->step[pick % c->steps];
    switch (programme_random(state) % 8) {
    case 0:
        if (c->terms > 0)
            __builtin_mul_overflow(c->term[pick % c->terms].multiplier, by, &c->term[pick % c->terms].multiplier);
        break;
    case 1:
        if (c->terms > 0)
            __builtin_add_overflow(c->term[pick % c->terms].multiplier, by * (INT64_C(1) << 38),
                                   &c->term[pick % c->terms].multiplier);
        break;
    case 2:
        if (c->terms > 0)
            c->term[pick % c->terms].row += (int)by;
        break;
    case 3: step->divisor += by; break;
    case 4: step->at += by; break;
    case 5: step->column += (int)by; break;
    case 6:
        if (c->uppers > 0)
            c->upper[pick % c->uppers] += (int)by;
        break;
    case 7: step->kind = (CertificateKind)((step->kind + 1) % 5); break;
    }
}

/* Nothing proves what is false. */
void certificate_refuse_changed(const SearchProblem *p, Certificate *c, int64_t false_wanted, uint64_t seed)
{
    uint64_t state = seed;
    const int64_t wanted = c->wanted;
    c->wanted = false_wanted;
    if (certificate_trouble(p, c) == NULL)
        fail_msg("seed %llu: what is false was proven", (unsigned long long)seed);
    for (int k = 0; k < 30; k++) {
        change(c, &state);
        if (certificate_trouble(p, c) == NULL)
            fail_msg("seed %llu, change %d: what is false was proven", (unsigned long long)seed, k);
    }
    c->wanted = wanted;
}

/* As a file and back it is the same. */
void certificate_expect_readable(const SearchProblem *p, const Certificate *c)
{
    Text text = {0}, again = {0};
    Certificate read;
    CertificateShape shape;
    Diags diags;
    diags_init(&diags);
    certificate_write(c, (CertificateShape){.columns = p->columns, .rows = p->rows}, &text);
    assert_true(certificate_read("p", text_cstr(&text), text.length, &read, &shape, &diags));
    assert_int_equal(shape.columns, p->columns);
    assert_int_equal(shape.rows, p->rows);
    certificate_write(&read, shape, &again);
    assert_string_equal(text_cstr(&again), text_cstr(&text));
    assert_null(certificate_trouble(p, &read));
    certificate_release(&read);
    text_release(&text);
    text_release(&again);
    diags_release(&diags);
}
