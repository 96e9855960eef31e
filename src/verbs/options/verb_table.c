/* verb_table.c - the verbs: their words for --help, and how many words they take. */
#include <string.h>

#include "verbs/options/options.h"

static const VerbInfo verb_table[VERB_COUNT] = {
    [VERB_IMPORT] =
        {VERB_IMPORT, "your sheets", "import", "your sheets as they are, made a folder that works",
         "poolwright import SHEET... [-o FOLDER] [options]",
         "Looks at the sheets (cards, prices, owned cards, each in a sheet of its own or in one) and finds out which "
         "column is what and how cells are written: tags parted by commas, decimal commas, n/a, totals, the same card "
         "twice. Asks on a terminal, else takes what is likely, and lists it. Writes model.yaml and scenario.yaml; the "
         "sheets are left as they are. Without -o it only says what it found.",
         "  poolwright import list.csv prices.csv -o my-pool\n"
         "  poolwright best my-pool\n",
         true, 50},
    [VERB_INIT] =
        {VERB_INIT, NULL, "init", "a folder to start from: cards, targets, model, scenario",
         "poolwright init FOLDER --seats N|--size N --colours A,B,... [--themes \"T=A+B; ...\"] [--semicolons] | "
         "--from POOL",
         "Writes four commented files for a pool of the size, colours and themes asked for: cards.csv with sample "
         "cards to "
         "replace by your own, targets.csv, model.yaml whose numbers follow from size and colours by sums that stand "
         "beside them, and scenario.yaml. Nothing that is there is overwritten. With --from the limits are "
         "those of a pool that you have: its counts, give or take a tenth.",
         "  poolwright init my-pool --seats 8 --colours brass,glass,linen,tar\n"
         "  poolwright init my-pool --size 360 --colours brass,tar --themes \"bells=brass\"\n"
         "  poolwright init my-pool --from pool.csv\n"
         "  poolwright best my-pool\n",
         true, 0},
    [VERB_CHECK] =
        {VERB_CHECK, NULL, "check", "are the files sound, and can the limits be met",
         "poolwright check SCENARIO|CARDS.csv [options]",
         "Reads everything and counts, without choosing: how many candidates each limit counts, which limit cannot be "
         "met "
         "whatever is chosen, how many cards the limits leave free, and what is unscored, unpriced or untagged.",
         "  poolwright check scenarios/demo\n"
         "  poolwright check cards.csv --model four-360 --rules\n",
         true, 0},
    [VERB_FIND] =
        {VERB_FIND, NULL, "find", "candidates by their fields and texts, sorted",
         "poolwright find SCENARIO|CARDS.csv [options]",
         "Shows the candidates that pass everything asked for. With -o they go into a sheet with your own columns and "
         "`fit`; with --sheet into one that has empty columns to fill in: name that sheet among the scenario's `tags`, "
         "and "
         "what you filled in counts.",
         "  poolwright find scenarios/demo --where theme=convoys --sort fit-per-money\n"
         "  poolwright find scenarios/demo --text \"land [2-9]\" --sheet -o short-list.csv\n",
         true, 0},
    [VERB_BEST] = {VERB_BEST, "the pool", "best", "the best pool, and how good it is proven to be",
                   "poolwright best SCENARIO|CARDS.csv [options]",
                   "Chooses the pool with the greatest fit that meets every limit, and says how far from the best it "
                   "can be at most. "
                   "With -o the list is written as a sheet that keeps your own columns and adds `chosen` and `reason`.",
                   "  poolwright best scenarios/demo --cap 300 -o pool.csv\n"
                   "  poolwright best cards.csv --model four-360 --cap 420 --keep \"Harbour Pilot\"\n"
                   "  poolwright best scenarios/demo --gap 0 --proof demo.proof -o pool.csv\n",
                   true, 0},
    [VERB_WHY] = {VERB_WHY, NULL, "why", "why a card is out, or in, and what would change it",
                  "poolwright why SCENARIO|CARDS.csv CARD... [options]",
                  "Says for each card named why it is not in the best pool: what forcing it in costs and who would "
                  "leave, the fit "
                  "and the price from which it would be in by itself, and for each limit the least change that lets it "
                  "in. For a "
                  "card that is in: what is lost without it. --rules asks every limit to the end; where no pool can "
                  "hold the card, "
                  "the limits that stand against it are listed (--all: all groups of them, and all ways out).",
                  "  poolwright why scenarios/demo \"Mail Dinghy\"\n"
                  "  poolwright why cards.csv \"Mail Dinghy\" --model four-360 --cap 420 --rules\n",
                  true, 50},
    [VERB_SWAP] = {VERB_SWAP, NULL, "swap", "what would replace a chosen card, by fit and by money",
                   "poolwright swap SCENARIO|CARDS.csv [CARD...] [options]",
                   "For each card of the best pool that is named (none: the dearest to buy): the cards that could "
                   "replace it alone "
                   "without breaking a limit, best first and cheapest first, and against that the pool chosen anew "
                   "without it. --all "
                   "shows every such card.",
                   "  poolwright swap scenarios/demo \"Harbour Pilot\"\n"
                   "  poolwright swap scenarios/demo\n",
                   true, 50},
    [VERB_BENCH] =
        {VERB_BENCH, NULL, "bench", "one theme or colour: what is in, and who is next in line",
         "poolwright bench SCENARIO|CARDS.csv THEME|COLOUR [options]",
         "Takes one section of the best pool (a theme, a colour's mono cards, a pair's gold and hybrid cards such as "
         "brass+tar, or colourless, gold, hybrid, fixing) and says what is in by role and cost, which candidates are "
         "next "
         "in line, what each would cost and whom it would replace, the wishes, the dear cards. --settle keeps what is "
         "in "
         "and says what the rest costs at least. With -o the section is written as a sheet.",
         "  poolwright bench scenarios/demo bells\n"
         "  poolwright bench scenarios/demo tar --full -o tar.csv\n"
         "  poolwright bench scenarios/demo convoys --settle\n",
         true, 1},
    [VERB_WHAT_IF] = {VERB_WHAT_IF, NULL, "what-if", "cases, sizes and caps side by side; what money buys",
                      "poolwright what-if SCENARIO|CARDS.csv [--sizes ...] [--caps ...] [options]",
                      "Without --sizes and --caps: every case of the scenario against the scenario as it stands, side "
                      "by side, with the "
                      "cards that come in and go out. --sizes scales the limits and says what one draft sees. --caps "
                      "shows what money "
                      "buys: the knee, sums that buy nothing, the least that buys a pool at all. With -o FOLDER every "
                      "pool is written "
                      "as a sheet, and one sheet that holds all of them side by side.",
                      "  poolwright what-if scenarios/demo\n"
                      "  poolwright what-if scenarios/demo --sizes 360,450,540 -o pools\n"
                      "  poolwright what-if scenarios/demo --caps 200..800/50 --plot frontier.svg\n",
                      true, 0},
    [VERB_PAGE] =
        {VERB_PAGE, NULL, "page", "one HTML file with the pool, its pictures and reasons, and the optimiser",
         "poolwright page [SCENARIO|CARDS.csv] -o FILE.html [options]",
         "Writes one file that opens by a double click, without a network: the best pool and why, themes, curves, "
         "limits, "
         "wishes, what money buys, cases, what to buy, the whole list; and the optimiser, so that caps, cards and "
         "limits "
         "can be moved and are solved again on the page. Without a scenario: a page that takes sheets. With "
         "--drafters: a "
         "page for the players, with room for notes and without prices and scores. docs/page.md has all of it.",
         "  poolwright page scenarios/demo -o pool.html\n"
         "  poolwright page scenarios/demo --drafters -o drafters.html\n"
         "  poolwright page -o poolwright.html\n",
         false, 1},
    [VERB_SEATS] =
        {VERB_SEATS, "at the table", "seats", "what each seat of a draft sees of a pool, and simulated drafts",
         "poolwright seats SCENARIO|CARDS.csv [POOL] [options]",
         "Says how a list (none named: the scenario's present pool) drafts: which theme's drafter will be short, and "
         "of "
         "what; for each theme how many of its cards are expected in a pack, in all packs that a seat opens and in all "
         "that passes it, and the chance to see enough enablers and payoffs; for cards that belong together whether "
         "all "
         "are there. --drafts simulates drafts: what seats end with, what is fought over, what goes last; --tighten "
         "says "
         "which rule would help the worst seat; --part chooses a part of the pool for fewer players; --deal deals "
         "packs.",
         "  poolwright seats scenarios/demo\n"
         "  poolwright seats scenarios/demo pool.csv --seats 6 --package 8+4 --full\n"
         "  poolwright seats scenarios/demo --drafts 1000\n"
         "  poolwright seats scenarios/demo --seats 4 --part -o part.csv\n",
         true, 1},
    [VERB_DECKS] =
        {VERB_DECKS, NULL, "decks", "the best deck that a pool holds for each pair and theme",
         "poolwright decks SCENARIO|CARDS.csv [POOL] [options]",
         "Builds the best deck for each pair of colours and each theme out of a list (none named: the scenario's "
         "present "
         "pool), and a second one without its cards; proven. Decks are as the model's `deck:` says. The weakest come "
         "first, each with the limit that hurts it most. With -o the decks are written as a sheet.",
         "  poolwright decks scenarios/demo\n"
         "  poolwright decks scenarios/demo pool.csv --full -o decks.csv\n",
         true, 1},
    [VERB_AUDIT] =
        {VERB_AUDIT, "over months", "audit", "an existing list against every limit, and what repairs it",
         "poolwright audit SCENARIO|CARDS.csv [POOL] [options]",
         "Counts a list (a sheet with `name`, or one name a line; without POOL the scenario's present pool) against "
         "every "
         "limit: what it breaks and by how much, deliberate exceptions apart, names that are no candidates, how far it "
         "is "
         "from the best pool, and the fewest changes that repair it. Exit code 1 if it breaks a limit. With -o the "
         "repaired list is written.",
         "  poolwright audit scenarios/demo\n"
         "  poolwright audit scenarios/demo my-list.csv -o mended.csv\n"
         "  poolwright audit scenarios/demo pool.csv --proof demo.proof\n",
         true, 1},
    [VERB_REVISE] =
        {VERB_REVISE, NULL, "revise", "the present pool made better by few changes",
         "poolwright revise SCENARIO|CARDS.csv [POOL] [--swaps N] [--spend MONEY] [--new FILE] [--apply] [options]",
         "The best pool of which at most N cards of the present one leave; without --swaps a curve of fit against "
         "swaps, "
         "and the swaps that are worth most, one after the other. --spend limits the money for what enters. With --new "
         "each new candidate is judged: in, near, or out, whom it would replace, what it is worth. --apply takes the "
         "last "
         "pool: it changes the sheet of the present pool and enters in the journal what went out and came in, when and "
         "why.",
         "  poolwright revise scenarios/demo\n"
         "  poolwright revise scenarios/demo --swaps 40 --spend 30 -o next.csv\n"
         "  poolwright revise scenarios/demo --new winter.csv --swaps 40\n",
         true, 1},
    [VERB_FEEDBACK] = {VERB_FEEDBACK, NULL, "feedback", "notes from play as new powers, and what they would change",
                       "poolwright feedback SCENARIO|CARDS.csv NOTES.csv [--apply -o FILE|FOLDER] [options]",
                       "Reads a sheet with card, date, verdict and note and proposes a new power for each card, with "
                       "the reasons: better "
                       "+0.5, worse -0.5, unused -0.25, fine 0, or points such as +1. Shows which cards would enter "
                       "and leave the best "
                       "pool. Nothing is changed; with --apply -o FILE a copy of the cards is written.",
                       "  poolwright feedback scenarios/demo notes.csv\n"
                       "  poolwright feedback scenarios/demo notes.csv --apply -o cards-next.csv\n",
                       true, 1},
    [VERB_COMPARE] =
        {VERB_COMPARE, NULL, "compare",
         "at most ten questions about two cards each, and powers that agree with the answers",
         "poolwright compare SCENARIO|CARDS.csv [--apply -o FILE|FOLDER] [options]",
         "Asks \"which would you rather have?\" about two cards that are near each other, only where the answer "
         "changes "
         "the best pool (proven), at most ten times. Then it proposes the powers that agree with all answers and "
         "differ "
         "least from yours, and shows which cards would enter and leave. Nothing is changed; with --apply -o FILE a "
         "copy "
         "of the cards is written. For scripts: --json shows the next question, --answers FILE answers it.",
         "  poolwright compare scenarios/demo\n"
         "  poolwright compare scenarios/demo --apply -o cards-next.csv\n"
         "  poolwright compare scenarios/demo --answers answers.json --json\n",
         true, 0},
    [VERB_WEIGH] = {VERB_WEIGH, NULL, "weigh", "tag weights and powers learnt from decks that people built",
                    "poolwright weigh SCENARIO|CARDS.csv DECKS.csv [options]",
                    "Reads a sheet of decks (deck, name, copies; also theme, wins, losses) and estimates for each "
                    "theme how much more "
                    "often each card is in its decks than in others that could play it: a tag to review, with its "
                    "weight and how sure "
                    "it is. With --cards it compares powers with how often decks that held a card have won. With -o "
                    "the proposals are "
                    "written, as a sheet of tags or of notes for `feedback`.",
                    "  poolwright weigh scenarios/demo decks.csv -o tags.csv\n"
                    "  poolwright weigh scenarios/demo decks.csv --cards -o notes.csv\n",
                    true, 1},
    [VERB_ORDER] =
        {VERB_ORDER, NULL, "order", "the cheapest way to buy a list from shops",
         "poolwright order SCENARIO|CARDS.csv [POOL] [options]",
         "Takes what must be bought of a list (none named: the scenario's present pool) and finds the offers of the "
         "price "
         "sheets that together cost least, with postage, free postage and least orders as the model's `shops:` says; "
         "proven. With -o the order is written by shop, with a column `paid` for `bought`. With --give the list may "
         "change "
         "where a little less fit saves a parcel.",
         "  poolwright order my-pool pool.csv\n"
         "  poolwright order my-pool pool.csv --give 2\n"
         "  poolwright order my-pool pool.csv -o order.csv\n",
         true, 1},
    [VERB_BOUGHT] =
        {VERB_BOUGHT, NULL, "bought", "a shopping list with what was really paid, booked",
         "poolwright bought SCENARIO|CARDS.csv SHOPPING.csv [options]",
         "Reads a shopping list (of `best`, `revise` or `order`) in whose column `paid` you wrote what was given "
         "for each line, and "
         "writes a sheet of owned cards with copies and money paid (-o), or adds lines to the scenario's "
         "own (--apply). Lines without it are not bought yet. "
         "With cap_counts: "
         "paid and to buy in the model the next plan spends only what is left.",
         "  poolwright best scenarios/demo --shopping shopping.csv\n"
         "  poolwright bought scenarios/demo shopping.csv -o owned.csv\n",
         true, 1},
    [VERB_SLIPS] =
        {VERB_SLIPS, NULL, "slips", "slips to print for cards not bought yet, and a list to tick",
         "poolwright slips SCENARIO|CARDS.csv [POOL] [--ticks] -o FILE.html",
         "Writes a page to print and cut, nine slips to a sheet, for the cards of a list (none named: the scenario's "
         "present pool) that are not owned yet: name, cost, colours, kind and text. They stand in until the cards are "
         "there. With --ticks it writes the whole list by section, to tick while the box is filled. Print in real size "
         "(100%).",
         "  poolwright slips my-pool pool.csv -o slips.html\n"
         "  poolwright slips my-pool pool.csv --ticks -o ticks.html\n",
         true, 1},
    [VERB_WORDS] = {VERB_WORDS, "besides", "words", "what the words on the screens mean",
                    "poolwright words [WORD] [options]",
                    "Every word in short, or one of them in full. docs/words.md has them all.",
                    "  poolwright words\n"
                    "  poolwright words tight\n",
                    false, 2},
    [VERB_ASK] =
        {VERB_ASK, NULL, "ask", "a scenario that stays loaded: questions and answers as lines of JSON",
         "poolwright ask SCENARIO|CARDS.csv [options]",
         "Reads questions from standard input, one JSON object a line, and writes one JSON object a line for each: the "
         "best pool, why and swap, cases, sizes and caps, few changes, each after a change of its own. For scripts and "
         "other programs; docs/ask.md has all of it. Each question starts from the scenario as it stands.",
         "  echo '{\"ask\": \"best\", \"change\": {\"size\": 450}}' | poolwright ask my-pool\n"
         "  poolwright ask scenarios/demo < questions.jsonl > answers.jsonl\n",
         true, 0},
    [VERB_EXPORT] =
        {VERB_EXPORT, NULL, "export", "the integer programme as LP or MPS",
         "poolwright export SCENARIO|CARDS.csv [options]",
         "Writes the integer programme behind `best` in an open format that other solvers read. Fit is in thousandths, "
         "money in cents; an MPS file minimises the negated fit.",
         "  poolwright export scenarios/demo -o demo.lp\n"
         "  poolwright export scenarios/demo --format mps -o demo.mps\n",
         true, 0},
};

const VerbInfo *verb_info(VerbId id)
{
    return &verb_table[id];
}

const char *verb_group(const VerbInfo *verb)
{
    while (verb->group == NULL)
        verb--;
    return verb->group;
}

const VerbInfo *verb_find(const char *name)
{
    for (size_t v = 0; v < VERB_COUNT; v++)
        if (strcmp(verb_table[v].name, name) == 0)
            return &verb_table[v];
    return NULL;
}

const char *verb_nearest(const char *name)
{
    const char *names[VERB_COUNT];
    for (size_t v = 0; v < VERB_COUNT; v++)
        names[v] = verb_table[v].name;
    return text_nearest(name, names, VERB_COUNT);
}

void help_general(Text *out)
{
    text_add(out, "poolwright chooses a card pool for drafting: the best one within your limits and your spending cap, "
                  "proven.\n\n"
                  "usage: poolwright VERB SCENARIO|CARDS.csv [options]\n");
    for (size_t k = 0; k < VERB_COUNT; k++) {
        if (verb_table[k].group != NULL)
            text_printf(out, "\n%s:\n", verb_table[k].group);
        text_printf(out, "  %-8s %s\n", verb_table[k].name, verb_table[k].summary);
    }
    text_add(out, "\n  poolwright VERB --help   what a verb does, its options, an example\n  poolwright --version\n\n"
                  "to begin, with your own list:\n"
                  "  poolwright import list.csv -o my-pool\n"
                  "  poolwright best my-pool --cap 300 -o my-pool/pool.csv\n");
}
