/* stand_by.h - runs by a program that stands by (tests/preload/stand_by.c, loaded in front of the C library), which
 * takes a small part of the time of starting it. */
#ifndef POOLWRIGHT_SUPPORT_STAND_BY_H
#define POOLWRIGHT_SUPPORT_STAND_BY_H

#include <stdbool.h>
#include <stdint.h>

enum { STAND_BY_SOCKET = 3, STAND_BY_DESCRIPTORS = 4 /* the folder, and 0 to 2 */, STAND_BY_SIGNALS = 32 };

typedef struct {
    uint32_t bytes; /* of the strings */
    uint32_t arguments, variables;
    uint32_t ignored; /* a bit for each signal */
} StandByRequest;

/* Runs the program in the folder as posix_spawn would, with the environment and the ignored signals of now, and waits
 * for its end; *status is that of waitpid. False: nothing was run. There is no stand_by.so in the folder `tests` beside
 * the program, or something else is loaded in front of it. descriptor: the folder, and what shall be 0 to 2. */
bool stand_by_run(const char *program, char *const *arguments, const int *descriptor, int *status);

#endif
