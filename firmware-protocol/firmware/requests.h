/* Lines from the host: collected within a bound, checked, carried out, answered. */
#ifndef REQUESTS_H
#define REQUESTS_H

#include "board.h"

/* Takes what has come; answers at most one line a call, and only when the send ring has room for an answer and a frame. */
void requests_work(uint8_t reset_cause);
/* True when bytes wait that `requests_work` could take now. */
bool requests_wait(void);

#endif
