/* test_model.c - models, targets and scenarios: every key, layers, and the size that a bound remembers. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "support/lab.h"

#define BASE "size: 360\ncolours: [brass, glass, linen, tar]\n"
#define THEMES "themes:\n  - {name: convoys, colours: brass+linen, weight: 1.5}\n  - {name: eels, colours: tar}\n"

/* ---- helpers ---- */

static const Rule *find_rule(const Lab *lab, const char *name)
{
    const Model *model = lab->scenario->model;
    for (size_t r = 0; r < model->rules; r++)
        if (strcmp(model->rule[r].name, name) == 0)
            return &model->rule[r];
    return NULL;
}

static const Rule *need_rule(const Lab *lab, const char *name)
{
    const Rule *rule = find_rule(lab, name);
    if (rule == NULL)
        fail_msg("no rule '%s'", name);
    return rule;
}

static const Bounds *own_bounds(const Rule *rule, const char *member)
{
    for (size_t i = 0; i < rule->owns; i++)
        if (strcmp(rule->own[i].member, member) == 0)
            return &rule->own[i].bounds;
    return NULL;
}

static void assert_bounds(const Bounds *bounds, BoundKind kind, int64_t low, int64_t high, int size_at)
{
    assert_non_null(bounds);
    assert_int_equal(bounds->kind, kind);
    assert_int_equal(bounds->has_low, low >= 0);
    assert_int_equal(bounds->has_high, high >= 0);
    if (low >= 0)
        assert_int_equal(bounds->low, low);
    if (high >= 0)
        assert_int_equal(bounds->high, high);
    assert_int_equal(bounds->size_at, size_at);
}

static void need_model(Lab *lab, const char *model, const char *scenario_lines)
{
    lab_model(lab, model, scenario_lines);
    if (!lab_read_model(lab, "s.yaml") || lab->diags.count > 0)
        fail_msg("%s", lab->said);
}

/* ---- keys ---- */

static void every_key_of_a_model_is_read(void **state)
{
    (void)state;
    Lab lab;
    need_model(&lab,
               "size: {from: 350, to: 360}\nspending_cap: 420.25\ncolours: [brass, glass, linen, tar]\nfixing: {kind: "
               "port}\nhybrid_as_gold: 3\n"
               "seats: {seats: 8, packs: 3, pack_size: 15}\ndeck_colours: 3\nfit: {power: 1.25, unscored: "
               "-2}\ncolumns: {price: unit price}\nunpriced: skip\n" THEMES
               "keep: [One]\nban: [Two, Three]\nwish: Four\nrules: [{name: mono, exactly: 3}]\nexempt: [{card: Five, "
               "from: [MONO], because: too fine}]\n",
               "");
    const Model *model = lab.scenario->model;
    assert_string_equal(model->path, "m.yaml");
    assert_int_equal(model->size_from, 350);
    assert_int_equal(model->size_to, 360);
    assert_int_equal(model->size_at.line, 1);
    assert_true(model->has_cap);
    assert_int_equal(model->cap, 42025);
    assert_int_equal(model->cap_at.line, 2);
    assert_int_equal(model->colours, 4);
    assert_string_equal(model->colour[3], "tar");
    assert_true(model->has_fixing);
    assert_int_equal(model->hybrid_as_gold, 3);
    assert_int_equal(model->seats, 8);
    assert_int_equal(model->packs, 3);
    assert_int_equal(model->pack_size, 15);
    assert_int_equal(model->deck_colours, 3);
    assert_int_equal(model->power_weight, 1250);
    assert_int_equal(model->unscored, -2000);
    assert_int_equal(model->unpriced, UNPRICED_SKIP);
    assert_int_equal(model->maps, 1);
    assert_string_equal(model->map_header[0], "unit price");
    assert_int_equal(model->themes, 2);
    assert_int_equal(model->theme[0].weight, 1500);
    assert_int_equal(model->theme[0].colours, 5);
    assert_int_equal(model->theme[1].weight, 1000);
    assert_int_equal(model->theme[1].colours, 8);
    assert_int_equal(model->keeps, 1);
    assert_int_equal(model->bans, 2);
    assert_string_equal(model->ban[1].name, "Three");
    assert_int_equal(model->wishes, 1);
    assert_int_equal(model->exempts, 1);
    assert_string_equal(model->exempt[0].because, "too fine");
    assert_string_equal(model->exempt[0].from[0].name, "mono");
    lab_close(&lab);
}

static void what_is_not_said_has_its_default(void **state)
{
    (void)state;
    Lab lab;
    need_model(&lab,
               BASE "themes: [{name: eels}]\nrules: [{name: all, at_least: 1}, {name: gold, each: pair, at_least: 1}, "
                    "{name: t, each: theme, measure: spend, at_most: 3}]\n",
               "");
    const Model *model = lab.scenario->model;
    assert_false(model->has_cap);
    assert_false(model->has_fixing);
    assert_int_equal(model->hybrid_as_gold, 0);
    assert_int_equal(model->seats, 0);
    assert_int_equal(model->deck_colours, 2);
    assert_int_equal(model->power_weight, 1000);
    assert_int_equal(model->unscored, 0);
    assert_int_equal(model->unpriced, UNPRICED_ERROR);
    assert_int_equal(model->theme[0].colours, 15);
    const Rule *all = need_rule(&lab, "all");
    assert_int_equal(all->each, EACH_NONE);
    assert_int_equal(all->measure, MEASURE_COUNT);
    assert_int_equal(all->priority, 5);
    assert_false(all->is_soft);
    assert_true(all->scales);
    assert_int_equal(all->where.tests, 0);
    assert_false(all->has_of);
    assert_int_equal(need_rule(&lab, "gold")->scope, SCOPE_EXACT);
    assert_int_equal(need_rule(&lab, "t")->scope, SCOPE_PLAYABLE);
    assert_false(need_rule(&lab, "t")->scales);
    lab_close(&lab);
    need_model(&lab, "size: 5\ncolours: brass\n", "");
    assert_int_equal(lab.scenario->model->deck_colours, 1);
    lab_close(&lab);
    need_model(&lab,
               BASE "spending_cap: none\nfixing: none\nhybrid_as_gold: never\nunpriced: 0.75\nrules:\nthemes:\nkeep:\n",
               "");
    assert_false(lab.scenario->model->has_cap);
    assert_false(lab.scenario->model->has_fixing);
    assert_int_equal(lab.scenario->model->unpriced, UNPRICED_DEFAULT);
    assert_int_equal(lab.scenario->model->unpriced_default, 75);
    lab_close(&lab);
}

static void bounds_are_read_in_the_unit_of_their_measure(void **state)
{
    (void)state;
    Lab lab;
    need_model(&lab,
               BASE THEMES "rules:\n"
                           "  - {name: a, exactly: 58}\n"
                           "  - {name: b, at_least: 2, at_most: 4}\n"
                           "  - {name: c, between: [2, 4]}\n"
                           "  - {name: d, measure: spend, at_most: 90.5}\n"
                           "  - {name: e, measure: price, at_most: \"90 EUR\"}\n"
                           "  - {name: f, measure: cost, at_least: 3.125}\n"
                           "  - {name: g, measure: wingspan, at_least: -3}\n"
                           "  - {name: h, at_least: 33.4%}\n"
                           "  - {name: i, each: colour, of: {class: mono}, between: [10%, 20 %]}\n"
                           "  - {name: j, measure: cost, average_at_least: 2, average_at_most: 3.1}\n"
                           "  - {name: k, measure: price, average_at_most: 3.1}\n"
                           "  - {name: l, each: theme, scope: tagged, soft: 2.5, priority: 1, scales: no, at_least: 8, "
                           "for: {EELS: {at_most: 3}}}\n"
                           "  - {name: m, each: pair, scope: touching, soft: no, for: {tar+Brass: {exactly: 3}}}\n"
                           "  - {name: n, off: yes, exactly: 1}\n",
               "");
    assert_bounds(&need_rule(&lab, "a")->bounds, BOUND_ABSOLUTE, 58, 58, 360);
    assert_true(need_rule(&lab, "a")->bounds.exactly);
    assert_bounds(&need_rule(&lab, "b")->bounds, BOUND_ABSOLUTE, 2, 4, 360);
    assert_bounds(&need_rule(&lab, "c")->bounds, BOUND_ABSOLUTE, 2, 4, 360);
    assert_false(need_rule(&lab, "c")->bounds.exactly);
    assert_bounds(&need_rule(&lab, "d")->bounds, BOUND_ABSOLUTE, -1, 9050, 360);
    assert_bounds(&need_rule(&lab, "e")->bounds, BOUND_ABSOLUTE, -1, 9000, 360);
    assert_bounds(&need_rule(&lab, "f")->bounds, BOUND_ABSOLUTE, 3125, -1, 360);
    assert_int_equal(need_rule(&lab, "g")->bounds.low, -3000);
    assert_int_equal(need_rule(&lab, "g")->measure, MEASURE_COLUMN);
    assert_string_equal(need_rule(&lab, "g")->column, "wingspan");
    assert_bounds(&need_rule(&lab, "h")->bounds, BOUND_PERCENT, 33400, -1, 360);
    assert_bounds(&need_rule(&lab, "i")->bounds, BOUND_PERCENT, 10000, 20000, 360);
    assert_true(need_rule(&lab, "i")->has_of);
    assert_bounds(&need_rule(&lab, "j")->bounds, BOUND_AVERAGE, 2000, 3100, 360);
    assert_bounds(&need_rule(&lab, "k")->bounds, BOUND_AVERAGE, -1, 310, 360);
    const Rule *l = need_rule(&lab, "l");
    assert_int_equal(l->scope, SCOPE_TAGGED);
    assert_true(l->is_soft);
    assert_int_equal(l->soft, 2500);
    assert_int_equal(l->priority, 1);
    assert_false(l->scales);
    assert_bounds(own_bounds(l, "eels"), BOUND_ABSOLUTE, -1, 3, 360);
    const Rule *m = need_rule(&lab, "m");
    assert_false(m->is_soft);
    assert_int_equal(m->scope, SCOPE_TOUCHING);
    assert_bounds(own_bounds(m, "brass+tar"), BOUND_ABSOLUTE, 3, 3, 360);
    assert_false(m->bounds.has_low || m->bounds.has_high);
    assert_null(find_rule(&lab, "n"));
    assert_int_equal(need_rule(&lab, "l")->at.line, 18);
    lab_close(&lab);
}

static void a_card_may_be_called_no(void **state)
{
    (void)state;
    Lab lab;
    need_model(&lab, BASE "keep: [no, Off, 17, ~]\n", "");
    const char *names[] = {"no", "Off", "17", "~"};
    for (size_t i = 0; i < 4; i++)
        assert_string_equal(lab.scenario->model->keep[i].name, names[i]);
    lab_close(&lab);
}

static void masks_and_pairs_have_names(void **state)
{
    (void)state;
    Lab lab;
    need_model(&lab, BASE, "");
    const Model *model = lab.scenario->model;
    const char *names[] = {"brass+glass", "brass+linen", "brass+tar", "glass+linen", "glass+tar", "linen+tar"};
    Arena *arena = arena_new();
    assert_int_equal(model_pairs(model), 6);
    for (size_t i = 0; i < 6; i++)
        assert_string_equal(model_mask_name(model, model_pair(model, i), arena), names[i]);
    assert_string_equal(model_mask_name(model, 0, arena), "colourless");
    arena_free(arena);
    lab_close(&lab);
}

/* ---- layers ---- */

static void extending_changes_field_by_field(void **state)
{
    (void)state;
    Lab lab;
    lab_model(
        &lab,
        "extends: folder/base.yaml\nsize: 180\nfit: {unscored: 3}\nthemes:\n  - {name: Convoys, weight: 2}\n  - {name: "
        "eels, off: yes}\n  - {name: bells}\nrules:\n"
        "  - {name: REMOVAL, at_least: 4}\n  - {name: gold, off: yes}\n  - {name: new, at_most: 9}\nkeep: [Two]\n",
        "");
    lab_file(&lab, "folder/base.yaml",
             "extends: deeper\nrules:\n  - {name: gold, at_least: 9}\n  - {name: kept, exactly: 5, where: {class: "
             "mono}}\nkeep: [One]\n");
    lab_file(&lab, "folder/deeper.yaml",
             BASE THEMES "fit: {power: 2, unscored: 1}\nrules:\n  - {name: removal, each: colour, where: {tag: "
                         "removal}, at_most: 9, priority: 2, for: {tar: {at_least: 9}}}\n");
    if (!lab_read_model(&lab, "s.yaml"))
        fail_msg("%s", lab.said);
    const Model *model = lab.scenario->model;
    assert_string_equal(model->path, "m.yaml");
    assert_int_equal(model->size_to, 180);
    assert_int_equal(model->power_weight, 2000);
    assert_int_equal(model->unscored, 3000);
    assert_int_equal(model->themes, 2);
    assert_string_equal(model->theme[0].name, "convoys");
    assert_int_equal(model->theme[0].weight, 2000);
    assert_int_equal(model->theme[0].colours, 5);
    assert_string_equal(model->theme[1].name, "bells");
    const Rule *removal = need_rule(&lab, "removal");
    assert_int_equal(removal->priority, 2);
    assert_int_equal(removal->each, EACH_COLOUR);
    assert_int_equal(removal->where.tests, 1);
    assert_bounds(&removal->bounds, BOUND_ABSOLUTE, 4, -1, 180); /* the old at_most and the old `for` are gone */
    assert_int_equal(removal->owns, 0);
    assert_string_equal(removal->bounds.at.file, "m.yaml");
    assert_string_equal(removal->at.file, "folder/deeper.yaml");
    assert_null(find_rule(&lab, "gold"));
    assert_bounds(&need_rule(&lab, "kept")->bounds, BOUND_ABSOLUTE, 5, 5, 360);
    assert_bounds(&need_rule(&lab, "new")->bounds, BOUND_ABSOLUTE, -1, 9, 180);
    assert_string_equal(model->rule[0].name, "removal");
    assert_string_equal(model->rule[model->rules - 1].name, "new");
    assert_int_equal(model->keeps, 2);
    assert_string_equal(model->keep[0].name, "One");
    lab_close(&lab);
}

static void a_change_of_for_alone_leaves_the_rest(void **state)
{
    (void)state;
    Lab lab;
    const char *model =
        BASE "rules:\n  - {name: removal, each: colour, at_least: 7, for: {tar: {at_least: 9}, glass: {exactly: 4}}}\n";
    need_model(&lab, model, "change: {rules: {removal: {for: {tar: {at_most: 3}}}}}\n");
    const Rule *rule = need_rule(&lab, "removal");
    assert_bounds(&rule->bounds, BOUND_ABSOLUTE, 7, -1, 360);
    assert_int_equal(rule->owns, 2);
    assert_bounds(own_bounds(rule, "tar"), BOUND_ABSOLUTE, -1, 3, 360);
    assert_bounds(own_bounds(rule, "glass"), BOUND_ABSOLUTE, 4, 4, 360);
    lab_close(&lab);
    need_model(&lab, model, "change: {rules: {removal: {at_least: 8, for: {tar: {at_most: 3}}}}}\n");
    rule = need_rule(&lab, "removal");
    assert_bounds(&rule->bounds, BOUND_ABSOLUTE, 8, -1, 360);
    assert_int_equal(rule->owns, 1);
    assert_bounds(own_bounds(rule, "tar"), BOUND_ABSOLUTE, -1, 3, 360);
    lab_close(&lab);
    need_model(&lab, model, "change: {rules: {removal: {priority: 1}}}\n");
    rule = need_rule(&lab, "removal");
    assert_int_equal(rule->owns, 2);
    assert_int_equal(rule->priority, 1);
    lab_close(&lab);
}

static void later_layers_win(void **state)
{
    (void)state;
    Lab lab;
    lab_model(
        &lab,
        BASE "spending_cap: 420\nrules:\n  - {name: a, at_least: 1}\n  - {name: b, at_least: 1}\n  - {name: c, "
             "at_least: 1}\n  - {name: d, at_least: 1}\n",
        "targets: [t.csv]\nkeep: [One]\nchange: {spending_cap: 400, rules: {c: {at_least: 3}, d: {at_least: 3}}}\n"
        "cases:\n  - {name: big, change: {size: 540, spending_cap: none, rules: {d: {at_least: 4}}, keep: [Two]}}\n");
    lab_file(&lab, "t.csv", "rule,all\nb,2+\nc,2+\nd,2+\n");
    assert_true(lab_read_model(&lab, "s.yaml"));
    assert_int_equal(need_rule(&lab, "a")->bounds.low, 1);
    assert_int_equal(need_rule(&lab, "b")->bounds.low, 2);
    assert_int_equal(need_rule(&lab, "c")->bounds.low, 3);
    assert_int_equal(need_rule(&lab, "d")->bounds.low, 3);
    assert_int_equal(lab.scenario->model->cap, 40000);
    assert_string_equal(need_rule(&lab, "b")->bounds.at.file, "t.csv");
    assert_int_equal(need_rule(&lab, "b")->bounds.at.column, 3);
    lab.overrides.case_name = "BIG";
    assert_true(lab_read_model(&lab, "s.yaml"));
    assert_false(lab.scenario->model->has_cap);
    assert_int_equal(lab.scenario->model->size_to, 540);
    assert_int_equal(lab.scenario->model->keeps, 2);
    assert_bounds(&need_rule(&lab, "c")->bounds, BOUND_ABSOLUTE, 3, -1, 360);
    assert_bounds(&need_rule(&lab, "d")->bounds, BOUND_ABSOLUTE, 4, -1, 540); /* beside the case's size: literal */
    const char *const kept[] = {"Three"};
    lab.overrides = (Overrides){.case_name = "big",
                                .has_cap = true,
                                .cap = 12345,
                                .has_size = true,
                                .size_from = 175,
                                .size_to = 180,
                                .keep = kept,
                                .keeps = 1};
    assert_true(lab_read_model(&lab, "s.yaml"));
    assert_int_equal(lab.scenario->model->cap, 12345);
    assert_int_equal(lab.scenario->model->size_from, 175);
    assert_int_equal(lab.scenario->model->size_to, 180);
    assert_string_equal(lab.scenario->model->keep[2].name, "Three");
    assert_bounds(&need_rule(&lab, "d")->bounds, BOUND_ABSOLUTE, 4, -1, 540);
    lab.overrides = (Overrides){.no_cap = true};
    assert_true(lab_read_model(&lab, "s.yaml"));
    assert_false(lab.scenario->model->has_cap);
    lab_close(&lab);
}

static void targets_count_as_written_beside_the_changes_size(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab, BASE "rules:\n  - {name: a, at_least: 1}\n  - {name: b, at_least: 1}\n",
              "targets: [t.csv]\nchange: {size: 450}\n");
    lab_file(&lab, "t.csv", "rule,all\nb,2+\n");
    assert_true(lab_read_model(&lab, "s.yaml"));
    assert_int_equal(need_rule(&lab, "a")->bounds.size_at, 360);
    assert_int_equal(need_rule(&lab, "b")->bounds.size_at, 450);
    lab_close(&lab);
    lab_model(&lab, "colours: [brass]\nrules: [{name: a, at_least: 5}]\n",
              "change: {size: {from: 80, to: 90}}\n"); /* no size yet where it was written */
    assert_true(lab_read_model(&lab, "s.yaml"));
    assert_int_equal(need_rule(&lab, "a")->bounds.size_at, 90);
    lab_close(&lab);
}

static void presets_are_found_by_name(void **state)
{
    (void)state;
    Lab lab;
    lab_open(&lab);
    const char *const folders[] = {"none", "share"};
    lab.overrides = (Overrides){.model = "small", .model_folders = folders, .model_folder_count = 2};
    lab_file(&lab, "share/small.yaml", "extends: shared\nsize: 5\n");
    lab_file(&lab, "share/shared.yaml", "colours: [brass]\n");
    lab_file(&lab, "c.csv", "name\nA Card\n");
    assert_true(lab_read_model(&lab, "c.csv"));
    assert_string_equal(lab.scenario->model->path, "share/small.yaml");
    assert_null(lab.scenario->path);
    assert_string_equal(lab.scenario->cards[0].path, "c.csv");
    lab_file(&lab, "mine.yaml", "extends: small\nsize: 6\n");
    lab.overrides.model = "mine";
    assert_true(lab_read_model(&lab, "c.csv"));
    assert_int_equal(lab.scenario->model->size_to, 6);
    lab.overrides.model = "smal";
    assert_false(lab_read_model(&lab, "c.csv"));
    lab_expect(&lab, "found no model 'smal', neither a file nor a preset; did you mean 'small'?");
    lab.overrides.model = "entirely-different";
    assert_false(lab_read_model(&lab, "c.csv"));
    lab_expect(&lab, "known presets are shared, small");
    lab.overrides.model = NULL;
    assert_false(lab_read_model(&lab, "c.csv"));
    lab_expect(&lab, "a cards sheet needs a model: add --model NAME");
    lab_close(&lab);
}

static void a_folder_is_its_scenario(void **state)
{
    (void)state;
    Lab lab;
    lab_open(&lab);
    lab_file(&lab, "mine/sub/scenario.yaml",
             "model: ../../models/m.yaml\ncards: ../cards.csv\nprices: [p.csv]\nowned: [o.csv]\ntags: [t.csv]\npool: "
             "../pool.csv\n");
    lab_file(&lab, "models/m.yaml", BASE);
    assert_true(lab_read_model(&lab, "mine/sub/"));
    const Scenario *scenario = lab.scenario;
    assert_string_equal(scenario->path, "mine/sub/scenario.yaml");
    assert_string_equal(scenario->model->path, "models/m.yaml");
    assert_int_equal(scenario->cards_count, 1);
    assert_int_equal(scenario->cards[0].at.line, 2);
    assert_string_equal(scenario->prices[0].path, "mine/sub/p.csv");
    assert_string_equal(scenario->owned[0].path, "mine/sub/o.csv");
    assert_string_equal(scenario->tags[0].path, "mine/sub/t.csv");
    assert_int_equal(scenario->pool.at.line, 6);
    lab_close(&lab);
}

/* ---- targets ---- */

static void cells_of_a_targets_sheet(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab,
              BASE THEMES "rules:\n  - {name: removal, each: colour, at_least: 1, for: {linen: {at_least: 2}}}\n  - "
                          "{name: gold, each: pair, at_least: 1}\n"
                          "  - {name: share, each: colour, of: {class: mono}, at_least: 1%}\n  - {name: money, "
                          "measure: spend, at_most: 5}\n  - {name: payoffs, each: theme, at_least: 1}\n"
                          "  - {name: sheet only, each: colour}\n  - {name: dates, each: colour, at_least: 1}\n",
              "targets: [t.csv]\n");
    lab_file(
        &lab, "t.csv",
        "rule,all,brass,Glass,tar,TAR+brass,eels,note\nRemoval,38,10-16,6+,-8,,,any text\ngold,,,,,3\xE2\x80\x93"
        "5,\nshare,,50%,40-60%,50%+,,,\nmoney,90.50,,,,,\npayoffs,8+,,,,,2..4\nsheet only,5+,,,,,,\ndates,,-50%,\n");
    assert_false(lab_read_model(&lab, "s.yaml"));
    lab_expect(&lab, "t.csv:8:8: error: rule 'dates' has a percentage and 'each' but no 'of'");
    assert_int_equal(lab.diags.errors, 1);
    lab_file(&lab, "t.csv",
             "rule,all,brass,Glass,tar,TAR+brass,eels,note\nRemoval,38,10-16,6+,-8,,,any text\ngold,,,,,3\xE2\x80\x93"
             "5,\nshare,,50%,40-60%,50%+,,,\nmoney,90.50,,,,,\npayoffs,8+,,,,,2..4\nsheet only,5+,,,,,,\n");
    if (!lab_read_model(&lab, "s.yaml"))
        fail_msg("%s", lab.said);
    const Rule *removal = need_rule(&lab, "removal");
    assert_bounds(&removal->bounds, BOUND_ABSOLUTE, 38, 38, 360);
    assert_bounds(own_bounds(removal, "brass"), BOUND_ABSOLUTE, 10, 16, 360);
    assert_bounds(own_bounds(removal, "glass"), BOUND_ABSOLUTE, 6, -1, 360);
    assert_bounds(own_bounds(removal, "tar"), BOUND_ABSOLUTE, -1, 8, 360);
    assert_null(own_bounds(removal, "linen")); /* `all` replaces what stood under `for` */
    assert_bounds(own_bounds(need_rule(&lab, "gold"), "brass+tar"), BOUND_ABSOLUTE, 3, 5, 360);
    const Rule *share = need_rule(&lab, "share");
    assert_bounds(&share->bounds, BOUND_PERCENT, 1000, -1, 360);
    assert_bounds(own_bounds(share, "brass"), BOUND_PERCENT, 50000, 50000, 360);
    assert_bounds(own_bounds(share, "glass"), BOUND_PERCENT, 40000, 60000, 360);
    assert_bounds(own_bounds(share, "tar"), BOUND_PERCENT, 50000, -1, 360);
    assert_bounds(&need_rule(&lab, "money")->bounds, BOUND_ABSOLUTE, 9050, 9050, 360);
    assert_bounds(own_bounds(need_rule(&lab, "payoffs"), "eels"), BOUND_ABSOLUTE, 2, 4, 360);
    assert_bounds(&need_rule(&lab, "sheet only")->bounds, BOUND_ABSOLUTE, 5, -1, 360);
    lab_close(&lab);
}

static void decimal_commas_in_targets(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab, BASE "rules:\n  - {name: money, measure: spend, at_most: 5}\n", "targets: [t.csv]\n");
    lab_file(&lab, "t.csv", "rule;all\nmoney;1,50 - 90,25\n");
    assert_true(lab_read_model(&lab, "s.yaml"));
    assert_bounds(&need_rule(&lab, "money")->bounds, BOUND_ABSOLUTE, 150, 9025, 360);
    lab_close(&lab);
}

static void bounds_in_words(void **state)
{
    (void)state;
    static const struct {
        const char *cell;
        int64_t low, high;
    } way[] = {{">=2", 2, -1},     {"\u2265 2", 2, -1},  {"at least 2", 2, -1}, {"Min 2", 2, -1}, {"<= 3", -1, 3},
               {"\u22643", -1, 3}, {"at most 3", -1, 3}, {"max 3", -1, 3},      {"2 to 3", 2, 3}};
    for (size_t k = 0; k <= sizeof way / sizeof *way; k++) {
        Lab lab;
        char text[60];
        lab_model(&lab, BASE "rules:\n  - {name: some, at_least: 1}\n", "targets: [t.csv]\n");
        snprintf(text, sizeof text, "rule,all\nsome,%s\n", k < sizeof way / sizeof *way ? way[k].cell : "max. 3");
        lab_file(&lab, "t.csv", text);
        if (k < sizeof way / sizeof *way) {
            assert_true(lab_read_model(&lab, "s.yaml"));
            assert_bounds(&need_rule(&lab, "some")->bounds, BOUND_ABSOLUTE, way[k].low, way[k].high, 360);
        } else {
            assert_false(lab_read_model(&lab, "s.yaml"));
            lab_expect(&lab, "column 'all': found 'max. 3', expected a bound");
        }
        lab_close(&lab);
    }
}

static void targets_that_cannot_be_read(void **state)
{
    (void)state;
    Lab lab;
    lab_model(&lab,
              BASE THEMES "rules:\n  - {name: removal, each: colour, at_least: 1}\n  - {name: curve, measure: cost, "
                          "average_at_most: 3}\n  - {name: all cards, at_least: 1}\n",
              "targets: [t.csv]\n");
    lab_file(&lab, "t.csv",
             "rule,all,brass,convoi,eels\nremovl,3,,,\nremoval,Oct-16,few,,\nREMOVAL,10/"
             "16,,,3+\ncurve,3,,,\n,3,,,\nall cards,,3,,\nremoval,4,,,\nall cards,1-2-3,--3,3++,\n");
    assert_false(lab_read_model(&lab, "s.yaml"));
    lab_expect(&lab, "t.csv:1:16: error: unknown column 'convoi', expected 'all', a colour, a pair such as brass+tar "
                     "or a theme; did you mean 'convoys'?");
    lab_expect(&lab, "t.csv:2:1: error: unknown rule 'removl'; did you mean 'removal'?");
    lab_expect(
        &lab,
        "t.csv:3:9: error: column 'all': found 'Oct-16', expected a bound such as 38, 10-16, 6+ (at least), -8 (at "
        "most) or 50% (the spreadsheet program may have made a date of 10-16; 10..16 is safe)");
    lab_expect(&lab, "t.csv:3:16: error: column 'brass': found 'few', expected a bound");
    lab_expect(&lab, "t.csv:4:9: error: column 'all': found '10/16', expected");
    lab_expect(&lab, "t.csv:4:1: error: a rule named 'REMOVAL' is already there, in line 3");
    lab_expect(&lab, "t.csv:5:1: error: rule 'curve' is bounded by averages, which cannot be set in a sheet");
    lab_expect(&lab, "t.csv:6:1: error: found bounds without a rule's name in the first column");
    lab_expect(&lab, "t.csv:8:1: error: a rule named 'removal' is already there, in line 3");
    lab_expect(&lab, "t.csv:9:11: error: column 'all': found '1-2-3', expected a bound");
    lab_expect(&lab, "t.csv:9:17: error: column 'brass': found '--3', expected a bound");
    lab_file(&lab, "t.csv", "rule,all,brass,eels\nremoval,,,3+\nall cards,,3,\n");
    assert_false(lab_read_model(&lab, "s.yaml"));
    lab_expect(&lab, "t.csv:2:11: error: rule 'removal' has no member 'eels', expected a colour");
    lab_expect(&lab, "t.csv:3:12: error: rule 'all cards' has no member 'brass', since it has no 'each'");
    lab_close(&lab);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_key_of_a_model_is_read),
        cmocka_unit_test(what_is_not_said_has_its_default),
        cmocka_unit_test(bounds_are_read_in_the_unit_of_their_measure),
        cmocka_unit_test(a_card_may_be_called_no),
        cmocka_unit_test(masks_and_pairs_have_names),
        cmocka_unit_test(extending_changes_field_by_field),
        cmocka_unit_test(a_change_of_for_alone_leaves_the_rest),
        cmocka_unit_test(later_layers_win),
        cmocka_unit_test(targets_count_as_written_beside_the_changes_size),
        cmocka_unit_test(presets_are_found_by_name),
        cmocka_unit_test(a_folder_is_its_scenario),
        cmocka_unit_test(cells_of_a_targets_sheet),
        cmocka_unit_test(decimal_commas_in_targets),
        cmocka_unit_test(bounds_in_words),
        cmocka_unit_test(targets_that_cannot_be_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
