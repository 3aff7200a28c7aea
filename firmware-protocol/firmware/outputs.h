/* The only file that writes output pins. A pattern is looked up, never composed: the two throws cannot come together. */
#ifndef OUTPUTS_H
#define OUTPUTS_H

#include "board.h"

/* Safe from interrupts and main alike: each is one store to a port. */
always_inline void outputs_off(void) {
    PORTD = PULL_UPS;
    PORTB = STRAPS; /* coils through their limiter, lamp out */
}

always_inline void outputs_set(uint8_t position, uint8_t feed) {
    uint8_t pins = PULL_UPS;
    if (position == POSITION_FORWARD)
        pins |= THROW_FORWARD_BIT;
    else if (position == POSITION_REVERSE)
        pins |= THROW_REVERSE_BIT;
    if (feed == FEED_LIMITED)
        pins |= FEED_LIMITED_BIT;
    else if (feed == FEED_FULL)
        pins |= FEED_FULL_BIT;
    PORTD = pins;
}

/* Armed: the lamp is lit, and the coils' feed may be straight. */
always_inline void armed_set(uint8_t coil) {
    PORTB = STRAPS | LAMP_BIT | (coil == COIL_FULL ? COIL_FULL_BIT : 0);
}

always_inline uint8_t coil_now(void) {
    return PORTB & COIL_FULL_BIT ? COIL_FULL : COIL_LIMITED;
}

#endif
