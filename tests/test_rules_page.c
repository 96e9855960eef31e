/* test_rules_page.c - the limits of docs/rules.md: each is read over the demo's candidates as a user would paste
 * it, and counts what the page says, in the candidates and in the demo's best pool. UPDATE=1 writes the counts anew.
 * The pool is searched to the end, so this is not repeated under sanitizers. */
#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/files/file_draft.h"
#include "programme/count/checker.h"
#include "report/words/limit_words.h"
#include "support/desk.h"
#include "support/lab.h"
#include "whatif/list/pool_file.h"

#define SNIPPETS 43
#define MARK "*On the demo:* "

static char top[4096];
static char *pool; /* the demo's best pool as a sheet */

static int set_up(void **state)
{
    (void)state;
    assert_non_null(getcwd(top, sizeof top));
    Run run;
    run_poolwright(".", WORDS("best", "scenarios/demo", "-o", "-"), NULL, &run);
    desk_expect_code(&run, 0, "best scenarios/demo");
    pool = strdup(run.out);
    run_forget(&run);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    free(pool);
    return 0;
}

/* Lines that begin with a dash go under `rules`, others have a key of their own. */
static void open_with(Lab *lab, const char *snippet)
{
    Text model = {0}, scenario = {0};
    text_printf(&model,
                "extends: %s/models/four-base.yaml\nsize: 360\nseats: {seats: 8, packs: 3, pack_size: 15}\n%s%s\n", top,
                snippet[0] == '-' ? "rules:\n" : "", snippet);
    text_printf(&scenario, "model: m.yaml\ncards: [%s/scenarios/demo/cards.csv]\n", top);
    lab_open(lab);
    lab_file(lab, "m.yaml", text_cstr(&model));
    lab_file(lab, "s.yaml", text_cstr(&scenario));
    lab_file(lab, "pool.csv", pool);
    if (!lab_read(lab, "s.yaml") || strstr(lab->said, "m.yaml") != NULL)
        fail_msg("%s: %s", snippet, lab->said);
    text_release(&model);
    text_release(&scenario);
}

static size_t candidates_of(const Lab *lab, const RuleMember *member)
{
    size_t count = 0;
    for (size_t c = 0; c < lab->instance->cards->count; c++)
        count += member_counts(lab->instance, member, c);
    return count;
}

static bool is_kept(const LimitUse *use)
{
    return use->low_kept && use->high_kept && use->missed == 0;
}

/* "brass 242, has 56; glass 242, has 56 ..." */
static void add_use(const Lab *lab, const LimitUse *use, bool first, bool several, Text *out)
{
    Arena *arena = arena_new();
    text_add(out, first ? "" : "; ");
    const char *of = use->limit->of[0] != '\0' ? use->limit->of : use->limit->colour >= 0 ? use->limit->title : "";
    text_printf(out, "%s%s", of, of[0] != '\0' ? " " : "");
    if (use->limit->member != NULL)
        text_printf(out, several ? "%zu, " : "%zu candidates, ", candidates_of(lab, use->limit->member));
    text_printf(out, several ? "has %s" : "the pool has %s", limit_has_text(use, arena));
    if (use->limit->bounds.has_seen)
        text_printf(out, ", asks for %" PRId64, use->limit->bounds.low);
    if (!is_kept(use))
        text_add(out, " (breaks it)");
    arena_free(arena);
}

/* What the snippet's limits count, as the page should say; returns how many limits it makes. */
static size_t count_snippet(const char *snippet, Text *out)
{
    Lab lab;
    open_with(&lab, snippet);
    PoolFile file;
    assert_true(pool_file_read(lab.instance, "pool.csv", &file, &lab.diags));
    assert_int_equal(file.unknowns, 0);
    PoolCheck check;
    pool_check(lab.instance, file.copies, &check);
    assert_int_equal(check.size, 360);
    size_t limits = 0, at = 0;
    for (size_t k = 0; k < check.uses; k++)
        limits += check.use[k].limit->at.line >= 4 && strstr(check.use[k].limit->at.file, "m.yaml") != NULL;
    for (size_t k = 0; k < check.uses; k++)
        if (check.use[k].limit->at.line >= 4 && strstr(check.use[k].limit->at.file, "m.yaml") != NULL)
            add_use(&lab, &check.use[k], at++ == 0, limits > 1, out);
    text_add(out, ".");
    pool_check_release(&check);
    pool_file_release(&file);
    lab_close(&lab);
    return limits;
}

static void each_limit_counts_what_the_page_says(void **state)
{
    (void)state;
    char *page = folder_read("docs", "rules.md", NULL);
    assert_non_null(page);
    Text fresh = {0};
    const char *from = page, *begin;
    int snippets = 0, wrong = 0;
    while ((begin = strstr(from, "```yaml\n")) != NULL) {
        begin += strlen("```yaml\n");
        const char *end = strstr(begin, "\n```"), *said = strstr(end, MARK) + strlen(MARK);
        char *snippet = strndup(begin, (size_t)(end - begin));
        Text counted = {0};
        assert_true(count_snippet(snippet, &counted) > 0);
        const size_t length = strcspn(said, "\n");
        if (length != counted.length || strncmp(said, text_cstr(&counted), length) != 0) {
            print_error("%s\n  the page: %.*s\n  counted:  %s\n", snippet, (int)length, said, text_cstr(&counted));
            wrong++;
        }
        text_add_n(&fresh, from, (size_t)(said - from));
        text_add(&fresh, text_cstr(&counted));
        from = said + length;
        snippets++;
        text_release(&counted);
        free(snippet);
    }
    text_add(&fresh, from);
    assert_int_equal(snippets, SNIPPETS);
    if (getenv("UPDATE") != NULL) {
        Diags diags;
        diags_init(&diags);
        assert_true(file_write("docs/rules.md", text_cstr(&fresh), fresh.length, &diags));
        diags_release(&diags);
    } else
        assert_int_equal(wrong, 0);
    text_release(&fresh);
    free(page);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(each_limit_counts_what_the_page_says)};
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
