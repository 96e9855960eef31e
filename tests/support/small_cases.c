/* small_cases.c - see small_cases.h. */
#include "support/small_cases.h"

#include "support/run.h"

char *small_cases(void)
{
    char *folder = folder_new();
    folder_print(
        folder, "cards.csv",
        "name,colours,power,price,owned,tags\n"
        "Amber Lamp,rye,5,1.00,,\nBroad Bell,rye,4,1.00,,\nCopper Drum,rye,3,0.50,,\nDull Gong,rye,2,0.20,,\n"
        "Elm Flute,teal,5,2.00,,\nFir Horn,teal,4,1.00,,\nGorse Lyre,teal,3,0.50,1,\nHazel Reed,teal,2,0.10,,\n");
    folder_print(folder, "model.yaml",
                 "size: 4\nspending_cap: 3.00\ncolours: [rye, teal]\nrules:\n  - {name: mono, each: colour, where: "
                 "{class: mono}, exactly: 2}\n");
    folder_print(folder, "scenario.yaml",
                 "model: model.yaml\ncards: [cards.csv]\npool: pool.csv\npool_owned: no\ncases:\n"
                 "  - {name: dear lamp, cards: {Amber Lamp: {price: 9.00}}}\n"
                 "  - {name: no bell, cards: {broad bell: {ban: yes}, Hazel Reed: {keep: yes}}}\n"
                 "  - {name: more, files: [more.csv]}\n"
                 "  - {name: scores, cards: {Dull Gong: {power: 9, owned: 1}}}\n");
    folder_print(folder, "more.csv",
                 "name,colours,power,price\nIron Harp,teal,7,0.30\nJet Rattle,rye,2.5,0.40\nKelp Pipe,teal,1,0.40\n");
    folder_print(folder, "pool.csv", "name\nCopper Drum\nDull Gong\nGorse Lyre\nHazel Reed\n");
    return folder;
}
