/* What the board answers: refusals, what it is asked for, the samples of a burst. */
#ifndef ANSWERS_H
#define ANSWERS_H

#include "board.h"

/* Begins an answer that the caller fills and ends. */
void answer_begin_ok(uint8_t seq);
/* As `refused` and `detail` have it; without a number where the line told none. */
void answer(bool seq_known, uint8_t seq);
/* Of a line that nothing was read of. */
void refuse_line(uint8_t number, uint16_t more);
void tell_burst(uint8_t seq);
/* Answers everything that only asks. */
void tell(uint8_t verb, uint8_t seq, uint8_t reset_cause);

#endif
