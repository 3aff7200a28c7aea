/* CRC-16/CCITT-FALSE (CRC RevEng: CRC-16/IBM-3740): polynomial 1021, start FFFF. */
#ifndef CRC16_H
#define CRC16_H

#include "board.h"

#define CRC16_START 0xFFFF
extern const uint16_t crc16_table[256] PROGMEM;

always_inline uint16_t crc16_add(uint16_t crc, uint8_t byte) {
    return (uint16_t)(crc << 8) ^ pgm_read_word(&crc16_table[(uint8_t)(crc >> 8) ^ byte]);
}

#endif
