/* EEPROM layout from address 0: length, that many characters, check byte (sum of all before, inverted). */
#include <avr/eeprom.h>
#include <string.h>
#include "rig_id.h"

char rig_id[RIG_ID_MAX_CHARS + 1];
static uint8_t left_to_write; /* length and characters and check byte still to go, counted from the end */

static bool is_allowed(char c) {
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '.' || c == '_' || c == '-';
}

static bool is_rig_id(const char *text, uint8_t length) {
    if (length == 0 || length > RIG_ID_MAX_CHARS)
        return false;
    for (uint8_t i = 0; i < length; i++)
        if (!is_allowed(text[i]))
            return false;
    return true;
}

static uint8_t check_byte(uint8_t length) {
    uint8_t sum = length;
    for (uint8_t i = 0; i < length; i++)
        sum += (uint8_t)rig_id[i];
    return ~sum;
}

void rig_id_load(void) {
    uint8_t length = eeprom_read_byte((const uint8_t *)0);
    if (length <= RIG_ID_MAX_CHARS) {
        for (uint8_t i = 0; i < length; i++)
            rig_id[i] = eeprom_read_byte((const uint8_t *)(uint16_t)(i + 1));
        rig_id[length] = 0;
        if (is_rig_id(rig_id, length) && check_byte(length) == eeprom_read_byte((const uint8_t *)(uint16_t)(length + 1)))
            return;
    }
    strcpy_P(rig_id, PSTR("unnamed"));
}

bool rig_id_set(const char *text) {
    uint8_t length = strnlen(text, RIG_ID_MAX_CHARS + 1);
    if (!is_rig_id(text, length))
        return false;
    memcpy(rig_id, text, length + 1);
    left_to_write = length + 2;
    return true;
}

void rig_id_work(void) {
    if (!left_to_write || !eeprom_is_ready())
        return;
    uint8_t length = strlen(rig_id);
    uint8_t at = --left_to_write;
    uint8_t byte = at == 0 ? length : at == length + 1 ? check_byte(length) : (uint8_t)rig_id[at - 1];
    eeprom_update_byte((uint8_t *)(uint16_t)at, byte);
}
