/* What may be energised, for how long, and what stops it. Everything here holds whatever the host says.
 * State is one byte (position, feed, mode), so that interrupts and frames see it whole. */
#ifndef GUARD_H
#define GUARD_H

#include "outputs.h"

#define STATUS(position, feed, mode) ((position) | ((feed) << 2) | ((mode) << 4))
#define STATUS_POSITION(status) ((status) & 3)
#define STATUS_FEED(status) (((status) >> 2) & 3)
#define STATUS_MODE(status) (((status) >> 4) & 3)

struct guard {
    uint8_t status;
    uint8_t stop;         /* first reason since the last clear */
    uint8_t stop_news;    /* reason not yet told to the host; a clear may come before it is */
    uint16_t hold_left_ms;
    uint16_t dead_left_ms;
    uint16_t dead_ms;
    uint16_t silence_left_ms;
    uint16_t trip_motor_counts;
    uint16_t trip_feed_counts;
    uint8_t trip_samples;
    uint8_t motor_run; /* consecutive samples at or above the limit */
    uint8_t feed_run;
    uint8_t loop_run; /* consecutive looks that saw the stop loop open */
};
extern volatile struct guard guard;

/* The latched reason once more, in memory that a restart leaves alone: after one by the watchdog the first reason is latched again;
 * after any other, such as that by opening the port, it is only told. */
struct kept_stop {
    uint8_t reason;
    uint8_t check; /* its complement */
};
extern volatile struct kept_stop kept_stop;
extern uint8_t earlier_stop;

always_inline void keep_stop(uint8_t reason) {
    kept_stop.reason = reason;
    kept_stop.check = ~reason;
}

/* A refusal number, or 0 when done; `*detail` as the refusal says. Called from main with interrupts on. */
void guard_start(uint8_t reset_cause);
uint8_t guard_arm(uint16_t *detail);
uint8_t guard_throw(uint8_t position, uint16_t hold_ms, uint16_t *detail);
uint8_t guard_feed(uint8_t feed, uint16_t *detail);
/* Falls back to limited with everything that switches off. */
uint8_t guard_coil(uint8_t coil, uint16_t *detail);
/* Tells the reason that it has forgotten, read at the same moment: no stop can come between and be lost. */
uint8_t guard_clear(uint8_t *forgotten);
void guard_release(void);
void guard_off(void);
void guard_host_stop(void);
/* A valid line has come, at most `age_ms` ago. */
void guard_host_heard(uint16_t age_ms);
bool guard_is_idle(void);

always_inline bool stop_loop_is_open(void) {
    return PIND & STOP_LOOP_BIT;
}

/* Voltage on the feed to the unit. With both feeds switched off that is a welded contact or a shorted driver. */
always_inline bool feed_bus_is_live(void) {
    return !(PIND & FEED_BUS_BIT);
}

/* As the straps tell it. */
always_inline uint8_t hardware_revision(void) {
    return 1 + ((uint8_t)(~PINB & STRAPS) >> STRAPS_SHIFT);
}

/* Ticks to wait for a dead time: one more because the first may come at once, another because a burst counts early. */
#define DEAD_TICKS(dead_ms) ((dead_ms) + 2)

/* Only with interrupts off. */
always_inline void guard_drop_outputs(uint8_t mode) {
    outputs_off();
    if (STATUS_POSITION(guard.status) != POSITION_REST)
        guard.dead_left_ms = DEAD_TICKS(guard.dead_ms);
    guard.status = STATUS(POSITION_REST, FEED_OFF, mode);
    guard.hold_left_ms = 0;
}

/* Only with interrupts off. The first reason stays. */
always_inline void guard_stop(uint8_t reason) {
    if (STATUS_MODE(guard.status) != MODE_STOPPED) {
        guard.stop = reason;
        guard.stop_news = reason;
        keep_stop(reason);
        WORK = 1;
    }
    guard_drop_outputs(MODE_STOPPED);
}

always_inline bool guard_is_armed(void) {
    return STATUS_MODE(guard.status) == MODE_ARMED;
}

/* One more sample at or above its limit; true when there are enough. The count goes on past that number and while idle, so that
 * arming into an over-current trips at the next sample, whatever number was set before. */
always_inline bool guard_count(volatile uint8_t *run) {
    uint8_t count = *run;
    if (count != 255)
        *run = ++count;
    return count >= guard.trip_samples && guard_is_armed();
}

/* Called from the sampling interrupt for every conversion, with its ADC input and count. */
always_inline void guard_sample(uint8_t input, uint16_t counts) {
    if (input == ADC_INPUT_M) {
        uint16_t away = counts >= MOTOR_ZERO_COUNT ? counts - MOTOR_ZERO_COUNT : MOTOR_ZERO_COUNT - counts;
        if (away < guard.trip_motor_counts)
            guard.motor_run = 0;
        else if (guard_count(&guard.motor_run))
            guard_stop(STOP_MOTOR_OVER_CURRENT);
    } else if (input == ADC_INPUT_F) {
        if (counts < guard.trip_feed_counts)
            guard.feed_run = 0;
        else if (guard_count(&guard.feed_run))
            guard_stop(STOP_FEED_OVER_CURRENT);
    }
}

/* Called from the sampling interrupt, every 56 us: two looks in a row keep a spike on the loop's wires from stopping. */
always_inline void guard_stop_loop(void) {
    if (!stop_loop_is_open())
        guard.loop_run = 0;
    else if (guard.loop_run < 2) {
        if (++guard.loop_run == 2 && guard_is_armed())
            guard_stop(STOP_STOP_INPUT);
    } else if (guard_is_armed())
        guard_stop(STOP_STOP_INPUT);
}

/* Called from the sampling interrupt once a millisecond. True when the host has just fallen silent. */
always_inline bool guard_millisecond(void) {
    bool fell_silent = false;
    if (guard.dead_left_ms)
        guard.dead_left_ms--;
    if (guard.hold_left_ms && --guard.hold_left_ms == 0)
        guard_stop(STOP_LONGEST_HOLD);
    if (guard.silence_left_ms && --guard.silence_left_ms == 0) {
        fell_silent = true;
        if (guard_is_armed())
            guard_stop(STOP_HOST_SILENCE);
    }
    return fell_silent;
}

#endif
