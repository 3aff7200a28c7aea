/* Words and numbers of a request, and why it is refused. */
#ifndef ARGUMENTS_H
#define ARGUMENTS_H

#include "board.h"

#define ARGUMENTS_MAX 3

extern char *argument[ARGUMENTS_MAX];
extern uint8_t refused; /* number of the refusal; 0 while there is none */
extern uint16_t detail; /* what goes with it */

/* Place of `text` in a list in flash; -1 when it is not there. */
int8_t find_word(const char *list, const char *text);
/* The others refuse the argument when it is not allowed. */
uint8_t word_argument(uint8_t n, const char *list);
uint16_t number_argument(uint8_t n, uint16_t min, uint16_t max);
void scan_argument(void);
void refuse_argument(uint8_t n);

#endif
