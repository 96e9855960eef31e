/* plot.c - curves in characters and as SVG. Positions are worked out in whole numbers, so they are the same everywhere.
 */
#include "report/layout/plot.h"

#include <string.h>

#include "base/memory.h"
#include "base/number.h"

#define ROWS 12

typedef struct {
    int64_t x_low, x_high, y_low, y_high;
} Box;

static bool find_box(const Curve *curve, Box *box)
{
    if (curve->points < 2 || curve->x[0] >= curve->x[curve->points - 1])
        return false;
    *box = (Box){curve->x[0], curve->x[curve->points - 1], INT64_MAX, INT64_MIN};
    for (size_t k = 0; k < curve->points; k++) {
        box->y_low = curve->y[k] < box->y_low ? curve->y[k] : box->y_low;
        box->y_high = curve->y[k] > box->y_high ? curve->y[k] : box->y_high;
    }
    return true;
}

/* Where v stands on the way from low to high, in `most` steps. */
static int64_t place(int64_t v, int64_t low, int64_t high, int64_t most)
{
    return high == low ? most : (int64_t)round_div((int128)(v - low) * most, high - low);
}

/* The curve's height at x: of its steps, or of the straight line between its points. */
static int64_t height(const Curve *curve, int64_t x)
{
    size_t k = 0;
    while (k + 2 < curve->points && curve->x[k + 1] <= x)
        k++;
    if (x >= curve->x[k + 1])
        return curve->y[k + 1];
    if (curve->steps)
        return curve->y[k];
    return curve->y[k] + (int64_t)round_div((int128)(curve->y[k + 1] - curve->y[k]) * (x - curve->x[k]),
                                            curve->x[k + 1] - curve->x[k]);
}

static void draw(const Curve *curve, const Box *box, char *canvas, int columns)
{
    memset(canvas, ' ', (size_t)columns * ROWS);
    for (int c = 0; c < columns; c++) {
        int64_t x = box->x_low + (int64_t)round_div((int128)(box->x_high - box->x_low) * c, columns - 1);
        int64_t row = place(height(curve, x), box->y_low, box->y_high, ROWS - 1);
        canvas[(ROWS - 1 - row) * columns + c] = '.';
    }
    for (size_t k = 0; k < curve->points; k++) {
        int64_t c = place(curve->x[k], box->x_low, box->x_high, columns - 1),
                row = place(curve->y[k], box->y_low, box->y_high, ROWS - 1);
        canvas[(ROWS - 1 - row) * columns + c] = '*';
    }
    if (curve->marked >= 0) {
        int64_t c = place(curve->x[curve->marked], box->x_low, box->x_high, columns - 1);
        canvas[(ROWS - 1 - place(curve->y[curve->marked], box->y_low, box->y_high, ROWS - 1)) * columns + c] = 'O';
    }
}

static void add_line(Text *out, const char *line, int length)
{
    while (length > 0 && line[length - 1] == ' ')
        length--;
    text_add_n(out, line, (size_t)length);
    text_add_char(out, '\n');
}

void plot_text(const Curve *curve, int width, Text *out)
{
    Box box;
    char high[NUMBER_TEXT], low[NUMBER_TEXT], left[NUMBER_TEXT], right[NUMBER_TEXT];
    if (!find_box(curve, &box))
        return;
    number_format(high, box.y_high, 3, 0);
    number_format(low, box.y_low, 3, 0);
    number_format(left, box.x_low, curve->x_scale, curve->x_scale);
    number_format(right, box.x_high, curve->x_scale, curve->x_scale);
    const int label = (int)(strlen(high) > strlen(low) ? strlen(high) : strlen(low));
    int columns = (width > 0 ? width : PLOT_WIDTH) - label - 6;
    columns = columns < 20 ? 20 : columns > 100 ? 100 : columns;
    char *canvas = mem_new((size_t)columns * ROWS, 1);
    draw(curve, &box, canvas, columns);
    for (int r = 0; r < ROWS; r++) {
        text_printf(out, "  %*s |", label, r == 0 ? high : r == ROWS - 1 ? low : "");
        add_line(out, canvas + r * columns, columns);
    }
    text_printf(out, "  %*s +", label, "");
    for (int c = 0; c < columns; c++)
        text_add_char(out, '-');
    text_printf(out, "\n  %*s  %s%*s\n", label, "", left, columns - (int)strlen(left), right);
    if (curve->marked >= 0)
        text_printf(out, "  %*s  O: %s\n", label, "", curve->marked_name);
    mem_free(canvas);
}

/* ---- SVG ---- */

#define SVG_WIDTH 720
#define SVG_HEIGHT 400
#define SVG_LEFT 90
#define SVG_RIGHT 30
#define SVG_TOP 50
#define SVG_BOTTOM 60

static void add_escaped(Text *out, const char *text)
{
    for (; *text != '\0'; text++) {
        switch (*text) {
        case '&': text_add(out, "&amp;"); break;
        case '<': text_add(out, "&lt;"); break;
        case '>': text_add(out, "&gt;"); break;
        case '"': text_add(out, "&quot;"); break;
        default: text_add_char(out, *text);
        }
    }
}

static int64_t svg_x(const Box *box, int64_t x)
{
    return SVG_LEFT + place(x, box->x_low, box->x_high, SVG_WIDTH - SVG_LEFT - SVG_RIGHT);
}

static int64_t svg_y(const Box *box, int64_t y)
{
    return SVG_HEIGHT - SVG_BOTTOM - place(y, box->y_low, box->y_high, SVG_HEIGHT - SVG_TOP - SVG_BOTTOM);
}

static void add_text(Text *out, int64_t x, int64_t y, const char *anchor, const char *text)
{
    text_printf(out, "  <text x=\"%lld\" y=\"%lld\" text-anchor=\"%s\">", (long long)x, (long long)y, anchor);
    add_escaped(out, text);
    text_add(out, "</text>\n");
}

/* Five ticks on each side, with a thin line across. */
static void add_ticks(const Curve *curve, const Box *box, Text *out)
{
    char number[NUMBER_TEXT];
    for (int k = 0; k <= 4; k++) {
        int64_t y = box->y_low + (box->y_high - box->y_low) * k / 4,
                x = box->x_low + (box->x_high - box->x_low) * k / 4;
        text_printf(out, "  <line x1=\"%d\" y1=\"%lld\" x2=\"%d\" y2=\"%lld\" stroke=\"#ddd\"/>\n", SVG_LEFT,
                    (long long)svg_y(box, y), SVG_WIDTH - SVG_RIGHT, (long long)svg_y(box, y));
        add_text(out, SVG_LEFT - 8, svg_y(box, y) + 4, "end", number_format(number, (y + 50) / 100 * 100, 3, 0));
        add_text(out, svg_x(box, x), SVG_HEIGHT - SVG_BOTTOM + 20, "middle",
                 number_format(number, x, curve->x_scale, curve->x_scale));
    }
}

static void add_curve(const Curve *curve, const Box *box, Text *out)
{
    text_add(out, "  <polyline fill=\"none\" stroke=\"#24577a\" stroke-width=\"2\" points=\"");
    for (size_t k = 0; k < curve->points; k++) {
        if (k > 0 && curve->steps)
            text_printf(out, "%lld,%lld ", (long long)svg_x(box, curve->x[k]), (long long)svg_y(box, curve->y[k - 1]));
        text_printf(out, "%lld,%lld ", (long long)svg_x(box, curve->x[k]), (long long)svg_y(box, curve->y[k]));
    }
    text_add(out, "\"/>\n");
    for (size_t k = 0; k < curve->points; k++) {
        char x[NUMBER_TEXT], y[NUMBER_TEXT];
        const bool marked = (long)k == curve->marked;
        text_printf(out, "  <circle cx=\"%lld\" cy=\"%lld\" r=\"%d\" fill=\"%s\"><title>%s: %s</title></circle>\n",
                    (long long)svg_x(box, curve->x[k]), (long long)svg_y(box, curve->y[k]), marked ? 6 : 3,
                    marked ? "#b5452c" : "#24577a", number_format(x, curve->x[k], curve->x_scale, curve->x_scale),
                    number_format(y, curve->y[k], 3, 0));
    }
    if (curve->marked >= 0)
        add_text(out, svg_x(box, curve->x[curve->marked]) + 10, svg_y(box, curve->y[curve->marked]) + 18, "start",
                 curve->marked_name);
}

void plot_svg(const Curve *curve, Text *out)
{
    Box box;
    if (!find_box(curve, &box))
        return;
    text_printf(out,
                "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" font-family=\"sans-serif\" "
                "font-size=\"12\">\n",
                SVG_WIDTH, SVG_HEIGHT);
    text_printf(out, "  <rect width=\"%d\" height=\"%d\" fill=\"white\"/>\n", SVG_WIDTH, SVG_HEIGHT);
    add_text(out, SVG_LEFT, 24, "start", curve->title);
    add_text(out, SVG_LEFT - 8, SVG_TOP - 12, "end", curve->y_name);
    add_text(out, SVG_WIDTH - SVG_RIGHT, SVG_HEIGHT - 16, "end", curve->x_name);
    add_ticks(curve, &box, out);
    add_curve(curve, &box, out);
    text_add(out, "</svg>\n");
}
