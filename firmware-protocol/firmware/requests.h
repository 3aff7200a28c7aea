/* Lines from the host: collected within a bound, checked, carried out, answered. */
#ifndef REQUESTS_H
#define REQUESTS_H

#include "board.h"

/* Takes what has come; answers at most one line a call, and only when the send ring has room for an answer and a frame.
 * True when more could be done at once. */
bool requests_work(uint8_t reset_cause);

#endif
