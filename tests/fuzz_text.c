/* fuzz_text.c - sheets of text, changed at random and read, again and again, in UTF-8, Windows-1252 and UTF-16: nothing
 * may crash, hang or leak, a refusal has an error, and what was read is text whose numbers and days can be asked for
 * (make fuzz; built with sanitizers).
 *
 *   fuzz_text SECONDS [SEED]
 *
 * What is wrong is printed with the seed of the single try; SEED begins there. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/text.h"
#include "cards/sheet/sheet_dates.h"
#include "cards/sheet/sheet_numbers.h"
#include "support/run.h"

static const char *const sheets[] = {
    "name,colours,power,price,tags,trial\nZo\xC3\xAB Kiln,brass/tar,7/10,\"1,234.50\",\"embers 1,5; tides\",31/3/2026\n"
    "\"The \"\"Quiet\"\" Mill\",tar,X+1,1 234.50,,2026-03-31 12:30\n",
    "\xEF\xBB\xBFName;Preis;Datum\r\nAsh;1.234,50 "
    "\xE2\x82\xAC;31.03.2026\r\nBay;12,-;03.04.2026\r\n;;\r\nSumme;1'246.50;\r\n",
    "Prices of October\n\nCard\tprice\tdate\nAsh\t1.234.567\t3/4/2026\nBay\t1,500\t4-13-2026\n",
    "sep=;\nname;copies\n2x Caf\xE9;x\n- Bay;\x80 3\n"};

static const char *const words[] = {",",
                                    ";",
                                    "\t",
                                    "\"",
                                    "\"\"",
                                    "\n",
                                    "\r\n",
                                    "\r",
                                    "=",
                                    "'=",
                                    "\xEF\xBB\xBF",
                                    "\xFF\xFE",
                                    "\xFE\xFF",
                                    "\xE9",
                                    "\xC2\xA0",
                                    "1,234",
                                    "1.234,50",
                                    "31/12/2026",
                                    "12/31/26",
                                    "9999999999",
                                    "-",
                                    "sep=,",
                                    " ",
                                    "0",
                                    "999",
                                    "\xF0\x9F\xA6\x80"};

static size_t somewhere(Dice *dice, size_t length)
{
    return (size_t)dice_roll(dice, 0, (int)length);
}

/* Bytes taken out at a place, and a byte, a word or a piece from elsewhere put in. */
static void change(Text *text, Dice *dice)
{
    Text result = {0};
    const size_t at = somewhere(dice, text->length), left = text->length - at;
    const size_t out = dice_chance(dice, 60) ? somewhere(dice, left < 3 ? left : 3) : somewhere(dice, left);
    const char byte = (char)dice_roll(dice, 0, 255);
    text_add_n(&result, text_cstr(text), at);
    if (dice_chance(dice, 30))
        text_add_n(&result, &byte, 1);
    else if (dice_chance(dice, 70))
        text_add(&result, words[dice_roll(dice, 0, sizeof words / sizeof *words - 1)]);
    else
        text_add_n(&result, text_cstr(text), somewhere(dice, text->length));
    text_add_n(&result, text_cstr(text) + at + out, left - out);
    text_release(text);
    *text = result;
}

static void report(uint64_t seed, const char *what)
{
    fprintf(stderr, "seed %llu: %s\n", (unsigned long long)seed, what);
    abort();
}

/* Each cell is asked what it says as a number, as money and as a day. */
static void ask(uint64_t seed, const Sheet *sheet, Diags *diags)
{
    const NumberForm form[] = {{.comma = false}, {.comma = true}, {.comma = false, .groups = true}, {true, true}};
    for (size_t c = 0; c < sheet->header.cells; c++) {
        DateOrder order;
        sheet_date_order(sheet, (int)c, &order, diags);
        for (size_t r = 0; r < sheet->rows; r++) {
            const char *text = sheet->row[r].cell[c].text;
            int64_t number = 0;
            int day = 0;
            if (sheet->row[r].cells != sheet->header.cells || text_utf8_error(text, strlen(text)) != strlen(text))
                report(seed, "a cell that is no text, or a row of another width");
            for (size_t f = 0; f < sizeof form / sizeof *form; f++)
                if ((form_money(form[f], text, &number, NULL) == NUMBER_OK ||
                     form_number(form[f], text, 3, &number, NULL) == NUMBER_OK) &&
                    magnitude64(number) > NUMBER_LIMIT)
                    report(seed, "a number beyond the limit");
            if (date_parse_by(text, order, &day) && (day < -25567 || day > 2932896))
                report(seed, "a day before 1900 or behind 9999");
        }
    }
}

static bool one(const char *folder, const char *path, uint64_t seed)
{
    Dice dice;
    Text text = {0};
    Arena *arena = arena_new();
    Diags diags;
    Sheet sheet;
    dice_seed(&dice, seed);
    text_add(&text, sheets[dice_roll(&dice, 0, sizeof sheets / sizeof *sheets - 1)]);
    const bool wide = text_utf8_error(text_cstr(&text), text.length) == text.length && dice_chance(&dice, 40);
    for (int k = dice_roll(&dice, 0, 4); k > 0 && !wide; k--)
        change(&text, &dice);
    if (wide) {
        folder_write_utf16(folder, "s.csv", text_cstr(&text), dice_chance(&dice, 50));
        size_t length;
        char *bytes = folder_read(folder, "s.csv", &length);
        text_clear(&text);
        text_add_n(&text, bytes, length);
        free(bytes);
        for (int k = dice_roll(&dice, 0, 3); k > 0; k--)
            change(&text, &dice);
    }
    folder_write(folder, "s.csv", text_cstr(&text), text.length);
    diags_init(&diags);
    const bool good = sheet_read(arena, NULL, path, (SourcePos){0}, &sheet, &diags);
    if (good)
        ask(seed, &sheet, &diags);
    else if (diags.errors == 0)
        report(seed, "refused without an error");
    diags_release(&diags);
    arena_free(arena);
    text_release(&text);
    return good;
}

int main(int count, char **argument)
{
    const time_t end = time(NULL) + (count > 1 ? atoi(argument[1]) : 10);
    uint64_t seed = count > 2 ? strtoull(argument[2], NULL, 10) : 1;
    unsigned long tries = 0, read = 0;
    char *folder = folder_new(), path[4096];
    snprintf(path, sizeof path, "%s/s.csv", folder);
    do {
        read += one(folder, path, seed++);
        tries++;
    } while (time(NULL) < end);
    printf("%lu tries of sheets of text: %lu read, %lu refused, none wrong; the next seed is %llu\n", tries, read,
           tries - read, (unsigned long long)seed);
    folder_remove(folder);
    free(folder);
    return 0;
}
