/* test_import_styles.c - sheets in the many styles that people write: what import takes each column for and how it
 * reads the cells, and that what it writes becomes a pool. All data are of an invented game. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/desk.h"

typedef struct {
    const char *what, *sheet;
    const char *holds;      /* of each column: "name power own" */
    const char *role;       /* NULL: cards */
    const char *answers[6]; /* "slash=both", as taken */
} Style;

#define REST_OF_CARDS "Bee Yard,fen,rig,3\nCoal Cart,clay,tool,1\nDusk Bell,fen,rig,2\nElm Gate,clay,rig,5\n"

static const Style styles[] = {
    {"our own words",
     "name,colours,kind,cost\nAsh Kiln,fen,rig,2\n" REST_OF_CARDS,
     "name colours kind cost",
     NULL,
     {"colours=clay, fen"}},
    {"capitals and blanks",
     " Card Name , COLOR ,Type of card,Play cost\nAsh Kiln,fen,rig,2\n" REST_OF_CARDS,
     "name colours kind cost",
     NULL,
     {NULL}},
    {"German",
     "Kartenname;Farbe;Typ;Kosten;Preis;Anzahl\nAsh Kiln;fen;rig;2;1,50;2\nBee Yard;clay;tool;3;0,75;1\nCoal "
     "Cart;fen;rig;1;12,00;1\n",
     "name colours kind cost price copies",
     NULL,
     {"decimal=comma"}},
    {"columns of themes that are called so",
     "name,theme kites,theme mills\nAsh Kiln,payoff 2,x\nBee Yard,,\nCoal Cart,x,x\nDusk Bell,,\nElm Gate,enabler,\n",
     "name own own",
     NULL,
     {"theme theme kites=yes", "theme theme mills=yes"}},
    {"totals and no colour in other languages",
     "Název;Barva;Cena\nAsh Kiln;fen;2,10\nBee Yard;clay;3,05\nCoal Cart;bezbarvý;0,20\nDusk Bell;fen;1,00\nElm "
     "Gate;clay;2,00\nCelkem;;8,35\n",
     "name colours price",
     NULL,
     {"skip totals=yes", "colours=clay, fen", "colour bezbarvý=colourless"}},
    {"scores in words",
     "name,Rating,price\nAsh Kiln,Must,2\nBee Yard,good,1\nCoal Cart,must,3\nDusk Bell,good,2\nElm Gate,good,2\n",
     "name power price",
     NULL,
     {"grade good=5", "grade must=5"}},
    {"scores in stars",
     "name,Stars,price\nAsh Kiln,***,2\nBee Yard,*,1\nCoal Cart,**,3\nDusk Bell,*,2\nElm Gate,***,2\n",
     "name power price",
     NULL,
     {"grade *=1", "grade **=2", "grade ***=3"}},
    {"other stars",
     "name,Stars,price\nAsh Kiln,★★,2\nBee Yard,★,1\nCoal Cart,★★,3\nDusk Bell,★,2\n",
     "name power price",
     NULL,
     {"grade ★=1", "grade ★★=2"}},
    {"roles in brackets of one theme alone",
     "name,colours,tags\nAsh Kiln,fen,nets (starter)\nBee Yard,clay,nets (goal)\nCoal Cart,fen,nets (goal)\nDusk Bell,"
     "clay,\nElm Gate,fen,nets (starter)\n",
     "name colours tags",
     NULL,
     {"role starter=enabler", "role goal=payoff"}},
    {"tiers beside scores",
     "name,colours,Tier,Our score (1-10)\n"
     "Ash Kiln,fen,1,1\n"
     "Bee Yard,clay,2,8\n"
     "Coal Cart,fen,3,5\n"
     "Dusk Bell,clay,4,2\n"
     "Elm Gate,fen,1,9\n"
     "Fog Mill,clay,2,6\n"
     "Gull Nest,fen,3,3\n"
     "Hop Pole,clay,4,10\n"
     "Ink Well,fen,1,7\n"
     "Jug Band,clay,2,4\n"
     "Kelp Bed,fen,3,1\n"
     "Low Tide,clay,4,8\n",
     "name colours cost power",
     NULL,
     {NULL}},
    {"roles in words of columns of themes, and what is cut",
     "name,colours,kites,mills,Cut?\n"
     "Ash Kiln,fen,starts,,\n"
     "Bee Yard,clay,,ends,x\n"
     "Coal Cart,fen,x,,\n"
     "Dusk Bell,clay,,starts,\n"
     "Elm Gate,fen,ends,x,\n"
     "Fog Mill,clay,2,,\n"
     "Gull Nest,fen,starts,,x\n"
     "Hop Pole,clay,,ends,\n"
     "Ink Well,fen,x,,\n"
     "Jug Band,clay,,starts,\n"
     "Kelp Bed,fen,ends,x,\n"
     "Low Tide,clay,2,,x\n",
     "name colours own own own",
     NULL,
     {"theme kites=yes", "theme mills=yes", "theme Cut?=no", "role starts=enabler", "role ends=payoff"}},
    {"a word behind tags beside one that is known",
     "name;colours;tags\n"
     "Ash Kiln;fen;\"kites but\"\n"
     "Bee Yard;clay;\"kites\"\n"
     "Coal Cart;fen;\"mills moteur; nets\"\n"
     "Dusk Bell;clay;\"nets but 2\"\n"
     "Elm Gate;fen;\"nets moteur\"\n"
     "Fog Mill;clay;\"mills\"\n"
     "Gull Nest;fen;\"mills but\"\n"
     "Hop Pole;clay;\"kites moteur\"\n"
     "Ink Well;fen;\"\"\n"
     "Jug Band;clay;\"kites but; mills\"\n"
     "Kelp Bed;fen;\"nets\"\n"
     "Low Tide;clay;\"nets moteur\"\n",
     "name colours tags",
     NULL,
     {"role but=payoff", "role moteur=enabler", "themes=nets, kites, mills"}},
    {"letters with a sign",
     "name,Rating,price\nAsh Kiln,A+,2\nBee Yard,B-,1\nCoal Cart,A+,3\nDusk Bell,B-,2\nElm Gate,B-,2\n",
     "name power price",
     NULL,
     {"grade b-=5", "grade a+=5"}},
    {"words under scores that can be no scores",
     "name,Rating,price\nAsh Kiln,A/1,2\nBee Yard,B/2,1\nCoal Cart,A/1,3\nDusk Bell,B/2,2\nElm Gate,B/2,2\n",
     "name own price",
     NULL,
     {NULL}},
    {"French",
     "Nom;Couleur;Genre;Prix\nAsh Kiln;fen;rig;2,10\nBee Yard;clay;rig;3,05\nCoal Cart;clay;tool;0,20\n",
     "name colours kind price",
     NULL,
     {NULL}},
    {"Spanish",
     "Nombre,Colores,Tipo,Precio\nAsh Kiln,fen,rig,2.10\nBee Yard,clay,rig,3.05\nCoal Cart,clay,tool,0.20\n",
     "name colours kind price",
     NULL,
     {NULL}},
    {"Italian",
     "Carta,Colore,Categoria,Prezzo\nAsh Kiln,fen,rig,2.10\nBee Yard,clay,rig,3.05\nCoal Cart,clay,tool,0.20\n",
     "name colours kind price",
     NULL,
     {NULL}},
    {"no header speaks but the cells do",
     "A,B,C\nAsh Kiln,$2.10,x\nBee Yard,$3.05,\nCoal Cart,$0.20,x\n",
     "name price own",
     "cards",
     {NULL}},
    {"money under cost",
     "Title,Colour,Cost\nAsh Kiln,fen,2.10\nBee Yard,fen,3.05\nCoal Cart,clay,0.20\n",
     "name colours price",
     NULL,
     {NULL}},
    {"a numbered list with notes",
     "#,Card,Colour,My rating,Notes\n1,Ash Kiln,fen,7.5,good\n2,Bee Yard,clay,6,\n3,Coal Cart,fen,5,check again\n",
     "own name colours power own",
     NULL,
     {NULL}},
    {"prices alone",
     "Card,Market price,As of\nAsh Kiln,2.10,2026-03-01\nBee Yard,3.05,2026-03-01\n",
     "name price own",
     "cards",
     {NULL}},
    {"owned as yes and no",
     "Card,Colour,Do I own it?\nAsh Kiln,fen,yes\nBee Yard,clay,no\nCoal Cart,fen,yes\n",
     "name colours owned",
     NULL,
     {NULL}},
    {"copies of which there may be none",
     "Card,Colour,Qty\nAsh Kiln,fen,0\nBee Yard,clay,2\nCoal Cart,fen,1\n",
     "name colours owned",
     NULL,
     {NULL}},
    {"ticks for themes and for what is owned",
     "Card,Colour,Kites,Owned?\nAsh Kiln,fen,✓,✔️\nBee Yard,clay,,✗\nCoal Cart,fen,✓,\nDusk Bell,clay,,☑\n",
     "name colours own owned",
     NULL,
     {"theme Kites=yes"}},
    {"counts with an x",
     "Card,Colour,How many\nAsh Kiln,fen,1x\nBee Yard,clay,2x\nCoal Cart,fen,1x\n",
     "name colours copies",
     NULL,
     {NULL}},
    {"headers cut short, an average below",
     "Nom\tCoul.\tForce\nAsh Kiln\tfen\t7\nBee Yard\tclay\t6\nCoal Cart\tfen\t5\nMoyenne\t\t6\n",
     "name colours power",
     NULL,
     {"skip totals=yes", "colours=clay, fen"}},
    {"tags by commas",
     "Card,Colour,Strategies\nAsh Kiln,fen,\"kites, mills\"\nBee Yard,clay,\"mills, debts\"\nCoal Cart,fen,kites\n",
     "name colours tags",
     NULL,
     {"tags_split=comma"}},
    {"tags by bars",
     "Card,Colour,Themes\nAsh Kiln,fen,kites|mills\nBee Yard,clay,mills|debts\nCoal Cart,fen,kites\n",
     "name colours tags",
     NULL,
     {"tags_split=bar"}},
    {"tags by line ends",
     "Card,Colour,Tags\nAsh Kiln,fen,\"kites\nmills\"\nBee Yard,clay,\"mills\ndebts\"\nCoal Cart,fen,kites\n",
     "name colours tags",
     NULL,
     {"tags_split=newline"}},
    {"letters for colours",
     "Card,Col\nAsh Kiln,F\nBee Yard,C\nCoal Cart,FC\nDusk Bell,F/C\nElm Gate,C\nFen Mill,F\n",
     "name colours",
     NULL,
     {"colours=C, F", "slash=either"}},
    {"short forms beside names",
     "Card,Colour\nAsh Kiln,fen\nBee Yard,clay\nCoal Cart,fe\nDusk Bell,fen\nElm Gate,clay\n",
     "name colours",
     NULL,
     {"colours=clay, fen", "colour fe=fen"}},
    {"a letter that stands beside colours is none of colourless",
     "Card,Colour\nAsh Kiln,F\nBee Yard,C\nCoal Cart,farblos\nDusk Bell,F/C\nElm Gate,C\nFen Mill,F\n",
     "name colours",
     NULL,
     {"colours=C, F"}},
    {"nor is one in a run of letters",
     "Card,Colour\nAsh Kiln,F\nBee Yard,C\nCoal Cart,farblos\nDusk Bell,FC\nElm Gate,C\nFen Mill,F\n",
     "name colours",
     NULL,
     {"colours=C, F"}},
    {"colours with and",
     "Card,Colour\nAsh Kiln,fen\nBee Yard,clay\nCoal Cart,fen and clay\nDusk Bell,fen\nElm Gate,clay\n",
     "name colours",
     NULL,
     {"colours=clay, fen"}},
    {"nothing but slashes",
     "Card,Colour\nAsh Kiln,fen\nBee Yard,clay\nCoal Cart,fen/clay\nDusk Bell,fen/clay\nElm Gate,clay\n",
     "name colours",
     NULL,
     {"slash=both"}},
    {"slashes among plus signs",
     "Card,Colour\nAsh Kiln,fen\nBee Yard,clay\nCoal Cart,fen+clay\nDusk Bell,fen/clay\nElm Gate,clay\n",
     "name colours",
     NULL,
     {"slash=either"}},
    {"a misspelt colour",
     "Card,Colour\nAsh Kiln,fen\nBee Yard,clay\nCoal Cart,caly\nDusk Bell,fen\nElm Gate,clay\n",
     "name colours",
     NULL,
     {"colour caly=clay"}},
    {"words for nothing",
     "Card,Colour,Price\nAsh Kiln,fen,n/a\nBee Yard,clay,2.00\nCoal Cart,?,1.00\n",
     "name colours price",
     NULL,
     {"blanks=yes"}},
    {"a word in a column of numbers",
     "Card,Colour,Price\nAsh Kiln,fen,cheap\nBee Yard,clay,2.00\nCoal "
     "Cart,fen,1.00\nDusk,fen,1.00\nElm,fen,1.00\nFin,fen,1.00\nGar,fen,1.00\nHen,fen,1.00\nIvy,fen,1.00\nJay,fen,1."
     "00\n",
     "name colours price",
     NULL,
     {"blanks=yes"}},
    {"headers in Czech and in Hungarian",
     "N\xC3\xA1zev,Barvy,Druh,Hodnocen\xC3\xAD,Cena\nAsh Kiln,fen,rig,3,12.00\nBee Yard,clay,rig,2,20.00\n"
     "Coal Cart,fen,tool,1,35.00\n",
     "name colours kind power price",
     NULL,
     {NULL}},
    {"and these",
     "N\xC3\xA9v,Sz\xC3\xADn,T\xC3\xADpus,Pont\nAsh Kiln,fen,rig,3\nBee Yard,clay,rig,2\nCoal Cart,fen,tool,1\n",
     "name colours kind power",
     NULL,
     {NULL}},
    {"a currency in the header of prices",
     "Card,Colour,Verdict,Each (K\xC4\x8D)\nAsh Kiln,fen,3,12\nBee Yard,clay,2,20\nCoal Cart,fen,1,35\n",
     "name colours power price",
     NULL,
     {NULL}},
    {"a range in a column of numbers",
     "Card,Colour,Price\nAsh Kiln,fen,12-15\nBee Yard,clay,2.00\nCoal "
     "Cart,fen,1.00\nDusk,fen,1.00\nElm,fen,1.00\nFin,fen,1.00\nGar,fen,1.00\nHen,fen,1.00\nIvy,fen,1.00\nJay,fen,1."
     "00\n",
     "name colours price",
     NULL,
     {"blank numbers=yes"}},
    {"totals and headings",
     "Card,Colour,Kind,Price\nRigs,,,\nAsh Kiln,fen,rig,2.00\nBee Yard,clay,tool,2.00\nCoal "
     "Cart,fen,rig,1.00\nDusk,fen,rig,1.00\nElm,fen,rig,1.00\nFin,fen,rig,1.00\nGar,fen,rig,1.00\nHen,fen,rig,1."
     "00\nIvy,fen,rig,1.00\nTotal,,,11.00\n",
     "name colours kind price",
     NULL,
     {"skip totals=yes", "skip headings=yes"}},
    {"totals in more words",
     "Card,Colour,Kind,Copies\nAsh Kiln,fen,rig,2\nBee Yard,clay,tool,2\nTotal so far,,,4\nCoal Cart,fen,rig,1\n"
     "Dusk,fen,rig,1\nTotal for fen,,,4\n",
     "name colours kind copies",
     NULL,
     {"skip totals=yes"}},
    {"names of a list",
     "Card,Colour\n- Ash Kiln,fen\n- Bee Yard,clay\n- Coal Cart,fen\n",
     "name colours",
     NULL,
     {"listed_names=yes"}},
    {"thousands and decimal commas",
     "Card;Colour;Price\nAsh Kiln;fen;1.234,50\nBee Yard;clay;2,00\nCoal Cart;fen;0,50\n",
     "name colours price",
     NULL,
     {"decimal=comma"}},
    {"a title, and columns of themes",
     "My list\n\nCard,Colour,Kites,Mills\nAsh Kiln,fen,x,\nBee Yard,clay,,x\nCoal Cart,fen,x,2\nDusk Bell,clay,,x\n",
     "name colours own own",
     NULL,
     {"theme Kites=yes", "theme Mills=yes", "themes=Mills, Kites"}},
    {"words that are no colours, odd headers and names",
     "\"My \"\"odd\"\": header # 1\",Card,Colour,Themes\n1,\"Iron, Kiln: the #1\",All,\"any; none\"\n2,Bee "
     "Yard,fen,any\n3,Coal "
     "Cart,clay,any\n4,Dusk Bell,Any,symbols\n5,Elm Gate,fen,symbols\n6,Fen Mill,clay,\"symbols; "
     "any\"\n7,Gar,,symbols\n",
     "own name colours tags",
     NULL,
     {"colours=clay, fen", "colour All=colourless", "themes=none"}},
    {"Polish, with headers that no word is known for",
     "Moja lista;;;;;\n;;;;;\nNazwa karty;Strona;Rodzaj;Koszt;Cena;Cechy\n"
     "Ash Kiln;fen;rig;2;1,50 z\xC5\x82;kites | mills\nBee Yard;clay;tool;3;0,75 z\xC5\x82;kites\n"
     "Coal Cart;gar;rig;1;12,00 z\xC5\x82;mills\nDusk Bell;fen + clay;rig;2;brak;kites | mills\n"
     "Elm Gate;clay / gar;tool;5;3 z\xC5\x82;kites payoff | mills\nFog Horn;fen;rig;2;0,20 z\xC5\x82;\n"
     "Gull;clay;rig;4;0,20 z\xC5\x82;kites\nHay Loft;gar;rig;4;0,20 z\xC5\x82;mills | kites\n"
     "Ice Pick;gar + fen;rig;1;0,20 z\xC5\x82;\nJetty;szare;rig;3;0,20 z\xC5\x82;\n"
     "Kite Shed;szare;rig;3;0,20 z\xC5\x82;kites\n",
     "name colours kind cost price tags",
     NULL,
     {"colours=clay, fen, gar", "colour szare=colourless", "column list.csv Strona=colours",
      "column list.csv Cechy=tags", "decimal=comma", "tags_split=bar"}},
    {"kinds that some cards have two of are no colours",
     "Card,Make,Cost\nAsh Kiln,rig,2\nBee Yard,rig / tool,3\nCoal Cart,tool,1\nDusk Bell,rig,2\n"
     "Elm Gate,tool / rig,5\nFog Horn,crew,2\nGull,crew,4\nHay Loft,tool,4\nIce Pick,rig,1\nJetty,shed,2\n"
     "Kite,shed,2\nLamp,rig/tool,2\n",
     "name own cost",
     NULL,
     {"colours=plain"}},
    {"words between colours, of one word and of two",
     "Card,Colour,Type\nAsh Kiln,Salt or Deep Fen,rig\nBee Yard,Deep Fen and Clay,rig\nCoal Cart,Salt,tool\n"
     "Dusk Bell,Deep Fen,rig\nElm Gate,Clay,tool\nFog Horn,Clay or Salt,tool\n",
     "name colours kind",
     NULL,
     {"colours=Clay, Deep Fen, Salt"}},
    {"a colour that is called as a word between colours, one that has such a word",
     "Card,Colour,Type\nAsh Kiln,e and Salt,rig\nBee Yard,Salt or Clay,rig\nCoal Cart,Salt,tool\n"
     "Dusk Bell,e,rig\nElm Gate,Clay,tool\nFog Horn,Clay or e,tool\n",
     "name colours kind",
     NULL,
     {"colours=Clay, Salt, e"}},
    {"a colour with such a word in it",
     "Card,Colour,Type\nAsh Kiln,Moss and Fen+Salt,rig\nBee Yard,Salt/Clay,rig\nCoal Cart,Salt,tool\n"
     "Dusk Bell,Moss and Fen,rig\nElm Gate,Clay,tool\nFog Horn,Clay+Moss and Fen,tool\n",
     "name colours kind",
     NULL,
     {"colours=Clay, Moss and Fen, Salt"}},
    {"few kinds, some cards with two of them",
     "Card,Make,Cost\nAsh Kiln,rig,2\nBee Yard,rig / tool,3\nCoal Cart,tool,1\nDusk Bell,rig,2\n"
     "Elm Gate,rig / tool,5\nFog Horn,crew,2\nGull,crew,4\nHay Loft,tool,4\nIce Pick,rig / tool,1\nJetty,rig,2\n",
     "name own cost",
     NULL,
     {"colours=plain"}},
    {"a colour of two words that also stands beside others",
     "Card,Colour,Type\nAsh Kiln,Salt + Deep Fen,rig\nBee Yard,Deep Fen + Clay,rig\nCoal Cart,Salt,tool\n"
     "Dusk Bell,Deep Fen,rig\nElm Gate,Clay,tool\nFog Horn,Clay + Salt + Gar,tool\nGull,Gar,rig\n",
     "name colours kind",
     NULL,
     {"colours=Clay, Deep Fen, Gar, Salt"}},
    {"the same name twice",
     "Card,Colour,Price\nAsh Kiln,fen,2.00\nBee Yard,clay,2.00\nash kiln,fen,3.00\n",
     "name colours price",
     NULL,
     {"duplicates=fill"}},
};

static const json_t *question_of(const json_t *root, const char *id)
{
    size_t i;
    json_t *question;
    json_array_foreach (json_object_get(root, "questions"), i, question) {
        if (strcmp(json_text(question, "id"), id) == 0)
            return question;
    }
    return NULL;
}

static void expect_style(const Style *style, const json_t *root, const Run *run)
{
    const json_t *sheet = json_array_get(json_object_get(root, "sheets"), 0);
    char holds[200] = "";
    size_t i;
    json_t *column;
    json_array_foreach (json_object_get(sheet, "columns"), i, column) {
        strcat(strcat(holds, holds[0] != '\0' ? " " : ""), json_text(column, "holds"));
    }
    if (strcmp(holds, style->holds) != 0)
        fail_msg("%s: the columns are '%s', expected '%s'\n%s", style->what, holds, style->holds, run->out);
    assert_string_equal(json_text(sheet, "role"), style->role != NULL ? style->role : "cards");
    for (size_t a = 0; a < 6 && style->answers[a] != NULL; a++) {
        char id[100];
        const char *equals = strchr(style->answers[a], '=');
        snprintf(id, sizeof id, "%.*s", (int)(equals - style->answers[a]), style->answers[a]);
        const json_t *question = question_of(root, id);
        if (question == NULL || strcmp(json_text(question, "answer"), equals + 1) != 0)
            fail_msg("%s: expected the answer %s\n%s", style->what, style->answers[a], run->out);
        assert_string_equal(json_text(question, "by"), "likely");
    }
}

/* ... and what is written works: the sheet becomes a pool. */
static void every_style_becomes_a_pool(void **state)
{
    (void)state;
    for (size_t s = 0; s < sizeof styles / sizeof *styles; s++) {
        char *folder = folder_new();
        Run run;
        folder_print(folder, "list.csv", styles[s].sheet);
        run_poolwright(folder, (const char *const[]){"import", "list.csv", "-o", "pool", "--json", NULL}, NULL, &run);
        if (run.code != 0)
            fail_msg("%s: exit code %d\n%s", styles[s].what, run.code, run.err);
        json_t *root = run_json(&run);
        expect_style(&styles[s], root, &run);
        json_decref(root);
        run_forget(&run);
        char *after = folder_read(folder, "list.csv", NULL);
        assert_string_equal(after, styles[s].sheet); /* it is left as it was */
        free(after);
        run_poolwright(folder, (const char *const[]){"best", "pool", NULL}, NULL, &run);
        if (run.code != 0 || strstr(run.out, "every limit met") == NULL)
            fail_msg("%s: no pool: exit code %d\n%s%s", styles[s].what, run.code, run.out, run.err);
        run_forget(&run);
        folder_remove(folder);
        free(folder);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_style_becomes_a_pool)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
