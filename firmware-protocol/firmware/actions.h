/* Requests that change something. */
#ifndef ACTIONS_H
#define ACTIONS_H

#include "board.h"

extern uint8_t forgotten; /* stop reason that a clear has told */

/* Carries out everything that changes something; leaves `refused` and `detail`. */
void act(uint8_t verb);

#endif
