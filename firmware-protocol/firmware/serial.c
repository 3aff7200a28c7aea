/* The two interrupts of the serial line. A byte that finds no room is counted, never blocks. */
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

ISR(USART_RX_vect) {
    uint8_t flags = UCSR0A; /* to be read before the byte */
    uint8_t byte = UDR0;
    uint8_t head = serial.receive_head;
    uint8_t next = (head + 1) & (RECEIVE_RING - 1);
    if (flags & ((1 << DOR0) | (1 << FE0)))
        serial.bytes_lost++;
    if (head == serial.receive_tail)
        serial.backlog_since_ms = (uint16_t)sampler.board_ms;
    if (next == serial.receive_tail)
        serial.bytes_lost++;
    else {
        receive_ring[head] = byte;
        serial.receive_head = next;
        if (byte == '\n')
            WORK = 1;
    }
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
