/* The rig's name in EEPROM: length, characters, check byte. A copy stands in RAM; writing goes on in the background. */
#ifndef RIG_ID_H
#define RIG_ID_H

#include "board.h"

extern char rig_id[RIG_ID_MAX_CHARS + 1];

void rig_id_load(void);
/* False, and nothing changed, when the text is no rig id. */
bool rig_id_set(const char *text);
/* Writes at most one byte; to be called on every pass of the main loop. */
void rig_id_work(void);

#endif
