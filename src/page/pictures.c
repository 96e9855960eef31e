/* pictures.c - small pictures as SVG. No script, no style of their own: classes, which the style sheet colours. */

#include "page/parts/static_parts.h"

#define BAR 24
#define BAR_GAP 6
#define BAR_HEIGHT 78

/* Early, middle and late stand a little apart. */
static int bar_at(int cost)
{
    return 2 + cost * (BAR + BAR_GAP) + (cost >= 3 ? 8 : 0) + (cost >= 5 ? 8 : 0);
}

void curve_picture(const char *title, const int curve[COSTS_MOST + 1], int highest, int most, int hue, Text *out)
{
    const int width = bar_at(highest) + BAR + BAR_GAP, ground = 14 + BAR_HEIGHT;
    html(out,
         "<svg class=\"picture hue-%d\" role=\"img\" viewBox=\"0 0 %d %d\" width=\"%d\" height=\"%d\"><title>%s</title>"
         "<line class=\"ground\" x1=\"0\" x2=\"%d\" y1=\"%d\" y2=\"%d\"/>",
         hue, width, BAR_HEIGHT + 34, width, BAR_HEIGHT + 34, title, width, ground, ground);
    for (int cost = 0; cost <= highest; cost++) {
        const double tall = most > 0 ? (double)curve[cost] * BAR_HEIGHT / most : 0;
        const int x = bar_at(cost), middle = x + BAR / 2;
        html(out, "<rect class=\"bar\" x=\"%d\" y=\"%.1f\" width=\"%d\" height=\"%.1f\"/>", x, ground - tall, BAR,
             tall);
        if (curve[cost] > 0)
            html(out, "<text x=\"%d\" y=\"%.1f\" text-anchor=\"middle\">%d</text>", middle, ground - 4 - tall,
                 curve[cost]);
        html(out, "<text class=\"axis\" x=\"%d\" y=\"%d\" text-anchor=\"middle\">%d%s</text>", middle, BAR_HEIGHT + 28,
             cost, cost == COSTS_MOST ? "+" : "");
    }
    text_add(out, "</svg>\n");
}

void share_picture(double share, Text *out)
{
    const double bounded = share < 0 ? 0 : share > 1 ? 1 : share;
    html(out,
         "<svg class=\"share\" aria-hidden=\"true\" viewBox=\"0 0 100 8\" preserveAspectRatio=\"none\">"
         "<rect class=\"back\" width=\"100\" height=\"8\"/><rect class=\"bar\" width=\"%.0f\" height=\"8\"/></svg>",
         bounded * 100);
}

/* ---- what seats see ---- */

#define SEEN_WIDTH 340
#define SEEN_NAME 180 /* room for a name; what is longer is cut off */
#define SEEN_TOP 18
#define SEEN_ROW 34

static double seen_across(double cards, double most)
{
    return cards / most * (SEEN_WIDTH - 4);
}

/* Over the row's bar: what so many drafters need. */
static void seen_need(int cards, double most, int y, Text *out)
{
    const double x = seen_across(cards, most);
    html(out, "<line class=\"need\" x1=\"%.1f\" x2=\"%.1f\" y1=\"%d\" y2=\"%d\"/>", x, x, y + 15, y + 29);
}

static void seen_row(const SeenRow *row, double most, int need, int y, Text *out)
{
    const char *words = row->sure >= 2 * need ? "enough for two" : row->sure >= need ? "enough for one" : "short";
    html(out,
         "<svg x=\"0\" y=\"%d\" width=\"%d\" height=\"16\"><text x=\"0\" y=\"12\">%s</text></svg>"
         "<text class=\"axis\" x=\"%d\" y=\"%d\" text-anchor=\"end\">%d of %d: %s</text>",
         y, SEEN_NAME, row->name, SEEN_WIDTH, y + 12, row->sure, row->copies, words);
    html(out,
         "<rect class=\"mean\" y=\"%d\" width=\"%.1f\" height=\"10\"/><rect class=\"sure\" y=\"%d\" width=\"%.1f\" "
         "height=\"10\"/>",
         y + 17, seen_across(row->mean, most), y + 17, seen_across(row->sure, most));
    seen_need(need, most, y, out);
    seen_need(2 * need, most, y, out);
}

void seen_picture(const char *title, const SeenRow *row, size_t count, int need, Text *out)
{
    const int height = SEEN_TOP + SEEN_ROW * (int)count;
    double most = 2 * need;
    for (size_t k = 0; k < count; k++)
        most = row[k].mean > most ? row[k].mean : most;
    html(out,
         "<svg class=\"picture seen\" role=\"img\" viewBox=\"0 0 %d %d\" width=\"%d\" height=\"%d\"><title>%s</title>",
         SEEN_WIDTH, height, SEEN_WIDTH, height, title);
    html(out, "<text class=\"axis\" x=\"0\" y=\"11\">marks: enough for one (%d), for two (%d)</text>", need, 2 * need);
    for (size_t k = 0; k < count; k++)
        seen_row(&row[k], most, need, SEEN_TOP + SEEN_ROW * (int)k, out);
    text_add(out, "</svg>\n");
}

/* ---- the frontier ---- */

#define WIDTH 560
#define HEIGHT 240
#define LEFT 58
#define BOTTOM 34

typedef struct {
    double cap_from, cap_to, fit_from, fit_to;
} Window;

static void widen(Window *window, const PlottedCap *point)
{
    window->cap_from = point->cap < window->cap_from ? point->cap : window->cap_from;
    window->cap_to = point->cap > window->cap_to ? point->cap : window->cap_to;
    window->fit_from = point->fit < window->fit_from ? point->fit : window->fit_from;
    window->fit_to = point->fit > window->fit_to ? point->fit : window->fit_to;
}

static double across(const Window *w, double cap)
{
    return LEFT + (w->cap_to > w->cap_from ? (cap - w->cap_from) / (w->cap_to - w->cap_from) : 0) * (WIDTH - LEFT - 20);
}

static double down(const Window *w, double fit)
{
    return 16 + (w->fit_to > w->fit_from ? (w->fit_to - fit) / (w->fit_to - w->fit_from) : 0) * (HEIGHT - BOTTOM - 30);
}

static void frontier_axes(const Window *w, const PlottedCap *point, size_t count, Text *out)
{
    char buffer[PLAIN_TEXT];
    html(out,
         "<line class=\"ground\" x1=\"%d\" x2=\"%d\" y1=\"%d\" y2=\"%d\"/><line class=\"ground\" x1=\"%d\" x2=\"%d\" "
         "y1=\"10\" y2=\"%d\"/>",
         LEFT, WIDTH - 12, HEIGHT - BOTTOM, HEIGHT - BOTTOM, LEFT, LEFT, HEIGHT - BOTTOM);
    for (int k = 0; k <= 2; k++) {
        const double fit = w->fit_from + (w->fit_to - w->fit_from) * k / 2;
        html(out, "<text class=\"axis\" x=\"%d\" y=\"%.1f\" text-anchor=\"end\">%.0f</text>", LEFT - 6,
             down(w, fit) + 4, fit);
    }
    for (size_t k = 0; k < count; k++)
        html(out, "<text class=\"axis\" x=\"%.1f\" y=\"%d\" text-anchor=\"middle\">%s</text>", across(w, point[k].cap),
             HEIGHT - BOTTOM + 16, plain(buffer, point[k].cap));
    html(out,
         "<text class=\"axis\" x=\"%d\" y=\"%d\" text-anchor=\"end\">cap</text><text class=\"axis\" x=\"%d\" "
         "y=\"14\">fit</text>",
         WIDTH - 12, HEIGHT - 4, LEFT + 6);
}

void frontier_picture(const char *title, const PlottedCap *point, size_t count, const PlottedCap *here, Text *out)
{
    Window window = {point[0].cap, point[0].cap, point[0].fit, point[0].fit};
    for (size_t k = 0; k < count; k++)
        widen(&window, &point[k]);
    if (here != NULL)
        widen(&window, here);
    html(out,
         "<svg class=\"picture frontier\" role=\"img\" viewBox=\"0 0 %d %d\" width=\"%d\" "
         "height=\"%d\"><title>%s</title>",
         WIDTH, HEIGHT, WIDTH, HEIGHT, title);
    frontier_axes(&window, point, count, out);
    text_add(out, "<path class=\"line\" d=\"");
    for (size_t k = 0; k < count; k++)
        html(out, "%s%.1f %.1f", k == 0 ? "M" : " L", across(&window, point[k].cap), down(&window, point[k].fit));
    text_add(out, "\"/>");
    for (size_t k = 0; k < count; k++) {
        const double x = across(&window, point[k].cap), y = down(&window, point[k].fit);
        html(out, "<circle class=\"%s\" cx=\"%.1f\" cy=\"%.1f\" r=\"%d\"/>", point[k].knee ? "knee" : "point", x, y,
             point[k].knee ? 6 : 4);
        if (point[k].knee)
            html(out, "<text x=\"%.1f\" y=\"%.1f\">knee</text>", x + 9, y + 16);
    }
    if (here != NULL) {
        const double x = across(&window, here->cap), y = down(&window, here->fit);
        html(out, "<path class=\"here\" d=\"M%.1f %.1f h12 l-6 9 z\"/>", x - 6, y - 14);
    }
    text_add(out, "</svg>\n");
}
