/* plot.h - a curve of money against fit, in characters and as SVG. */
#ifndef POOLWRIGHT_REPORT_LAYOUT_PLOT_H
#define POOLWRIGHT_REPORT_LAYOUT_PLOT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/text.h"

typedef struct {
    const int64_t *x, *y; /* [points], x ascending; x in the smallest unit of x_scale decimals, y in thousandths */
    size_t points;
    int x_scale;
    bool steps;  /* the curve keeps its height until the next point */
    long marked; /* a point that stands out, -1: none */
    const char *marked_name, *title, *x_name, *y_name;
} Curve;

#define PLOT_WIDTH 72

/* About `width` columns and 12 rows of ASCII, so that it looks the same everywhere. Nothing for fewer than two points
 * or a flat x. */
void plot_text(const Curve *curve, int width, Text *out);
void plot_svg(const Curve *curve, Text *out);

#endif
