/* USART0 at 500 kBd, 8N1, through two rings. Main writes and reads; interrupts move the bytes. */
#ifndef SERIAL_H
#define SERIAL_H

#include "board.h"

#define SEND_RING 256 /* an 8-bit index wraps by itself */
#define RECEIVE_RING 128
#define RECEIVE_MARK 0 /* stands where bytes were lost */

struct serial {
    uint8_t send_head, send_tail;
    uint8_t receive_head, receive_tail;
    uint16_t bytes_lost;
    uint16_t backlog_since_ms; /* board time at which the receive ring last began to fill */
};
extern volatile struct serial serial;
extern uint8_t send_ring[SEND_RING];
extern uint8_t receive_ring[RECEIVE_RING];

void serial_start(void);

always_inline uint8_t serial_used(void) {
    return serial.send_head - serial.send_tail;
}

/* Bytes that can be written without overrunning the ring. */
always_inline uint8_t serial_room(void) {
    return 255 - serial_used();
}

always_inline bool serial_has_byte(void) {
    return serial.receive_head != serial.receive_tail;
}

always_inline uint8_t serial_take(void) {
    uint8_t tail = serial.receive_tail;
    uint8_t byte = receive_ring[tail];
    serial.receive_tail = (tail + 1) & (RECEIVE_RING - 1);
    return byte;
}

/* Hears on after a full ring. Called before the ring can have run empty, so that what waited in the receiver is as old as the rest
 * of the backlog. Main and interrupts may change UCSR0B at once: an interrupt switched on once too often is switched off again
 * by itself. */
always_inline void serial_hear_on(void) {
    uint8_t used = (serial.receive_head - serial.receive_tail) & (RECEIVE_RING - 1);
    if (used <= RECEIVE_RING / 2)
        UCSR0B |= 1 << RXCIE0;
}

/* Starts sending what was written up to the new head. */
always_inline void serial_send_up_to(uint8_t head) {
    serial.send_head = head;
    UCSR0B |= 1 << UDRIE0;
}

#endif
