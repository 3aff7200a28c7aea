/* Every argument is checked against the bounds of protocol.h before anything is done with it. */
#include <string.h>
#include "arguments.h"

char *argument[ARGUMENTS_MAX];
uint8_t refused;
uint16_t detail;

int8_t find_word(const char *list, const char *text) {
    for (int8_t n = 0; pgm_read_byte(list); n++) {
        if (strcmp_P(text, list) == 0)
            return n;
        list += strlen_P(list) + 1;
    }
    return -1;
}

void refuse_argument(uint8_t n) {
    refused = REFUSED_ARGUMENT_VALUE;
    detail = n + 1;
}

uint8_t word_argument(uint8_t n, const char *list) {
    int8_t found = find_word(list, argument[n]);
    if (found < 0)
        refuse_argument(n);
    return found;
}

/* Plain decimal, no sign, no leading zero, at most five digits. */
uint16_t number_argument(uint8_t n, uint16_t min, uint16_t max) {
    const char *text = argument[n];
    uint32_t value = 0;
    uint8_t digits = 0;
    for (; *text; text++, digits++) {
        if (*text < '0' || *text > '9' || digits == 5 || (digits == 1 && value == 0)) {
            refuse_argument(n);
            return 0;
        }
        value = value * 10 + (uint8_t)(*text - '0');
    }
    if (digits == 0 || value < min || value > max)
        refuse_argument(n);
    return value;
}

void scan_argument(void) {
    const char *letters = argument[0];
    if (strlen(letters) != SLOT_COUNT || strspn_P(letters, PSTR(SCAN_LETTERS)) != SLOT_COUNT || !strchr(letters, 'M') ||
        !strchr(letters, 'F'))
        refuse_argument(0);
}
