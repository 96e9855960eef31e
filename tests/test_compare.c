/* test_compare.c - powers moved as little as possible, against trying all and against pooling adjacent violators; and
 * questions of `compare` on small random scenarios of which every pool is tried: a question is asked only where its two
 * answers have different best pools, and both pools that are told are the best. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"
#include "support/run.h"
#include "whatif/powers/least_change.h"

/* ---- least change ---- */

static int64_t squares(const int64_t *a, const int64_t *b, size_t count)
{
    int64_t sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += (a[i] - b[i]) * (a[i] - b[i]);
    return sum;
}

static bool meets(const int64_t *x, const Above *above, size_t aboves)
{
    for (size_t k = 0; k < aboves; k++)
        if (x[above[k].high] < x[above[k].low] + above[k].by)
            return false;
    return true;
}

/* The least sum of squares by trying all points near; -1: none meets the conditions. */
static int64_t least_by_trying(const int64_t *from, size_t count, const Above *above, size_t aboves)
{
    enum { LOW = -7, HIGH = 13 };
    int64_t x[4] = {LOW, LOW, LOW, LOW}, least = -1;
    for (;;) {
        const int64_t sum = squares(x, from, count);
        if ((least < 0 || sum < least) && meets(x, above, aboves))
            least = sum;
        size_t i = 0;
        while (i < count && ++x[i] > HIGH)
            x[i++] = LOW;
        if (i == count)
            return least;
    }
}

static void least_change_against_trying_all(void **state)
{
    (void)state;
    Dice dice;
    int circles = 0, moved = 0;
    dice_seed(&dice, 5);
    for (int round = 0; round < sanitised_share(150); round++) {
        const size_t count = (size_t)(round % 5 == 0 ? 4 : dice_roll(&dice, 2, 3));
        const size_t aboves = (size_t)dice_roll(&dice, 1, 4);
        int64_t from[4], x[4], again[4];
        Above above[4], turned[4];
        for (size_t i = 0; i < count; i++)
            from[i] = x[i] = again[i] = dice_roll(&dice, 0, 6);
        for (size_t k = 0; k < aboves; k++) {
            above[k].high = (size_t)dice_roll(&dice, 0, (int)count - 1);
            above[k].low = (above[k].high + (size_t)dice_roll(&dice, 1, (int)count - 1)) % count;
            above[k].by = dice_roll(&dice, -1, 2);
            turned[aboves - 1 - k] = above[k];
        }
        const int64_t least = least_by_trying(from, count, above, aboves);
        assert_int_equal(least_change(x, count, above, aboves), least >= 0);
        if (least < 0) {
            assert_memory_equal(x, from, count * sizeof *x);
            circles++;
            continue;
        }
        assert_true(meets(x, above, aboves));
        assert_int_equal(squares(x, from, count), least);
        assert_true(least_change(again, count, turned, aboves));
        assert_memory_equal(x, again, count * sizeof *x);
        moved += least > 0;
    }
    print_message("least change: %d moved, %d circles\n", moved, circles);
    assert_true(moved >= sanitised_share(50) && circles >= sanitised_share(15));
}

/* A chain of ten, against pooling adjacent violators (M. Ayer, H. D. Brunk, G. M. Ewing, W. T. Reid, E. Silverman,
 * "An empirical distribution function for sampling with incomplete information", Annals of Mathematical Statistics
 * 26(4), 1955), which is exact where averages are whole: all numbers are multiples of 2520. */
static void least_change_of_a_chain(void **state)
{
    (void)state;
    enum { N = 10 };
    Dice dice;
    dice_seed(&dice, 6);
    for (int round = 0; round < sanitised_share(12); round++) {
        int64_t x[N], sum[N];
        int size[N];
        size_t blocks = 0;
        Above above[N - 1];
        for (size_t i = 0; i < N; i++)
            x[i] = 2520 * dice_roll(&dice, -9, 9);
        for (size_t i = 0; i + 1 < N; i++)
            above[i] = (Above){.high = i + 1, .low = i};
        for (size_t i = 0; i < N; i++) {
            sum[blocks] = x[i];
            size[blocks++] = 1;
            for (; blocks > 1 && sum[blocks - 2] * size[blocks - 1] >= sum[blocks - 1] * size[blocks - 2]; blocks--) {
                sum[blocks - 2] += sum[blocks - 1];
                size[blocks - 2] += size[blocks - 1];
            }
        }
        assert_true(least_change(x, N, above, N - 1));
        for (size_t b = 0, i = 0; b < blocks; b++)
            for (int k = 0; k < size[b]; k++, i++)
                assert_int_equal(x[i], sum[b] / size[b]);
    }
}

/* ---- small scenarios ---- */

#define CARDS 9
#define NONE INT64_MIN

typedef struct {
    int colour, power, tag, price, copies; /* power: halves; tag: weight of the theme, 0: none; price: tenths */
    bool keep;
} Made;

typedef struct {
    Made card[CARDS];
    int size, cap, linen_least, strong_least, strong_most; /* strong: cards of power 5 and more; 0: no such rule */
    bool together;                                         /* the first two cards add 1 to fit where both are in */
    int weight;                                            /* of power, tenths */
} Scene;

static void make(Scene *s, Dice *dice)
{
    const int step = dice_chance(dice, 50) ? 2 : 1;
    const int low = dice_chance(dice, 50) ? 8 : 6, high = low == 8 ? 11 : 14;
    *s = (Scene){
        .size = dice_roll(dice, 3, 4), .cap = dice_roll(dice, 30, 60), .weight = dice_chance(dice, 70) ? 10 : 5};
    s->linen_least = dice_roll(dice, 0, 2);
    s->strong_least = dice_chance(dice, 15);
    s->together = dice_chance(dice, 40);
    s->strong_most = s->strong_least == 0 && dice_chance(dice, 35) ? dice_roll(dice, 1, 3) : 0;
    for (int c = 0; c < CARDS; c++) {
        s->card[c] = (Made){.colour = dice_roll(dice, 0, 1), .power = step * dice_roll(dice, low / step, high / step)};
        s->card[c].tag = dice_chance(dice, 40) ? dice_roll(dice, 1, 3) : 0;
        s->card[c].price = dice_roll(dice, 1, 20);
        s->card[c].copies = dice_chance(dice, 15) ? 2 : 1;
        s->card[c].keep = dice_chance(dice, 5);
    }
}

static void write_files(const Scene *s, const char *folder)
{
    char text[4096];
    int n = snprintf(text, sizeof text, "name,colours,power,price,copies,status,tags\n");
    for (int c = 0; c < CARDS; c++) {
        const Made *m = &s->card[c];
        n += snprintf(text + n, sizeof text - (size_t)n, "Card %c,%s,%d.%d,%d.%d0,%d,%s,", 'a' + c,
                      m->colour == 0 ? "linen" : "brass", m->power / 2, m->power % 2 * 5, m->price / 10, m->price % 10,
                      m->copies, m->keep ? "keep" : "");
        if (m->tag > 0)
            n += snprintf(text + n, sizeof text - (size_t)n, "eels %d", m->tag);
        n += snprintf(text + n, sizeof text - (size_t)n, "\n");
    }
    folder_print(folder, "cards.csv", text);
    n = snprintf(text, sizeof text,
                 "size: %d\ncolours: [linen, brass]\nspending_cap: %d.%d0\nfit: {power: %d.%d}\n"
                 "themes: [{name: eels, weight: 0.5}]\n"
                 "%srules:\n  - {name: linen cards, where: {colours: linen}, at_least: %d}\n",
                 s->size, s->cap / 10, s->cap % 10, s->weight / 10, s->weight % 10,
                 s->together ? "together: [{cards: [Card a, Card b], bonus: 1}]\n" : "", s->linen_least);
    if (s->strong_least + s->strong_most > 0)
        snprintf(text + n, sizeof text - (size_t)n, "  - {name: strong, where: {power: {from: 5}}, %s: %d}\n",
                 s->strong_most > 0 ? "at_most" : "at_least", s->strong_most > 0 ? s->strong_most : 1);
    folder_print(folder, "model.yaml", text);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
}

/* Thousandths of fit by these powers (thousandths); NONE: some limit is broken. */
static int64_t judge(const Scene *s, const int *copies, const int64_t *power)
{
    int size = 0, price = 0, linen = 0, strong = 0;
    int64_t fit = 0;
    for (int c = 0; c < CARDS; c++) {
        const Made *m = &s->card[c];
        size += copies[c];
        price += copies[c] * m->price;
        linen += m->colour == 0 ? copies[c] : 0;
        strong += power[c] >= 5000 ? copies[c] : 0;
        fit += copies[c] * (power[c] * s->weight / 10 + 500 * m->tag);
        if (m->keep && copies[c] == 0)
            return NONE;
    }
    fit += s->together && copies[0] > 0 && copies[1] > 0 ? 1000 : 0;
    const bool kept = size == s->size && price <= s->cap && linen >= s->linen_least && strong >= s->strong_least;
    return kept && (s->strong_most == 0 || strong <= s->strong_most) ? fit : NONE;
}

#define POOLS_MOST 20000 /* 3^9 */

/* Which pools are best: best[k] for the k-th; *fit is theirs. */
static void find_best(const Scene *s, const int64_t *power, bool *best, int64_t *fit)
{
    static int64_t value[POOLS_MOST];
    int copies[CARDS] = {0}, count = 0;
    *fit = NONE;
    for (int c = 0; c < CARDS;) {
        value[count] = judge(s, copies, power);
        *fit = value[count] > *fit ? value[count] : *fit;
        count++;
        for (c = 0; c < CARDS && ++copies[c] > s->card[c].copies; c++)
            copies[c] = 0;
    }
    for (int k = 0; k < POOLS_MOST; k++)
        best[k] = k < count && *fit != NONE && value[k] == *fit;
}

/* The powers that an answer proposes: those of the sheet, but for cards that it names. NULL: those of the sheet. */
static void powers_of(const Scene *s, const json_t *root, int64_t *power)
{
    const json_t *item;
    size_t index;
    for (int c = 0; c < CARDS; c++)
        power[c] = 500 * s->card[c].power;
    json_array_foreach (json_object_get(root, "cards"), index, item) {
        power[json_text(item, "name")[5] - 'a'] = json_units(item, "new_power", 1000);
    }
}

static json_t *run_with(const char *folder, const json_t *questions, int code)
{
    json_t *answers = json_pack("{s:O}", "questions", questions);
    char *text = json_dumps(answers, 0);
    folder_print(folder, "answers.json", text);
    free(text);
    json_decref(answers);
    return run_answer(folder, code, (const char *const[]){"compare", ".", "--json", "--answers", "answers.json", NULL});
}

/* Both pools that are told are the best by their powers, and the powers agree with the answers. */
static void check_pools(const Scene *s, const json_t *root)
{
    static bool best[POOLS_MOST];
    int64_t power[CARDS], plain[CARDS], fit;
    powers_of(s, NULL, plain);
    powers_of(s, root, power);
    find_best(s, plain, best, &fit);
    assert_int_equal(json_units(json_object_get(root, "before"), "fit", 1000), fit);
    find_best(s, power, best, &fit);
    assert_int_equal(json_units(json_object_get(root, "after"), "fit", 1000), fit);
    const json_t *question;
    size_t index;
    json_array_foreach (json_object_get(root, "questions"), index, question) {
        const char *answer = json_string_value(json_object_get(question, "answer"));
        const int first = json_text(question, "first")[5] - 'a', second = json_text(question, "second")[5] - 'a';
        if (answer == NULL || strcmp(answer, "neither") == 0)
            continue;
        const int better = strcmp(answer, "first") == 0 ? first : second, worse = first + second - better;
        assert_true(power[better] * s->weight + 5000 * s->card[better].tag >
                    power[worse] * s->weight + 5000 * s->card[worse].tag);
        assert_int_equal(power[better] % 500, 0);
    }
}

/* The question that is open, NULL: none. Borrowed. */
static json_t *open_question(const json_t *root)
{
    const json_t *questions = json_object_get(root, "questions");
    json_t *last = json_array_get(questions, json_array_size(questions) - 1);
    return json_array_size(questions) > 0 && json_is_null(json_object_get(last, "answer")) ? last : NULL;
}

static void find_now(const Scene *s, const char *folder, const json_t *questions, bool *best)
{
    int64_t power[CARDS], fit;
    json_t *root = run_with(folder, questions, 0);
    powers_of(s, root, power);
    find_best(s, power, best, &fit);
    json_decref(root);
}

/* Solved both ways: some pool that is best before the answer is best after at most one of the answers, and so the best
 * pools after both are not the same. after: what is said with either answer, released by the caller. */
static void check_question(const Scene *s, const char *folder, json_t *questions, json_t *question, json_t *after[2])
{
    static bool best[2][POOLS_MOST], now[POOLS_MOST];
    json_object_set_new(question, "answer", json_null());
    find_now(s, folder, questions, now);
    static const char *const answers[] = {"first", "second"};
    for (int k = 0; k < 2; k++) {
        int64_t power[CARDS], fit;
        json_object_set_new(question, "answer", json_string(answers[k]));
        after[k] = run_with(folder, questions, 0);
        powers_of(s, after[k], power);
        find_best(s, power, best[k], &fit);
    }
    bool differs = false;
    for (int k = 0; k < POOLS_MOST; k++)
        differs = differs || (now[k] && !(best[0][k] && best[1][k]));
    if (!differs || memcmp(best[0], best[1], sizeof best[0]) == 0)
        fail_msg("%s: %s or %s: the same pools are best after either answer", folder, json_text(question, "first"),
                 json_text(question, "second"));
}

/* Answers at random until nothing more is asked. */
static int walk(const Scene *s, const char *folder, Dice *dice)
{
    json_t *none = json_array(), *root = run_with(folder, none, 0);
    int asked = 0;
    for (json_t *open = open_question(root); open != NULL; open = open_question(root)) {
        json_t *questions = json_object_get(root, "questions"), *after[2], *next;
        check_pools(s, root);
        check_question(s, folder, questions, open, after);
        if (dice_chance(dice, 15)) {
            json_object_set_new(open, "answer", json_string("neither"));
            next = run_with(folder, questions, 0);
        } else {
            next = json_incref(after[dice_roll(dice, 0, 1)]);
        }
        json_decref(after[0]);
        json_decref(after[1]);
        json_decref(root);
        root = next;
        asked++;
    }
    check_pools(s, root);
    json_decref(root);
    json_decref(none);
    assert_true(asked <= 10);
    return asked;
}

static void questions_change_the_pool(void **state)
{
    (void)state;
    int asked = 0, scenes = 0;
    const int scenarios = (int)scenarios_wanted(80);
    for (int k = 0; k < scenarios; k++) {
        static bool best[POOLS_MOST];
        Dice dice;
        Scene s;
        int64_t power[CARDS], fit;
        char *folder = folder_new();
        dice_seed(&dice, environment_number("POOLWRIGHT_SEED", 1) * 1000 + (uint64_t)k);
        make(&s, &dice);
        write_files(&s, folder);
        powers_of(&s, NULL, power);
        find_best(&s, power, best, &fit);
        if (fit != NONE) {
            asked += walk(&s, folder, &dice);
            scenes++;
        }
        folder_remove(folder);
        free(folder);
    }
    print_message("compare: %d questions in %d scenarios\n", asked, scenes);
    if (scenarios >= 8)
        assert_true(asked >= scenes);
}

/* ---- who answers ---- */

static const char small_cards[] = "name,power,tags\nAnchor,must,eels 1\nBuoy,good,\nCask,good,\nDavit,6.5,\nEel,2,\n";
static const char small_model[] = "size: 3\ncolours: [brass]\nthemes: [{name: eels}]\ngrades: {must: 9, good: 7}\n";

static char *small_folder(void)
{
    char *folder = folder_new();
    folder_print(folder, "cards.csv", small_cards);
    folder_print(folder, "model.yaml", small_model);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
    return folder;
}

/* Buoy and Cask, worth 7, are in; Davit, worth 6.5, is out. The least change that puts it half a point above Buoy is
 * half a point up for it and half a point down for Buoy; Cask is not moved by an answer that says nothing. */
static void typed_answers(void **state)
{
    (void)state;
    char *folder = small_folder();
    Run run;
    folder_print(folder, "typed", "3\n2\n\nq\n");
    run_poolwright(folder, WORDS("compare", ".", "--apply", "-o", "new.csv"), "typed", &run);
    assert_int_equal(run.code, 0);
    static const char *const pieces[] = {
        ("Question 1 of at most 10: which would you rather have?\n  1  Buoy: colourless, power 7\n"
         "  2  Davit: colourless, power 6.5\n1 or 2, Enter if you cannot say, q to end:   '3' is none of them.\n"),
        "Question 2 of at most 10", "The cards with the new powers: new.csv"};
    for (size_t k = 0; k < sizeof pieces / sizeof *pieces; k++)
        if (strstr(run.out, pieces[k]) == NULL)
            fail_msg("no \"%s\" in: %s", pieces[k], run.out);
    char *sheet = folder_read(folder, "new.csv", NULL);
    assert_non_null(strstr(sheet, "\nAnchor,must,eels 1\r\nBuoy,6.5,\r\nCask,good,\r\nDavit,7,\r\nEel,2,\r\n"));
    free(sheet);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void files_that_are_wrong(void **state)
{
    (void)state;
    static const struct {
        const char *text, *expected;
    } wrong[] = {
        {"{", "a.json:1:1: error: found no sound JSON"},
        {"[]", "a.json:1:1: error: found no list \"questions\""},
        {"{\"questions\": [{\"first\": \"Bouy\", \"second\": \"Cask\", \"answer\": \"first\"}]}",
         "a.json: error: question 1: no candidate is called 'Bouy'; did you mean 'Buoy'?"},
        {"{\"questions\": [{\"first\": \"Buoy\", \"answer\": \"first\"}]}", "question 1: found no name as \"second\""},
        {"{\"questions\": [{\"first\": \"Buoy\", \"second\": \"Cask\", \"answer\": \"both\"}]}",
         "question 1: found \"both\" as its answer, expected \"first\", \"second\", \"neither\" or null"},
        {"{\"questions\": [{\"first\": \"Buoy\", \"second\": \"buoy\", \"answer\": \"first\"}]}", "one card twice"},
        {"{\"questions\": [{\"first\": \"Buoy\", \"second\": \"Cask\", \"answer\": \"first\"},"
         "{\"first\": \"Cask\", \"second\": \"Davit\", \"answer\": \"first\"},"
         "{\"first\": \"Davit\", \"second\": \"Buoy\", \"answer\": \"first\"}]}",
         "question 3: found an answer that goes round in a circle"},
    };
    char *folder = small_folder();
    for (size_t k = 0; k < sizeof wrong / sizeof *wrong; k++) {
        Run run;
        folder_print(folder, "a.json", wrong[k].text);
        run_poolwright(folder, WORDS("compare", ".", "--answers", "a.json", "--apply", "-o", "new.csv"), NULL, &run);
        assert_int_equal(run.code, 2);
        if (strstr(run.err, wrong[k].expected) == NULL)
            fail_msg("%zu: %s", k, run.err);
        assert_false(folder_has(folder, "new.csv"));
        run_forget(&run);
    }
    folder_remove(folder);
    free(folder);
}

/* Without a proof nothing is asked, and the exit code says that the search was stopped. */
static void no_proof_no_question(void **state)
{
    (void)state;
    char *path = realpath("scenarios/demo", NULL), *folder = folder_new();
    Run run;
    run_poolwright(folder, WORDS("compare", path, "--effort", "300", "--json"), NULL, &run);
    assert_int_equal(run.code, 3);
    json_t *root = run_json(&run);
    assert_false(json_is_true(json_object_get(root, "proven")));
    assert_int_equal(json_array_size(json_object_get(root, "questions")), 0);
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
    free(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(least_change_against_trying_all),
        cmocka_unit_test(least_change_of_a_chain),
        cmocka_unit_test(questions_change_the_pool),
        cmocka_unit_test(typed_answers),
        cmocka_unit_test(files_that_are_wrong),
        cmocka_unit_test(no_proof_no_question),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
