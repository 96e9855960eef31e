/* bad_scenarios.c - mistakes in scenarios and on the command line: see bad_input.h. The sound scenario has two lines. */
#include "bad_input.h"

const char sound_scenario[] = "model: model.yaml\ncards: [cards.csv]\n";

#define SCENARIO(text) "scenario.yaml", text, 0, NULL, NULL
#define MORE(text) "scenario.yaml", ADD text "\n", 0, NULL, NULL
#define LINE(text) NULL, NULL, 0, NULL, text

const Mistake mistakes_elsewhere[] = {
    {"a cap in thousands on the command line", NULL, NULL, 0, NULL, "best scenario.yaml --cap 1,500 -o out.csv", {"--cap: found '1,500'", "thousands"}, 0},
    {"caps that may be thousands", NULL, NULL, 0, NULL, "what-if scenario.yaml --caps 1.500,2.500", {"--caps: found '1.500'"}, 0},
    {"the scenario is missing", LINE("best scenery.yaml -o out.csv"), {"error: ", "scenery.yaml"}, 0},
    {"a folder without a scenario", "folder/inside", "x", 0, NULL, "best folder -o out.csv", {"error: ", "folder"}, 0},
    {"the scenario is empty", SCENARIO(""), {"scenario.yaml", "error: ", "empty"}, 0},
    {"no model", SCENARIO("cards: [cards.csv]\n"), {"scenario.yaml", "error: ", "model"}, 0},
    {"no cards", SCENARIO("model: model.yaml\n"), {"scenario.yaml", "error: ", "cards"}, 0},
    {"an unknown key", MORE("modle: model.yaml"), {"scenario.yaml:3:1: error: ", "modle", "model"}, 0},
    {"a key twice", MORE("cards: [cards.csv]"), {"scenario.yaml:3:1: error: ", "cards"}, 0},
    {"a key of the model", MORE("size: 4"), {"scenario.yaml:3:1: error: ", "size"}, 0},
    {"cards that are a map", SCENARIO("model: model.yaml\ncards: {a: cards.csv}\n"), {"scenario.yaml:2:8: error: "}, 0},
    {"an unknown key in change", MORE("change: {sise: 4}"), {"scenario.yaml:3:10: error: ", "sise", "size"}, 0},
    {"an unknown rule in change", MORE("change: {rules: {removel: {at_least: 2}}}"), {"scenario.yaml:3:18: error: ", "removel", "removal"}, 0},
    {"an unknown key of a rule in change", MORE("change: {rules: {removal: {at_lest: 2}}}"), {"scenario.yaml:3:28: error: ", "at_lest", "at_least"}, 0},
    {"a bound that is none in change", MORE("change: {rules: {removal: {at_least: more}}}"), {"scenario.yaml:3:38: error: ", "more"}, 0},
    {"an unknown theme in change", MORE("change: {themes: {convois: {weight: 2}}}"), {"scenario.yaml:3:19: error: ", "convois", "convoys"}, 0},
    {"an unknown key in a case", MORE("cases: [{name: more, chnge: {size: 4}}]"), {"scenario.yaml:3:22: error: ", "chnge", "change"}, 0},
    {"a case without a name", MORE("cases: [{change: {size: 4}}]"), {"scenario.yaml:3:9: error: ", "name"}, 0},
    {"one case twice", MORE("cases: [{name: more, change: {size: 4}}, {name: More, change: {size: 2}}]"), {"scenario.yaml:3:", "error: ", "ore"}, 0},
    {"an unknown card to keep", MORE("keep: [Kiln Warder]"), {"scenario.yaml:3:8: error: ", "Kiln Warder", "Kiln Warden"}, 0},
    {"an unknown card to ban", MORE("ban: [Nobody]"), {"scenario.yaml:3:7: error: ", "Nobody"}, 0},
    {"an unknown wish", MORE("wish: [Rope Chior]"), {"scenario.yaml:3:8: error: ", "Rope Chior", "Rope Choir"}, 0},
    {"keep and ban", MORE("keep: [Rope Choir]\nban: [rope choir]"), {"error: ", "ope ", "ban"}, 0},
    {"a present pool that is missing", MORE("pool: pol.csv"), {"scenario.yaml:3:7: error: ", "pol.csv"}, 0},
    {"no verb", LINE(""), {"usage: poolwright VERB"}, 0},
    {"an unknown verb", LINE("bets scenario.yaml"), {"bets", "best"}, 0},
    {"no subject", LINE("best -o out.csv"), {"error: "}, 0},
    {"two subjects", LINE("best scenario.yaml cards.csv -o out.csv"), {"error: ", "cards.csv"}, 0},
    {"a sheet without a model", LINE("best cards.csv -o out.csv"), {"error: ", "--model"}, 0},
    {"an unknown preset", LINE("best cards.csv --model four-361 -o out.csv"), {"error: ", "four-361", "four-360"}, 0},
    {"an unknown option", LINE("best scenario.yaml --gpa 0 -o out.csv"), {"error: ", "--gpa", "--gap"}, 0},
    {"an unknown short option", LINE("best scenario.yaml -x -o out.csv"), {"error: ", "-x"}, 0},
    {"an option of another verb", LINE("check scenario.yaml --gap 0"), {"error: ", "--gap"}, 0},
    {"no value", LINE("best scenario.yaml -o out.csv --gap"), {"error: ", "--gap"}, 0},
    {"a value for a switch", LINE("best scenario.yaml -o out.csv --json=yes"), {"error: ", "--json"}, 0},
    {"a gap that is none", LINE("best scenario.yaml -o out.csv --gap small"), {"error: ", "--gap", "small"}, 0},
    {"a negative gap", LINE("best scenario.yaml -o out.csv --gap=-1%"), {"error: ", "--gap", "-1%"}, 0},
    {"a cap that is none", LINE("best scenario.yaml -o out.csv --cap much"), {"error: ", "--cap", "much"}, 0},
    {"a negative cap", LINE("best scenario.yaml -o out.csv --cap=-5"), {"error: ", "--cap", "-5"}, 0},
    {"a size that is none", LINE("best scenario.yaml -o out.csv --size big"), {"error: ", "--size", "big"}, 0},
    {"size zero", LINE("best scenario.yaml -o out.csv --size 0"), {"error: ", "--size", "0"}, 0},
    {"a size turned round", LINE("best scenario.yaml -o out.csv --size 5-3"), {"error: ", "--size", "5-3"}, 0},
    {"no threads", LINE("best scenario.yaml -o out.csv --threads 0"), {"error: ", "--threads", "0"}, 0},
    {"an effort that is none", LINE("best scenario.yaml -o out.csv --effort hard"), {"error: ", "--effort", "hard"}, 0},
    {"an unknown engine", LINE("best scenario.yaml -o out.csv --engine slow"), {"error: ", "--engine", "slow"}, 0},
    {"an unknown format", LINE("export scenario.yaml -o out.csv --format xls"), {"error: ", "--format", "xls"}, 0},
    {"an unknown case", LINE("best scenario.yaml -o out.csv --case more"), {"error: ", "more"}, 0},
    {"an unknown card to keep on the command line", LINE("best scenario.yaml -o out.csv --keep Kiln_Warder"), {"error: ", "Kiln Warder", "Kiln Warden"}, 0},
    {"keep and ban on the command line", LINE("best scenario.yaml -o out.csv --keep Rope_Choir --ban Rope_Choir"), {"error: ", "Rope Choir", "ban"}, 0},
    {"a folder that is missing for the list", LINE("best scenario.yaml -o nowhere/out.csv"), {"error: ", "nowhere/out.csv"}, 4},
    {"a full disk", LINE("best scenario.yaml -o /dev/full"), {"error: ", "/dev/full"}, 4},
    {"a full disk for the programme", LINE("export scenario.yaml -o /dev/full"), {"error: ", "/dev/full"}, 4},
    {"the list is a folder", "folder.csv/inside", "x", 0, NULL, "best scenario.yaml -o folder.csv", {"error: ", "folder.csv"}, 4},
};

const size_t mistakes_elsewhere_count = sizeof mistakes_elsewhere / sizeof *mistakes_elsewhere;
