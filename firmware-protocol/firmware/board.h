/* Pins of the reference rig (ATmega328P, 16 MHz, 5 V) and what the files share.
 *
 *   PD2  stop loop, closed to ground; pulled up: high = loop open = stop
 *   PD3  feed bus, low while it is live; pulled up: a rig without that sense sees it dead
 *   PD4  feed limited     PD5  feed full
 *   PD6  throw forward    PD7  throw reverse      all active high, pulled down outside
 *   PB0  coil feed straight, active high, pulled down outside: low = through its limiter
 *   PB1, PB2  hardware revision: straps to ground, pulled up in the chip; what is joined counts 1 and 2 on top of 1
 *   PB5  armed lamp
 *   PD0  RXD   PD1  TXD
 *   ADC0 motor current   ADC1 lead A   ADC2 lead B   ADC3 feed current   ADC4 coil current   ADC5 supply
 */
#ifndef BOARD_H
#define BOARD_H

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/pgmspace.h>
#include <stdbool.h>
#include <stdint.h>
#include "protocol.h"

#define STOP_LOOP_BIT (1 << PD2)
#define FEED_BUS_BIT (1 << PD3)
#define FEED_LIMITED_BIT (1 << PD4)
#define FEED_FULL_BIT (1 << PD5)
#define THROW_FORWARD_BIT (1 << PD6)
#define THROW_REVERSE_BIT (1 << PD7)
#define OUTPUT_BITS (FEED_LIMITED_BIT | FEED_FULL_BIT | THROW_FORWARD_BIT | THROW_REVERSE_BIT)
#define COIL_FULL_BIT (1 << PB0)
#define STRAPS_SHIFT PB1
#define STRAPS ((1 << PB1) | (1 << PB2))
#define LAMP_BIT (1 << PB5)
/* Pull-ups of the inputs on port D: receive line, stop loop and feed bus. */
#define PULL_UPS ((1 << PD0) | STOP_LOOP_BIT | FEED_BUS_BIT)

#if THROW_HOLD_MS_MAX > 65535 || DEAD_CEILING_MS > 65534
#error "holds and dead times are counted in 16 bits"
#endif
#if DEAD_DEFAULT_MS < DEAD_FLOOR_MS
#error "the default dead time is below the floor"
#endif

/* Set by an interrupt that has made work for the main loop; an I/O register, so that looking costs two instructions and the
 * 59,000 wake-ups a second that make none cost next to nothing. */
#define WORK GPIOR0

#define always_inline static inline __attribute__((always_inline))

#endif
