/* test_stop.c - signals: what was found is shown and said to be cut short, or the exit code is the signal's; no file is
 * left half written. They come at named stages (src/verbs/frame/rehearse.c), never by the clock. */
#include <errno.h>
#include <setjmp.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/desk.h"

#define DEMO "scenarios/demo"
#define STAGE "POOLWRIGHT_TEST_SIGNAL"

static void run_stopped(const char *folder, const char *stop, const char *const *words, Run *run)
{
    setenv(STAGE, stop, 1);
    run_poolwright(folder, words, NULL, run);
    unsetenv(STAGE);
}

static char *here(void)
{
    char *folder = getcwd(NULL, 0);
    assert_non_null(folder);
    return folder;
}

/* Every verb says that it was stopped, or shows nothing and ends as the signal says. */
static void verbs_say_that_they_were_stopped(void **state)
{
    (void)state;
    static const struct {
        const char *stop, *word[8];
        int code;
        const char *says;
    } asked[] = {
        {"2@read", {"best", DEMO}, 130, ""},
        {"15@read", {"check", DEMO}, 143, ""},
        {"1@read", {"find", DEMO}, 129, ""},
        {"2@search", {"best", DEMO}, 130, "Stopped before a first pool was found"},
        {"1@search", {"best", DEMO}, 129, "Stopped before a first pool was found"},
        {"2@pool", {"best", DEMO, "--gap", "0"}, 3, "topped"},
        {"2@limits", {"best", DEMO}, 0, "Stopped: what stands here holds"},
        {"2@limits", {"best", DEMO, "--json"}, 0, "\"stopped\": true"},
        {"2@search", {"revise", DEMO}, 130, "Stopped before a pool was found"},
        {"2@search", {"revise", DEMO, "--json"}, 130, "\"stopped\": true"},
        {"2@pool", {"revise", DEMO}, 130, "Stopped before a pool was found"},
        {"0@pool,0@pool,0@pool,0@pool,2@pool", {"revise", DEMO}, 3, "Stopped: what stands here holds"},
        {"2@search", {"audit", DEMO}, 1, "Stopped: what stands here holds"},
        {"2@pool", {"audit", DEMO, "--gap", "0"}, 1, "The search was stopped early"},
        {"2@pool", {"audit", DEMO, "--gap", "0", "--json"}, 1, "\"stopped\": true"},
        {"2@pool", {"what-if", DEMO}, 3, "Stopped: what stands here holds"},
        {"0@pool,0@pool,2@pool", {"what-if", DEMO, "--caps", "200..500/50"}, 3, "Stopped: what stands here holds"},
        {"0@pool,0@pool,2@pool", {"what-if", DEMO, "--caps", "300..500"}, 3, "Stopped: what stands here holds"},
        {"0@pool,0@pool,2@pool", {"what-if", DEMO, "--caps", "300..500", "--json"}, 3, "\"stopped\": true"},
        {"2@search", {"swap", DEMO}, 130, "Stopped before a first pool was found"},
        {"2@pool", {"swap", DEMO}, 130, "Stopped before a card was looked at"},
        {"2@cards", {"swap", DEMO}, 3, "Stopped: what stands here holds"},
        {"2@limits", {"why", DEMO, "Maëlle the Caulker"}, 3, "Stopped: what stands here holds"},
    };
    char *folder = here();
    for (size_t k = 0; k < sizeof asked / sizeof *asked; k += sanitised() ? 3 : 1) { /* a second each there */
        Run run;
        run_stopped(folder, asked[k].stop, asked[k].word, &run);
        if (run.code != asked[k].code || strstr(run.out, asked[k].says) == NULL ||
            (asked[k].says[0] == '\0' && run.out[0] != '\0'))
            fail_msg("%s %s: exit code %d, expected %d and '%s' in\n%s", asked[k].word[0], asked[k].stop, run.code,
                     asked[k].code, asked[k].says, run.out);
        run_forget(&run);
    }
    free(folder);
}

/* After the first signal a case is not begun any more: what-if reads nothing for it. */
static void no_further_case_is_begun(void **state)
{
    (void)state;
    char *folder = here();
    Run run;
    run_stopped(folder, "2@pool", (const char *const[]){"what-if", DEMO, "--json", NULL}, &run);
    json_t *root = run_json(&run);
    assert_int_equal(json_array_size(json_object_get(root, "cases")), 1);
    json_decref(root);
    run_forget(&run);
    free(folder);
}

static void ignored_signals_stay_ignored(void **state)
{
    (void)state;
    static const int number[] = {SIGHUP, SIGINT, SIGTERM};
    char *folder = desk_folder("", "", "name,power\nAnt,3\nBee,2\nCow,1\n");
    for (size_t k = 0; k < sizeof number / sizeof *number; k++) {
        char stop[40];
        Run run;
        snprintf(stop, sizeof stop, "%d@read,%d@search", number[k], number[k]);
        void (*before)(int) = signal(number[k], SIG_IGN); /* as nohup does; the program inherits it */
        run_stopped(folder, stop, WORDS("best", "scenario.yaml"), &run);
        signal(number[k], before);
        desk_expect_code(&run, 0, stop);
        run_forget(&run);
    }
    desk_done(folder);
}

static void assert_only(const char *folder, const char *names)
{
    Run run;
    run_program("ls", folder, WORDS("-A"), &run);
    for (char *c = run.out; *c != '\0'; c++)
        if (*c == '\n')
            *c = ' ';
    assert_string_equal(run.out, names);
    run_forget(&run);
}

#define SOUND "cards.csv model.yaml scenario.yaml "

/* Between the writing and the renaming of a list. */
static void files_are_whole_or_absent(void **state)
{
    (void)state;
    char *folder = desk_folder("", "", "name,power\nAnt,3\nBee,2\nCow,1\n");
    const char *const best[] = {"best", "scenario.yaml", "-o", "pool.csv", "--shopping", "buy.csv", NULL};
    Run run;
    run_stopped(folder, "2@search,2@files", WORDS("find", "scenario.yaml", "-o", "x.csv"), &run);
    desk_expect_code(&run, 0, "no search here, so no such stage");
    run_forget(&run);
    run_program("rm", folder, WORDS("x.csv"), &run);
    run_forget(&run);

    run_stopped(folder, "2@files", WORDS("find", "scenario.yaml", "-o", "x.csv"), &run);
    desk_expect_code(&run, 130, "nothing is shown yet");
    assert_only(folder, SOUND);
    run_forget(&run);

    run_stopped(folder, "2@pool,15@files", best, &run); /* the second signal means it */
    desk_expect_code(&run, 143, "two signals");
    assert_string_equal(run.out, "");
    assert_only(folder, SOUND);
    run_forget(&run);

    run_stopped(folder, "9@files", best, &run);
    desk_expect_code(&run, 137, "killed");
    assert_false(folder_has(folder, "pool.csv"));
    run_forget(&run);
    run_program("sh", folder, WORDS("-c", "ls -A | grep -c '^.poolwright-.*tmp$'"), &run);
    assert_string_equal(run.out, "2\n"); /* nothing can be done about that, until */
    run_forget(&run);

    run_stopped(folder, "2@files", best, &run); /* the answer is whole: it is written and shown */
    desk_expect_code(&run, 0, "a first signal while files are written");
    assert_only(folder, "buy.csv cards.csv model.yaml pool.csv scenario.yaml ");
    run_forget(&run);
    desk_done(folder);
}

/* The program waits for the rest of standard input. It has read on, since a pipe does not hold so much. */
static void waiting_for_input_ends_at_once(void **state)
{
    (void)state;
    static const int number[] = {SIGINT, SIGTERM, SIGHUP};
    char *folder = desk_folder("", "", "name\n");
    char *sheet = calloc(1, 300001);
    memset(sheet, 'x', 300000);
    for (size_t k = 0; k < sizeof number / sizeof *number; k++) {
        int ends[2];
        assert_int_equal(pipe(ends), 0);
        const pid_t child = fork();
        if (child == 0) {
            dup2(ends[0], 0);
            close(ends[0]);
            close(ends[1]);
            if (chdir(folder) == 0)
                execl(program_path(), "poolwright", "best", "-", "--model", "model.yaml", (char *)NULL);
            _exit(99);
        }
        close(ends[0]);
        assert_int_equal(write(ends[1], sheet, 300000), 300000);
        kill(child, number[k]);
        int status = 0;
        pid_t ended = 0;
        for (int tenth = 0; tenth < 100 && ended == 0; tenth++) { /* a tenth of that is enough on an idle machine */
            ended = waitpid(child, &status, WNOHANG);
            if (ended == 0)
                nanosleep(&(struct timespec){.tv_nsec = 100000000}, NULL);
        }
        if (ended == 0)
            kill(child, SIGKILL);
        close(ends[1]);
        assert_int_equal(ended, child);
        assert_true(WIFEXITED(status));
        assert_int_equal(WEXITSTATUS(status), 128 + number[k]);
    }
    free(sheet);
    desk_done(folder);
}

int main(void)
{
    signals_as_usual();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(verbs_say_that_they_were_stopped), cmocka_unit_test(no_further_case_is_begun),
        cmocka_unit_test(ignored_signals_stay_ignored),     cmocka_unit_test(files_are_whole_or_absent),
        cmocka_unit_test(waiting_for_input_ends_at_once),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
