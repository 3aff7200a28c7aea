/* The words of requests and answers, in flash; from protocol.h. */
#ifndef WORDS_H
#define WORDS_H

#include "board.h"

extern const char feed_words[], coil_words[], switch_words[], stop_words[];

#endif
