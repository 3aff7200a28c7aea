/* Builds a line straight in the send ring; nothing leaves before it is whole. */
#include "crc16.h"
#include "serial.h"
#include "talk.h"

static uint8_t head;
static uint16_t crc;

void talk_char(char c) {
    crc = crc16_add(crc, c);
    send_ring[head++] = c;
}

void talk_begin(char kind) {
    head = serial.send_head;
    crc = CRC16_START;
    if (kind)
        talk_char(kind);
}

void talk_flash(const char *text) {
    char c;
    while ((c = pgm_read_byte(text++)))
        talk_char(c);
}

void talk_text(const char *text) {
    talk_char(' ');
    while (*text)
        talk_char(*text++);
}

void talk_word(const char *list, uint8_t n) {
    while (n)
        if (!pgm_read_byte(list++))
            n--;
    talk_char(' ');
    talk_flash(list);
}

void talk_number(uint32_t value) {
    char digits[10];
    uint8_t count = 0;
    /* Dividing 32 bits takes three times as long as 16, and an answer that takes a millisecond costs a frame. */
    while (value > 0xFFFF) {
        digits[count++] = '0' + value % 10;
        value /= 10;
    }
    uint16_t rest = value;
    do {
        digits[count++] = '0' + rest % 10;
        rest /= 10;
    } while (rest);
    talk_char(' ');
    while (count)
        talk_char(digits[--count]);
}

static void put_nibble(uint8_t nibble) {
    talk_char(nibble < 10 ? '0' + nibble : 'A' - 10 + nibble);
}

void talk_hex(uint8_t value) {
    put_nibble(value >> 4);
    put_nibble(value & 15);
}

void talk_end(void) {
    talk_char(' ');
    uint16_t closing = crc;
    talk_hex(closing >> 8);
    talk_hex(closing);
    talk_end_bare();
}

void talk_end_bare(void) {
    talk_char('\n');
    serial_send_up_to(head);
}
