/* draw.h - drawing cards at random without replacement (the hypergeometric distribution), counted exactly: ways are
 * whole numbers of any length, and a chance is rounded once, when it is told. */
#ifndef POOLWRIGHT_BASE_DRAW_H
#define POOLWRIGHT_BASE_DRAW_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* A draft: every seat opens `packs` packs of pack_size cards, one after the other; takes a card of each pack and passes
 * the rest on to the next seat, until all are taken. */
typedef struct {
    int seats, packs, pack_size;
} Drafting;

/* Which cards are looked at: one pack, all packs that a seat opens, all cards that pass it (its own packs too), all
 * that are dealt. If picks are at random, each of them is a random part of the pool. */
typedef enum { DRAW_PACK, DRAW_OPENS, DRAW_SEES, DRAW_DEALT, DRAWS } DrawBy;

/* How many cards that are. A seat sees pack_size cards of its own pack, one less of the next that comes, and so on,
 * until the first one is back. */
int64_t drafting_cards(const Drafting *drafting, DrawBy by);

/* Of `all` cards, of which `marked` are of some kind, `drawn` are drawn. 0 <= marked, drawn <= all. */
typedef struct {
    int all, marked, drawn;
} Draw;

/* The chance that at least k of the drawn cards are of the kind; 0 to 1. */
double draw_at_least(const Draw *draw, int k);
/* The least `marked` with which the chance of at least k is not below the share (thousandths of a percent), decided in
 * whole numbers; -1: not even with all of them. */
int draw_least_marked(int all, int drawn, int k, int64_t share);
/* The most that are seen with such a chance: the greatest k, at most drawn and marked, whose chance is not below the
 * share. */
int draw_sure(const Draw *draw, int64_t share);
/* Of `all` cards so many are of a first kind, so many of a second, and so many of both; `drawn` are drawn. */
typedef struct {
    int all, first, second, both, drawn;
} DrawTwo;

/* The chance that at least so many of the drawn are of the first kind and so many of the second, where a card of both
 * counts as either. */
double draw_of_two(const DrawTwo *draw, int firsts, int seconds);
/* The chance that at least one of each kind is among the drawn: copies[kinds] cards of each, no card of two kinds, at
 * most 60 kinds. */
double draw_one_of_each(int all, int drawn, const int *copies, size_t kinds);

#endif
