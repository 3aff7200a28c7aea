/* The two interrupts of the serial line. A byte that finds no room is counted, never blocks. A full ring switches the receiver's
 * interrupt off until main has emptied half of it: noise at full line rate beside a burst's conversions would leave main no
 * time at all, and the watchdog would restart the board. What comes meanwhile is lost in the receiver, which flags it. */
#include "sampler.h"
#include "serial.h"

volatile struct serial serial;
uint8_t send_ring[SEND_RING];
uint8_t receive_ring[RECEIVE_RING];

void serial_start(void) {
    UCSR0A = 1 << U2X0;
    UBRR0 = CLOCK_HZ / (8 * BAUD) - 1;
    UCSR0C = (1 << UCSZ01) | (1 << UCSZ00);
    UCSR0B = (1 << RXCIE0) | (1 << RXEN0) | (1 << TXEN0);
}

/* Where bytes were lost a mark stands in the ring, which no request may contain: else the loss of a line's beginning, or of the
 * newline before it, could make a request of what was none. */
static uint8_t mark_is_due;

always_inline void keep(uint8_t byte) {
    uint8_t head = serial.receive_head, tail = serial.receive_tail;
    uint8_t room = (uint8_t)(tail - head - 1) & (RECEIVE_RING - 1);
    if (head == tail)
        serial.backlog_since_ms = (uint16_t)sampler.board_ms;
    if (room < 1 + mark_is_due) {
        serial.bytes_lost++;
        mark_is_due = 1;
        UCSR0B &= ~(1 << RXCIE0);
        return;
    }
    if (mark_is_due) {
        receive_ring[head] = RECEIVE_MARK;
        head = (head + 1) & (RECEIVE_RING - 1);
        mark_is_due = 0;
    }
    receive_ring[head] = byte;
    serial.receive_head = (head + 1) & (RECEIVE_RING - 1);
    if (byte == '\n')
        WORK = 1;
}

ISR(USART_RX_vect) {
    uint8_t flags = UCSR0A; /* to be read before the byte */
    if (!(flags & ((1 << DOR0) | (1 << FE0)))) {
        keep(UDR0);
        return;
    }
    /* Which of the bytes in the receiver's buffer follows the gap is not known, nor whether the next to come does. */
    serial.bytes_lost++;
    do {
        mark_is_due = 1;
        keep(UDR0);
    } while (UCSR0A & (1 << RXC0));
    mark_is_due = 1;
}

ISR(USART_UDRE_vect) {
    uint8_t tail = serial.send_tail;
    if (tail == serial.send_head)
        UCSR0B &= ~(1 << UDRIE0);
    else {
        UDR0 = send_ring[tail];
        serial.send_tail = tail + 1;
    }
}
