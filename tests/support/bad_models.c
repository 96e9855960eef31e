/* bad_models.c - mistakes in models: see bad_input.h. The sound model has eight lines; what is added begins in line 9. */
#include "bad_input.h"

const char sound_model[] = "size: 3\n"
                           "spending_cap: 5.00\n"
                           "colours: [brass, linen]\n"
                           "fixing: {kind: cargo}\n"
                           "themes:\n"
                           "  - {name: convoys, colours: brass+linen}\n"
                           "rules:\n"
                           "  - {name: removal, where: {tag: removal}, at_least: 1}\n";

#define MODEL(text) "model.yaml", text, 0, NULL, NULL
#define MORE(text) "model.yaml", ADD text "\n", 0, NULL, NULL
#define RULE(text) "model.yaml", ADD "  - " text "\n", 0, NULL, NULL

static void brackets(Page *page)
{
    page_add(page, "size: ");
    for (int i = 0; i < 100000; i++) {
        page_add(page, "[");
    }
}

static void anchors(Page *page)
{
    page_add(page, "colours:\n");
    for (int i = 0; i < 100000; i++) {
        page_add(page, "  - &a%d x%d\n", i, i);
    }
}

static void long_value(Page *page)
{
    static char block[1001];
    for (size_t i = 0; i < 1000; i++) {
        block[i] = 'y';
    }
    page_add(page, "size: ");
    for (int i = 0; i < 10000; i++) {
        page_add(page, "%s", block);
    }
    page_add(page, "\ncolours: [brass, linen]\n");
}

const Mistake mistakes_in_models[] = {
    {"the model is missing", "scenario.yaml", "model: modle.yaml\ncards: [cards.csv]\n", 0, NULL, NULL, {"scenario.yaml:1:8: error: ", "modle.yaml"}, 0},
    {"the model is empty", MODEL(""), {"model.yaml", "error: ", "empty"}, 0},
    {"the model is a list", MODEL("- size: 3\n"), {"model.yaml:1:1: error: "}, 0},
    {"the model is a word", MODEL("big\n"), {"model.yaml:1:1: error: ", "big"}, 0},
    {"the model is binary", "model.yaml", "\x89PNG\r\n\x1a\n\0\0\0\rIHDR", 16, NULL, NULL, {"model.yaml:1:", "error: "}, 0},
    {"the model is a folder", "folder.yaml/inside", "x", 0, NULL, "best cards.csv --model folder.yaml -o out.csv", {"folder.yaml", "error: "}, 0},
    {"bad UTF-8", MODEL("size: 3\ncolours: [brass, lin\xff" "en]\n"), {"model.yaml:2:21: error: "}, 0},
    {"a tab", MODEL("size: 3\nfit:\n\tpower: 1\n"), {"model.yaml:3:1: error: ", "tab"}, 0},
    {"an open bracket", MODEL("size: 3\ncolours: [brass, linen\nthemes: []\n"), {"model.yaml:", "error: "}, 0},
    {"an open quote", MODEL("size: 3\ncolours: [brass, \"linen]\n"), {"model.yaml:", "error: "}, 0},
    {"a second document", MODEL("size: 3\ncolours: [brass]\n---\nsize: 4\n"), {"model.yaml:3:1: error: ", "document"}, 0},
    {"an alias cycle", MODEL("size: 3\ncolours: [brass]\nrules: &r\n  - *r\n"), {"model.yaml:", "error: "}, 0},
    {"an alias without its anchor", MODEL("size: *many\ncolours: [brass]\n"), {"model.yaml:1:7: error: ", "many"}, 0},
    {"a complex key", MODEL("size: 3\n? [colours, colors]\n: [brass]\n"), {"model.yaml:2:3: error: "}, 0},
    {"deep nesting", "model.yaml", NULL, 0, brackets, NULL, {"model.yaml:1:", "error: "}, 0},
    {"a flood of anchors", "model.yaml", NULL, 0, anchors, NULL, {"model.yaml:", "error: "}, 0},
    {"a value of ten million letters", "model.yaml", NULL, 0, long_value, NULL, {"model.yaml:1:7: error: "}, 0},
    {"an unknown key", MODEL("sise: 3\nsize: 3\ncolours: [brass, linen]\n"), {"model.yaml:1:1: error: ", "sise", "size"}, 0},
    {"a key twice", MORE("size: 4"), {"model.yaml:9:1: error: ", "size"}, 0},
    {"no size", MODEL("colours: [brass, linen]\n"), {"model.yaml", "error: ", "size"}, 0},
    {"no colours", MODEL("size: 3\n"), {"model.yaml", "error: ", "colours"}, 0},
    {"a size that is none", MODEL("size: many\ncolours: [brass, linen]\n"), {"model.yaml:1:7: error: ", "many"}, 0},
    {"size zero", MODEL("size: 0\ncolours: [brass, linen]\n"), {"model.yaml:1:7: error: ", "0"}, 0},
    {"half a size", MODEL("size: 2.5\ncolours: [brass, linen]\n"), {"model.yaml:1:7: error: ", "2.5"}, 0},
    {"a size that contradicts itself", MODEL("size: {from: 5, to: 3}\ncolours: [brass, linen]\n"), {"model.yaml:1:7: error: ", "5", "3"}, 0},
    {"an unknown key in size", MODEL("size: {from: 3, too: 5}\ncolours: [brass, linen]\n"), {"model.yaml:1:17: error: ", "too", "'to'"}, 0},
    {"a list as size", MODEL("size: [3, 4]\ncolours: [brass, linen]\n"), {"model.yaml:1:7: error: "}, 0},
    {"a negative cap", MODEL("size: 3\nspending_cap: -1\ncolours: [brass, linen]\n"), {"model.yaml:2:15: error: ", "-1"}, 0},
    {"a cap that may be thousands", MODEL("size: 3\nspending_cap: 1.500\ncolours: [brass, linen]\n"), {"model.yaml:2:15: error: ", "'1.500'", "1500 (without"}, 0},
    {"a cap that is none", MODEL("size: 3\nspending_cap: lots\ncolours: [brass, linen]\n"), {"model.yaml:2:15: error: ", "lots"}, 0},
    {"a cap too fine", MODEL("size: 3\nspending_cap: 1.005\ncolours: [brass, linen]\n"), {"model.yaml:2:15: error: ", "1.005"}, 0},
    {"one colour twice", MODEL("size: 3\ncolours: [brass, linen, Brass]\n"), {"model.yaml:2:25: error: ", "Brass"}, 0},
    {"no colour at all", MODEL("size: 3\ncolours: []\n"), {"model.yaml:2:10: error: "}, 0},
    {"seventeen colours", MODEL("size: 3\ncolours: [brass,linen,c,d,e,f,g,h,i,j,k,l,m,n,o,p,q]\n"), {"model.yaml:2:", "error: ", "17"}, 0},
    {"a colour with a plus", MODEL("size: 3\ncolours: [brass, linen, tar+pitch]\n"), {"model.yaml:2:25: error: ", "tar+pitch"}, 0},
    {"an unknown key in seats", MORE("seats: {seats: 8, pakcs: 3, pack_size: 15}"), {"model.yaml:9:19: error: ", "pakcs", "packs"}, 0},
    {"seats that are none", MORE("seats: {seats: eight, packs: 3, pack_size: 15}"), {"model.yaml:9:16: error: ", "eight"}, 0},
    {"an unknown key in fit", MORE("fit: {powr: 1}"), {"model.yaml:9:7: error: ", "powr", "power"}, 0},
    {"a weight that is none", MORE("fit: {power: .inf}"), {"model.yaml:9:14: error: ", ".inf"}, 0},
    {"more deck colours than colours", MORE("deck_colours: 3"), {"model.yaml:9:15: error: ", "3"}, 0},
    {"hybrid_as_gold that is none", MORE("hybrid_as_gold: often"), {"model.yaml:9:17: error: ", "often"}, 0},
    {"unpriced that is none", MORE("unpriced: maybe"), {"model.yaml:9:11: error: ", "maybe"}, 0},
    {"an unknown column mapped", MORE("columns: {prise: value}"), {"model.yaml:9:11: error: ", "prise", "price"}, 0},
    {"fixing by class", MODEL("size: 3\ncolours: [brass, linen]\nthemes: [{name: convoys}]\nfixing: {class: mono}\n"), {"model.yaml:4:10: error: ", "class"}, 0},
    {"an unknown key in a theme", MODEL("size: 3\ncolours: [brass, linen]\nthemes:\n  - {name: convoys, colour: brass}\n"), {"model.yaml:4:21: error: ", "colour", "colours"}, 0},
    {"one theme twice", MODEL("size: 3\ncolours: [brass, linen]\nthemes:\n  - {name: convoys}\n  - {name: Convoys}\n"), {"model.yaml:5:12: error: ", "onvoys"}, 0},
    {"a theme of unknown colours", MODEL("size: 3\ncolours: [brass, linen]\nthemes:\n  - {name: convoys, colours: brass+tar}\n"), {"model.yaml:4:36: error: ", "tar"}, 0},
    {"a theme without a name", MODEL("size: 3\ncolours: [brass, linen]\nthemes:\n  - {weight: 2}\n"), {"model.yaml:4:5: error: ", "name"}, 0},
    {"rules that are a word", MODEL("size: 3\ncolours: [brass, linen]\nrules: many\n"), {"model.yaml:3:8: error: ", "many"}, 0},
    {"one rule twice", RULE("{name: Removal, at_most: 3}"), {"model.yaml:9:12: error: ", "emoval"}, 0},
    {"a rule without a name", RULE("{at_most: 3}"), {"model.yaml:9:5: error: ", "name"}, 0},
    {"an unknown key in a rule", RULE("{name: gold, wher: {class: gold}, at_most: 3}"), {"model.yaml:9:18: error: ", "wher", "where"}, 0},
    {"a key twice in a rule", RULE("{name: gold, at_most: 3, at_most: 4}"), {"model.yaml:9:30: error: ", "at_most"}, 0},
    {"a rule without bounds", RULE("{name: gold, where: {class: gold}}"), {"model.yaml:9:", "error: ", "gold"}, 0},
    {"exactly beside at_least", RULE("{name: gold, exactly: 3, at_least: 2}"), {"model.yaml:9:", "error: ", "exactly"}, 0},
    {"between with one number", RULE("{name: gold, between: [3]}"), {"model.yaml:9:27: error: "}, 0},
    {"between turned round", RULE("{name: gold, between: [3, 1]}"), {"model.yaml:9:18: error: ", "3", "1"}, 0},
    {"at_least above at_most", RULE("{name: gold, at_least: 3, at_most: 1}"), {"model.yaml:9:", "error: ", "3"}, 0},
    {"a negative count", RULE("{name: gold, at_least: -1}"), {"model.yaml:9:28: error: ", "-1"}, 0},
    {"half a card", RULE("{name: gold, at_least: 1.5}"), {"model.yaml:9:28: error: ", "1.5"}, 0},
    {"a bound that is none", RULE("{name: gold, at_least: few}"), {"model.yaml:9:28: error: ", "few"}, 0},
    {"a huge bound", RULE("{name: gold, measure: cost, at_most: 1000000000000000}"), {"model.yaml:9:42: error: ", "1000000000000000"}, 0},
    {"a percentage beside a number", RULE("{name: gold, between: [1, 50%]}"), {"model.yaml:9:31: error: "}, 0},
    {"of without a percentage", RULE("{name: gold, of: {class: gold}, at_least: 1}"), {"model.yaml:9:18: error: ", "of"}, 0},
    {"a percentage with each but without of", RULE("{name: gold, each: colour, at_least: 10%}"), {"model.yaml:9:", "error: ", "of"}, 0},
    {"the average of a count", RULE("{name: gold, average_at_least: 2}"), {"model.yaml:9:", "error: ", "count"}, 0},
    {"an average beside a bound", RULE("{name: gold, measure: cost, average_at_least: 2, at_most: 9}"), {"model.yaml:9:33: error: ", "average_at_least"}, 0},
    {"soft on percentages", RULE("{name: gold, at_least: 10%, soft: 1}"), {"model.yaml:9:33: error: ", "soft"}, 0},
    {"negative soft", RULE("{name: gold, at_least: 1, soft: -1}"), {"model.yaml:9:37: error: ", "-1"}, 0},
    {"a priority too large", RULE("{name: gold, at_least: 1, priority: 12}"), {"model.yaml:9:41: error: ", "12"}, 0},
    {"scales that is none", RULE("{name: gold, at_least: 1, scales: maybe}"), {"model.yaml:9:39: error: ", "maybe"}, 0},
    {"off that is none", RULE("{name: gold, at_least: 1, off: maybe}"), {"model.yaml:9:36: error: ", "maybe"}, 0},
    {"an unknown each", RULE("{name: gold, each: color, at_least: 1}"), {"model.yaml:9:24: error: ", "color", "colour"}, 0},
    {"an unknown scope", RULE("{name: gold, each: colour, scope: exactly, at_least: 1}"), {"model.yaml:9:39: error: ", "exactly", "exact"}, 0},
    {"scope without each", RULE("{name: gold, scope: exact, at_least: 1}"), {"model.yaml:9:18: error: ", "scope"}, 0},
    {"scope tagged without themes", RULE("{name: gold, each: pair, scope: tagged, at_least: 1}"), {"model.yaml:9:37: error: ", "tagged"}, 0},
    {"an unknown measure", RULE("{name: gold, measure: sturdines, at_least: 1}"), {"model.yaml:9:27: error: ", "sturdines", "sturdiness"}, 0},
    {"an unknown member", RULE("{name: gold, each: colour, at_least: 1, for: {tar: {at_least: 2}}}"), {"model.yaml:9:51: error: ", "tar"}, 0},
    {"members without each", RULE("{name: gold, at_least: 1, for: {brass: {at_least: 2}}}"), {"model.yaml:9:37: error: ", "brass"}, 0},
    {"an unknown key for a member", RULE("{name: gold, each: colour, at_least: 1, for: {brass: {at_lest: 2}}}"), {"model.yaml:9:59: error: ", "at_lest", "at_least"}, 0},
    {"an unknown field", RULE("{name: gold, where: {clas: gold}, at_least: 1}"), {"model.yaml:9:26: error: ", "clas", "class"}, 0},
    {"an unknown class", RULE("{name: gold, where: {class: glod}, at_least: 1}"), {"model.yaml:9:33: error: ", "glod", "gold"}, 0},
    {"an unknown theme", RULE("{name: gold, where: {theme: convois}, at_least: 1}"), {"model.yaml:9:33: error: ", "convois", "convoys"}, 0},
    {"an unknown role", RULE("{name: gold, where: {theme: any, role: enablr}, at_least: 1}"), {"model.yaml:9:44: error: ", "enablr", "enabler"}, 0},
    {"unknown colours in a filter", RULE("{name: gold, where: {colours: brass+tar}, at_least: 1}"), {"model.yaml:9:", "error: ", "tar"}, 0},
    {"words for a cost", RULE("{name: gold, where: {cost: cheap}, at_least: 1}"), {"model.yaml:9:32: error: ", "cheap"}, 0},
    {"an empty range", RULE("{name: gold, where: {cost: {from: 4, to: 2}}, at_least: 1}"), {"model.yaml:9:32: error: ", "4", "2"}, 0},
    {"an unknown key in a range", RULE("{name: gold, where: {cost: {form: 4}}, at_least: 1}"), {"model.yaml:9:33: error: ", "form", "from"}, 0},
    {"a range of kinds", RULE("{name: gold, where: {kind: {from: 1, to: 2}}, at_least: 1}"), {"model.yaml:9:32: error: "}, 0},
    {"not in not", RULE("{name: gold, where: {cost: {not: {not: 3}}}, at_least: 1}"), {"model.yaml:9:", "error: ", "not"}, 0},
    {"an empty list", RULE("{name: gold, where: {kind: []}, at_least: 1}"), {"model.yaml:9:32: error: "}, 0},
    {"an unknown key in exempt", MORE("exempt: [{card: Rope Choir, form: [removal]}]"), {"model.yaml:9:29: error: ", "form", "from"}, 0},
    {"an unknown card in exempt", MORE("exempt: [{card: Rope Quire, from: [removal]}]"), {"model.yaml:9:17: error: ", "Rope Quire"}, 0},
    {"an unknown rule in exempt", MORE("exempt: [{card: Rope Choir, from: [removel]}]"), {"model.yaml:9:36: error: ", "removel", "removal"}, 0},
    {"an unknown card to keep", MORE("keep: [Bolt of Frog]"), {"model.yaml:9:8: error: ", "Bolt of Frog", "Bolt of Fog"}, 0},
    {"what it extends is missing", MORE("extends: bsae.yaml"), {"model.yaml:9:10: error: ", "bsae.yaml"}, 0},
    {"it extends itself", MORE("extends: model.yaml"), {"model.yaml:9:10: error: ", "model.yaml"}, 0},
    {"an unknown preset", MORE("extends: four-36"), {"model.yaml:9:10: error: ", "four-36", "four-360"}, 0},
    {"two that extend each other", "ring.yaml", "extends: model.yaml\n", 0, NULL, "best ring.scenario.yaml -o out.csv", {"error: ", "extends"}, 0},
    {"a theme that is off in a rule", "small.yaml", "extends: model.yaml\nthemes: [{name: convoys, off: yes}]\nrules:\n  - {name: ships, where: {theme: convoys}, at_least: 1}\n", 0, NULL, "best cards.csv --model small.yaml -o out.csv", {"small.yaml:4:34: error: ", "convoys"}, 0},
};

const size_t mistakes_in_models_count = sizeof mistakes_in_models / sizeof *mistakes_in_models;
