/* The only file that writes output pins. A pattern is looked up, never composed: the two throws cannot come together. */
#ifndef OUTPUTS_H
#define OUTPUTS_H

#include "board.h"

/* Safe from interrupts and main alike: each is one store to the port. */
always_inline void outputs_off(void) {
    PORTD = PULL_UPS;
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

always_inline void lamp_set(bool lit) {
    PORTB = lit ? LAMP_BIT : 0;
}

#endif
