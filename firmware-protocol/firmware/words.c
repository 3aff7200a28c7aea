/* Lists of words that more than one file needs, each ended by an empty word. */
#include "words.h"

const char feed_words[] PROGMEM = FEED_WORDS;
const char coil_words[] PROGMEM = COIL_WORDS;
const char switch_words[] PROGMEM = SWITCH_WORDS;
const char stop_words[] PROGMEM = STOP_WORDS;
