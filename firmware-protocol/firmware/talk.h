/* Lines of words to the host: begun, filled, closed with CRC and newline. The caller has made sure of room. */
#ifndef TALK_H
#define TALK_H

#include "board.h"

void talk_begin(char kind);
void talk_char(char c);
void talk_flash(const char *text);          /* text in flash */
void talk_text(const char *text);           /* a space and text in RAM */
void talk_word(const char *list, uint8_t n); /* a space and the n-th word of a list in flash */
void talk_number(uint32_t value);           /* a space and a decimal number */
void talk_hex(uint8_t value);
void talk_end(void);
/* Closes without a CRC: only for the answer to a bare *IDN? */
void talk_end_bare(void);

#endif
