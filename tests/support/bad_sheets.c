/* bad_sheets.c - mistakes in sheets: see bad_input.h. */
#include "bad_input.h"

#define HEAD "name,colours,kind,cost,power,price,copies,owned,status,tags,convoys,sturdiness\n"
#define REST                                                   \
    "Rope Choir,linen,crew,3,5,0.80,,,,removal,,2\n"           \
    "Tide Ledger,brass+linen,cargo,4,7,2.00,,,,,payoff,\n"     \
    "Bolt of Fog,,cargo,1,4,0.50,2,1,,,,1\n"
/* The sound sheet with another second line: columns are those of the cells, counted in characters from 1. */
#define LINE(text) "cards.csv", HEAD text "\n" REST, 0, NULL, NULL

const char sound_cards[] = HEAD "Kiln Warden,brass,crew,2,6,1.20,1,,,removal,3 enabler,3\n" REST;

static void long_line(Page *page)
{
    page_add(page, HEAD REST "Kiln Warden,brass,crew,2,6,1.20,1,,,removal,3 enabler,three");
    static char block[1001];
    for (size_t i = 0; i < 1000; i++) {
        block[i] = 'x';
    }
    for (int i = 0; i < 10000; i++) {
        page_add(page, "%s", block);
    }
    page_add(page, ",one too many\n");
}

const Mistake mistakes_in_sheets[] = {
    {"cards are missing", "scenario.yaml", "model: model.yaml\ncards: [nothing.csv]\n", 0, NULL, NULL, {"scenario.yaml:2:9: error: ", "nothing.csv"}, 0},
    {"cards are a folder", "folder.csv/inside", "x", 0, NULL, "best folder.csv --model model.yaml -o out.csv", {"folder.csv", "folder"}, 0},
    {"cards are empty", "cards.csv", "", 0, NULL, NULL, {"cards.csv", "error: ", "empty"}, 0},
    {"only a header", "cards.csv", HEAD, 0, NULL, NULL, {"cards.csv", "error: "}, 0},
    {"binary", "cards.csv", "\x7f" "ELF\2\1\1\0\0\0\0\0\0\0\0\0\3\0\x3e\0\1\0\0\0", 24, NULL, NULL, {"cards.csv:1:", "error: "}, 0},
    {"a NUL in a cell", "cards.csv", HEAD "Kiln\0Warden,brass\n", sizeof HEAD - 1 + 18, NULL, NULL, {"cards.csv:2:5: error: "}, 0},
    {"a byte that no encoding has", "cards.csv", HEAD "Kiln\x81Warden,brass\n", 0, NULL, NULL, {"cards.csv:2:5: error: "}, 0},
    {"cut in a quote", "cards.csv", HEAD REST "\"Kiln Warden,brass,crew\n", 0, NULL, NULL, {"cards.csv:5:1: error: ", "quote"}, 0},
    {"a quote inside a field", LINE("Kiln \"W\" Warden,brass,crew,2,6,1.20"), {"cards.csv:2:6: error: ", "quote"}, 0},
    {"text behind a closing quote", LINE("\"Kiln\" Warden,brass,crew,2,6,1.20"), {"cards.csv:2:8: error: ", "quote"}, 0},
    {"no column of names", "cards.csv", "title,colours\nKiln Warden,brass\n", 0, NULL, NULL, {"cards.csv:1", "error: ", "name"}, 0},
    {"two columns with one name", "cards.csv", "name,price,Price \nKiln Warden,1,2\n", 0, NULL, NULL, {"cards.csv:1:12: error: ", "rice"}, 0},
    {"color and colours", "cards.csv", "name,color,colours,price\nKiln Warden,brass,brass,1\n", 0, NULL, NULL, {"cards.csv:1:12: error: "}, 0},
    {"too many fields", LINE("Kiln Warden,brass,crew,2,6,1.20,1,,,removal,3 enabler,3,extra"), {"cards.csv:2:", "error: ", "13"}, 0},
    {"a very long line with too many fields", "cards.csv", NULL, 0, long_line, NULL, {"cards.csv:5:", "error: "}, 0},
    {"no name", LINE(",brass,crew,2,6,1.20"), {"cards.csv:2:1: error: ", "name"}, 0},
    {"an unknown colour", LINE("Kiln Warden,brsas,crew,2,6,1.20"), {"cards.csv:2:13: error: ", "brsas", "brass"}, 0},
    {"a colour cut short", LINE("Kiln Warden,brass+,crew,2,6,1.20"), {"cards.csv:2:", "error: "}, 0},
    {"two strokes", LINE("Kiln Warden,brass//linen,crew,2,6,1.20"), {"cards.csv:2:", "error: "}, 0},
    {"an unknown second colour", LINE("Kiln Warden,brass+lime,crew,2,6,1.20"), {"cards.csv:2:19: error: ", "lime"}, 0},
    {"a cost that is none", LINE("Kiln Warden,brass,crew,two,6,1.20"), {"cards.csv:2:24: error: ", "two"}, 0},
    {"a negative cost", LINE("Kiln Warden,brass,crew,-2,6,1.20"), {"cards.csv:2:24: error: ", "-2"}, 0},
    {"a cost too fine", LINE("Kiln Warden,brass,crew,2.0001,6,1.20"), {"cards.csv:2:24: error: ", "2.0001"}, 0},
    {"a power that is none", LINE("Kiln Warden,brass,crew,2,strong,1.20"), {"cards.csv:2:26: error: ", "strong"}, 0},
    {"nan as power", LINE("Kiln Warden,brass,crew,2,nan,1.20"), {"cards.csv:2:26: error: ", "nan"}, 0},
    {"inf as power", LINE("Kiln Warden,brass,crew,2,-inf,1.20"), {"cards.csv:2:26: error: ", "-inf"}, 0},
    {"an exponent as power", LINE("Kiln Warden,brass,crew,2,1e3,1.20"), {"cards.csv:2:26: error: ", "1e3"}, 0},
    {"hexadecimal power", LINE("Kiln Warden,brass,crew,2,0x10,1.20"), {"cards.csv:2:26: error: ", "0x10"}, 0},
    {"a huge power", LINE("Kiln Warden,brass,crew,2,99999999999999999999,1.20"), {"cards.csv:2:26: error: ", "99999999999999999999"}, 0},
    {"a price that is none", LINE("Kiln Warden,brass,crew,2,6,cheap"), {"cards.csv:2:28: error: ", "cheap"}, 0},
    {"a negative price", LINE("Kiln Warden,brass,crew,2,6,-1.20"), {"cards.csv:2:28: error: ", "-1.20"}, 0},
    {"a huge price", LINE("Kiln Warden,brass,crew,2,6,12345678901234567"), {"cards.csv:2:28: error: ", "12345678901234567"}, 0},
    {"a price in thousandths", LINE("Kiln Warden,brass,crew,2,6,1.205"), {"cards.csv:2:28: error: ", "1.205"}, 0},
    {"perhaps thousands", "cards.csv", "name;price\nKiln Warden;1.500\nRope Choir;2,30\n", 0, NULL, NULL, {"cards.csv:2:13: error: ", "'1.500'", "1500 (without"}, 0},
    {"perhaps thousands with a comma", "cards.csv", "name\tprice\nKiln Warden\t1,250\n", 0, NULL, NULL, {"cards.csv:2:13: error: ", "'1,250'", "1250 (without"}, 0},
    {"perhaps thousands in prices", "prices.csv", "name;price\nKiln Warden;EUR 1.500\n", 0, NULL, "best prices.yaml -o out.csv", {"prices.csv:2:13: error: ", "'EUR 1.500'", "1500 (without"}, 0},
    {"NaN as price", LINE("Kiln Warden,brass,crew,2,6,NaN"), {"cards.csv:2:28: error: ", "NaN"}, 0},
    {"a date as price", LINE("Kiln Warden,brass,crew,2,6,2024-05-01"), {"cards.csv:2:28: error: ", "2024-05-01"}, 0},
    {"two signs on a price", LINE("Kiln Warden,brass,crew,2,6,$1.20 EUR"), {"cards.csv:2:28: error: ", "$1.20 EUR"}, 0},
    {"no price under a cap", LINE("Kiln Warden,brass,crew,2,6,"), {"cards.csv:2", "error: ", "Kiln Warden"}, 0},
    {"no copies", LINE("Kiln Warden,brass,crew,2,6,1.20,0"), {"cards.csv:2:33: error: ", "'0'"}, 0},
    {"half a copy", LINE("Kiln Warden,brass,crew,2,6,1.20,1.5"), {"cards.csv:2:33: error: ", "1.5"}, 0},
    {"too many copies", LINE("Kiln Warden,brass,crew,2,6,1.20,1001"), {"cards.csv:2:33: error: ", "1001"}, 0},
    {"owned that is none", LINE("Kiln Warden,brass,crew,2,6,1.20,1,maybe"), {"cards.csv:2:35: error: ", "maybe"}, 0},
    {"negative owned", LINE("Kiln Warden,brass,crew,2,6,1.20,1,-1"), {"cards.csv:2:35: error: ", "-1"}, 0},
    {"an unknown status", LINE("Kiln Warden,brass,crew,2,6,1.20,1,,kepe"), {"cards.csv:2:36: error: ", "kepe", "keep"}, 0},
    {"keep and ban in one cell", LINE("Kiln Warden,brass,crew,2,6,1.20,1,,keep;ban"), {"cards.csv:2", "error: ", "ban"}, 0},
    {"the same tag twice", LINE("Kiln Warden,brass,crew,2,6,1.20,1,,,removal; removal 2"), {"cards.csv:2:", "error: ", "removal"}, 0},
    {"a tag also in its own column", LINE("Kiln Warden,brass,crew,2,6,1.20,1,,,convoys,2"), {"cards.csv:2:", "error: ", "convoys"}, 0},
    {"a huge weight", LINE("Kiln Warden,brass,crew,2,6,1.20,1,,,removal 99999999999999"), {"cards.csv:2:37: error: ", "99999999999999"}, 0},
    {"a wrong role in a theme's column", LINE("Kiln Warden,brass,crew,2,6,1.20,1,,,,3 enablr"), {"cards.csv:2:38: error: ", "enablr"}, 0},
    {"one name, two cards", LINE("rope choir,brass,crew,2,6,1.20"), {"cards.csv:", "error: ", "ope "}, 0},
    {"one name across sheets", "scenario.yaml", "model: model.yaml\ncards: [cards.csv, cards2.csv]\n", 0, NULL, NULL, {"error: ", "cards2.csv", "Kiln Warden"}, 0},
    {"a mapped column that is not there", "model.yaml", ADD "columns: {price: \"unit prise\"}\n", 0, NULL, NULL, {"model.yaml:9:18: error: ", "unit prise"}, 0},
    {"prices without prices", "scenario.yaml", ADD "prices: [names.csv]\n", 0, NULL, NULL, {"names.csv:1", "error: ", "price"}, 0},
    {"prices are missing", "scenario.yaml", ADD "prices: [cheap.csv]\n", 0, NULL, NULL, {"scenario.yaml:3:10: error: ", "cheap.csv"}, 0},
    {"a price that is none in prices", "prices.csv", "name,price\nKiln Warden,free\n", 0, NULL, "best prices.yaml -o out.csv", {"prices.csv:2:13: error: ", "free"}, 0},
    {"half a copy owned", "owned.csv", "name,copies\nKiln Warden,0.5\n", 0, NULL, "best owned.yaml -o out.csv", {"owned.csv:2:13: error: ", "0.5"}, 0},
    {"a wrong role in tags", "tags.csv", "name,tag,role\nKiln Warden,mending,helper\n", 0, NULL, "best tags.yaml -o out.csv", {"tags.csv:2:21: error: ", "helper"}, 0},
    {"a tag that the card has", "tags.csv", "name,tag,role\nKiln Warden,removal,\n", 0, NULL, "best tags.yaml -o out.csv", {"tags.csv:2:", "error: ", "removal"}, 0},
    {"a pool without names", "pool.csv", "card,copies\nKiln Warden,1\n", 0, NULL, "best pool.yaml -o out.csv", {"pool.csv:1", "error: ", "name"}, 0},
    {"a pool of half copies", "pool.csv", "name,copies\nKiln Warden,half\n", 0, NULL, "best pool.yaml -o out.csv", {"pool.csv:2:13: error: ", "half"}, 0},
    {"targets: an unknown rule", "targets.csv", "rule,all\nremovel,2+\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:2:1: error: ", "removel", "removal"}, 0},
    {"targets: an unknown theme", "targets.csv", "rule,all,convois\nremoval,,2+\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:1:10: error: ", "convois", "convoys"}, 0},
    {"targets: an unknown pair", "targets.csv", "rule,all,brass+tin\nremoval,2+,\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:1:10: error: ", "brass+tin"}, 0},
    {"targets: a member that the rule has not", "targets.csv", "rule,all,brass\nremoval,,1+\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:2:10: error: ", "brass"}, 0},
    {"targets: not a bound", "targets.csv", "rule,all\nremoval,some\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:2:9: error: ", "some"}, 0},
    {"targets: low above high", "targets.csv", "rule,all\nremoval,3-1\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:2:9: error: ", "3"}, 0},
    {"targets: a half card", "targets.csv", "rule,all\nremoval,1.5+\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:2:9: error: ", "1.5"}, 0},
    {"targets: three bounds", "targets.csv", "rule,all\nremoval,1-2-3\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:2:9: error: ", "1-2-3"}, 0},
    {"targets: a date", "targets.csv", "rule,all\nremoval,10-Oct\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:2:9: error: ", "10-Oct"}, 0},
    {"targets: a percentage of nothing", "targets.csv", "rule,all\nremoval,150%\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:2:9: error: "}, 0},
    {"targets: bounds without a rule", "targets.csv", "rule,all\n,2\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:2:1: error: "}, 0},
    {"targets: two columns for one pair", "targets.csv", "rule,brass+linen,linen+brass\nremoval,,\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.csv:1:18: error: ", "linen+brass"}, 0},
    {"targets are missing", "targets.yaml", "model: model.yaml\ncards: [cards.csv]\ntargets: [tragets.csv]\n", 0, NULL, "best targets.yaml -o out.csv", {"targets.yaml:3:11: error: ", "tragets.csv"}, 0},
};

const size_t mistakes_in_sheets_count = sizeof mistakes_in_sheets / sizeof *mistakes_in_sheets;
