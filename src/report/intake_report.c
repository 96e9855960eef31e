/* intake_report.c - see intake_report.h. */
#include "report/intake_report.h"

#include <ctype.h>
#include <string.h>

#include "report/json/json.h"

/* ---- text ---- */

static void add_part(Text *out, size_t count, const char *what)
{
    if (count > 0)
        text_printf(out, ", %zu %s", count, what);
}

void intake_lines_text(const Intake *intake, Text *out)
{
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        text_printf(out, "%s: %zu line%s", sheet->path, sheet->sheet.rows, sheet->sheet.rows == 1 ? "" : "s");
        if (sheet->role != SHEET_CARDS) {
            text_printf(out, sheet->role == SHEET_LEFT ? ", not used\n" : " of %s\n", sheet_role_word[sheet->role]);
            continue;
        }
        text_printf(out, ", %zu candidate%s", sheet->candidates, sheet->candidates == 1 ? "" : "s");
        add_part(out, sheet->repeated, "the same again");
        add_part(out, sheet->different, "with the name of another");
        add_part(out, sheet->passed, "passed over, as no cards");
        text_add_char(out, '\n');
    }
}

void intake_unused_text(const Intake *intake, Text *out)
{
    for (size_t s = 0; s < intake->sheets; s++)
        if (intake->sheet[s].role == SHEET_LEFT) {
            text_printf(out,
                        "To use a sheet all the same, say as what in a file, --answers FILE:\n"
                        "  {\"answers\": {\"sheet %s\": \"prices\"}}   (or cards, owned, tags, pool)\n",
                        intake->sheet[s].path);
            return;
        }
}

static void add_columns(const Intake *intake, const IntakeSheet *sheet, Text *out)
{
    Text own = {0};
    bool first = true;
    for (size_t k = 0; k < sheet->sheet.header.cells; k++) {
        const char *header = sheet->sheet.header.cell[k].text;
        char excerpt[TEXT_EXCERPT];
        if (header[0] == '\0')
            continue;
        text_excerpt(excerpt, header);
        const bool theme = text_find(header, intake->theme_column, intake->theme_columns) >= 0;
        const bool colour = intake->colour_columns && text_find(header, intake->colour, intake->colours) >= 0;
        const char *holds = theme ? "theme" : colour ? "colour" : intake_holds(sheet, k);
        const bool is_own = strcmp(holds, field_name(HOLDS_OWN)) == 0;
        if (is_own && header_is_listed(&sheet->sheet, k))
            continue;
        if (is_own)
            text_printf(&own, "%s%s", own.length > 0 ? ", " : "", excerpt);
        else
            text_printf(out, "%s%s = %s", first ? " " : ", ", holds, excerpt);
        first = first && is_own;
    }
    if (own.length > 0)
        text_printf(out, "; your own: %s", text_cstr(&own));
    text_release(&own);
}

/* Sheets and columns stand in a line of their own; those that are not sure also with what speaks for them. */
static bool is_told_already(const IntakeQuestion *question)
{
    if (!question->sure && question->source == ANSWER_LIKELY && strncmp(question->id, "column ", 7) == 0)
        return false;
    return strncmp(question->id, "column ", 7) == 0 || strncmp(question->id, "sheet ", 6) == 0;
}

/* The first with its file, those after it in the same file with their lines. */
static void add_examples(const IntakeQuestion *question, Text *out)
{
    const char *file = "";
    for (size_t i = 0; i < question->examples; i++) {
        const SourcePos at = question->example[i].at;
        char excerpt[TEXT_EXCERPT], cell[CELL_NAME];
        text_printf(out, "%s'%s'", i > 0 ? ", " : "", text_excerpt(excerpt, question->example[i].text));
        if (at.line <= 0)
            continue;
        const bool again = strcmp(at.file, file) == 0;
        if (at.in_workbook)
            text_printf(out, " (%s%s%s)", again ? "" : at.file, again ? "" : ", ", source_cell(cell, at));
        else
            text_printf(out, again ? " (%s%d)" : " (%s:%d)", again ? "line " : at.file, at.line);
        file = at.file;
    }
}

void intake_taken_text(const Intake *intake, Text *out)
{
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        if (sheet->role == SHEET_LEFT)
            continue;
        text_printf(out, "  %s, %s:", sheet->path, sheet_role_word[sheet->role]);
        add_columns(intake, sheet, out);
        if (sheet->titled)
            text_printf(out, "; the colours of '%s'", sheet->title);
        else if (sheet->headed)
            text_add(out, "; the colours of its headings");
        text_add_char(out, '\n');
    }
    for (size_t q = 0; q < intake->questions; q++) {
        const IntakeQuestion *question = &intake->question[q];
        if (is_told_already(question))
            continue;
        text_printf(out, "  %s: %s", question->id, question->answer);
        if (question->of > 0)
            text_printf(out, "   %zu of %zu", question->count, question->of);
        if (question->examples > 0)
            text_add(out, question->of > 0 ? ": " : "   ");
        add_examples(question, out);
        text_add_char(out, '\n');
    }
}

void question_text(const IntakeQuestion *question, Text *out)
{
    text_add_char(out, '\n');
    text_add_char(out, (char)toupper((unsigned char)question->text[0]));
    text_printf(out, "%s\n", question->text + 1);
    if (question->of > 0)
        text_printf(out, "  %zu of %zu", question->count, question->of);
    if (question->examples > 0)
        text_add(out, question->of > 0 ? ": " : "  ");
    add_examples(question, out);
    text_add(out, question->of > 0 || question->examples > 0 ? "\n" : "");
    text_add(out, "  ");
    for (size_t c = 0; c < question->choices; c++)
        text_printf(out, "%s%s", c > 0 ? ", " : "", question->choice[c]);
    text_printf(out, "%s[Enter: %s] ", question->choices > 0 ? " " : "", question->likely);
}

/* ---- JSON ---- */

static json_t *place(SourcePos at, const char *text)
{
    json_t *example = json_pack("{s:s}", "text", text);
    if (at.line > 0) {
        json_object_set_new(example, "file", json_string(at.file));
        json_object_set_new(example, "line", json_integer(at.line));
        json_object_set_new(example, "column", json_integer(at.column));
    }
    return example;
}

static json_t *question_json(const IntakeQuestion *question)
{
    static const char *const by[] = {"likely", "given", "asked"};
    json_t *object =
        json_pack("{s:s, s:s, s:s, s:s, s:s, s:b}", "id", question->id, "text", question->text, "likely",
                  question->likely, "answer", question->answer, "by", by[question->source], "sure", question->sure);
    json_t *choices = json_array(), *examples = json_array();
    for (size_t c = 0; c < question->choices; c++)
        json_array_append_new(choices, json_string(question->choice[c]));
    for (size_t i = 0; i < question->examples; i++)
        json_array_append_new(examples, place(question->example[i].at, question->example[i].text));
    json_object_set_new(object, "choices", choices);
    if (question->of > 0) {
        json_object_set_new(object, "count", json_count(question->count));
        json_object_set_new(object, "of", json_count(question->of));
    }
    json_object_set_new(object, "examples", examples);
    return object;
}

static json_t *sheet_json(const IntakeSheet *sheet)
{
    json_t *object = json_pack("{s:s, s:s, s:I}", "path", sheet->path, "role", sheet_role_word[sheet->role], "lines",
                               (json_int_t)sheet->sheet.rows);
    json_t *columns = json_array();
    for (size_t k = 0; k < sheet->sheet.header.cells; k++)
        json_array_append_new(columns, json_pack("{s:s, s:s}", "header", sheet->sheet.header.cell[k].text, "holds",
                                                 intake_holds(sheet, k)));
    json_object_set_new(object, "columns", columns);
    if (sheet->role == SHEET_CARDS) {
        json_object_set_new(object, "candidates", json_count(sheet->candidates));
        json_object_set_new(object, "repeated", json_count(sheet->repeated));
        json_object_set_new(object, "different", json_count(sheet->different));
        json_object_set_new(object, "passed", json_count(sheet->passed));
    }
    return object;
}

void intake_json(const Intake *intake, json_t *root)
{
    json_t *sheets = json_array(), *questions = json_array();
    for (size_t s = 0; s < intake->sheets; s++)
        json_array_append_new(sheets, sheet_json(&intake->sheet[s]));
    for (size_t q = 0; q < intake->questions; q++)
        json_array_append_new(questions, question_json(&intake->question[q]));
    json_object_set_new(root, "sheets", sheets);
    json_object_set_new(root, "questions", questions);
}
