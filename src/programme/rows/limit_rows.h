/* limit_rows.h - inside the programme room: the columns and rows of a limit. */
#ifndef POOLWRIGHT_PROGRAMME_ROWS_LIMIT_ROWS_H
#define POOLWRIGHT_PROGRAMME_ROWS_LIMIT_ROWS_H

#include "programme/rows/builder.h"

void limit_rows(Builder *b, const Limit *limit);

#endif
