/* The slow half of the guard: requests of the host, each checked and carried out with interrupts off. */
#include <util/atomic.h>
#include "guard.h"

volatile struct guard guard = {
    .dead_ms = DEAD_DEFAULT_MS,
    /* The motor may still be coasting from before the reset. */
    .dead_left_ms = DEAD_TICKS(DEAD_DEFAULT_MS),
    .silence_left_ms = 0,
    .trip_motor_counts = TRIP_MOTOR_DEFAULT_COUNTS,
    .trip_feed_counts = TRIP_FEED_DEFAULT_COUNTS,
    .trip_samples = TRIP_SAMPLES_DEFAULT,
};

volatile struct kept_stop kept_stop __attribute__((section(".noinit")));

uint8_t earlier_stop;

void guard_start(uint8_t reset_cause) {
    uint8_t latched = STOP_NONE;
    PORTB = STRAPS;
    DDRB = LAMP_BIT | COIL_FULL_BIT;
    /* Memory that has been without power holds anything. */
    if ((reset_cause == RESET_EXTERNAL || reset_cause == RESET_WATCHDOG) && kept_stop.reason <= STOP_HOST_REQUEST &&
        (kept_stop.check ^ kept_stop.reason) == 0xFF)
        earlier_stop = kept_stop.reason;
    if (reset_cause == RESET_WATCHDOG) {
        latched = earlier_stop == STOP_NONE ? STOP_WATCHDOG : earlier_stop;
        guard.stop = latched;
        guard.stop_news = latched;
        guard.status = STATUS(POSITION_REST, FEED_OFF, MODE_STOPPED);
    }
    keep_stop(latched);
}

static uint8_t refuse_unless_armed(uint16_t *detail) {
    uint8_t mode = STATUS_MODE(guard.status);
    if (mode == MODE_STOPPED) {
        *detail = guard.stop;
        return REFUSED_STOPPED;
    }
    return mode == MODE_ARMED ? 0 : REFUSED_NOT_ARMED;
}

uint8_t guard_arm(uint16_t *detail) {
    uint8_t refused = 0;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        uint8_t mode = STATUS_MODE(guard.status);
        if (mode == MODE_STOPPED) {
            *detail = guard.stop;
            refused = REFUSED_STOPPED;
        } else if (stop_loop_is_open())
            refused = REFUSED_STOP_LOOP_OPEN;
        else if (mode == MODE_IDLE && feed_bus_is_live())
            refused = REFUSED_FEED_LIVE;
        else if (mode == MODE_IDLE) {
            guard.status = STATUS(POSITION_REST, FEED_OFF, MODE_ARMED);
            armed_set(COIL_LIMITED);
        }
    }
    return refused;
}

uint8_t guard_throw(uint8_t position, uint16_t hold_ms, uint16_t *detail) {
    uint8_t refused;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        refused = refuse_unless_armed(detail);
        if (!refused && STATUS_POSITION(guard.status) != POSITION_REST)
            refused = REFUSED_ALREADY_THROWN;
        if (!refused && guard.dead_left_ms) {
            *detail = guard.dead_left_ms;
            refused = REFUSED_DEAD_TIME;
        }
        if (!refused) {
            uint8_t feed = STATUS_FEED(guard.status);
            guard.hold_left_ms = hold_ms;
            guard.status = STATUS(position, feed, MODE_ARMED);
            outputs_set(position, feed);
        }
    }
    return refused;
}

uint8_t guard_feed(uint8_t feed, uint16_t *detail) {
    uint8_t refused;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        refused = refuse_unless_armed(detail);
        if (!refused) {
            uint8_t position = STATUS_POSITION(guard.status);
            guard.status = STATUS(position, feed, MODE_ARMED);
            outputs_set(position, feed);
        } else if (feed == FEED_OFF)
            refused = 0; /* it is off already */
    }
    return refused;
}

uint8_t guard_coil(uint8_t coil, uint16_t *detail) {
    uint8_t refused;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        refused = refuse_unless_armed(detail);
        if (!refused)
            armed_set(coil);
        else if (coil == COIL_LIMITED)
            refused = 0; /* it is limited already */
    }
    return refused;
}

void guard_release(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        uint8_t feed = STATUS_FEED(guard.status);
        if (STATUS_POSITION(guard.status) != POSITION_REST) {
            outputs_set(POSITION_REST, feed);
            guard.status = STATUS(POSITION_REST, feed, STATUS_MODE(guard.status));
            guard.dead_left_ms = DEAD_TICKS(guard.dead_ms);
            guard.hold_left_ms = 0;
        }
    }
}

void guard_off(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        guard_drop_outputs(STATUS_MODE(guard.status) == MODE_STOPPED ? MODE_STOPPED : MODE_IDLE);
    }
}

void guard_host_stop(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        guard_stop(STOP_HOST_REQUEST);
    }
}

uint8_t guard_clear(uint8_t *forgotten) {
    uint8_t refused = 0;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        if (stop_loop_is_open())
            refused = REFUSED_STOP_LOOP_OPEN;
        else {
            guard_drop_outputs(MODE_IDLE);
            *forgotten = guard.stop;
            guard.stop = STOP_NONE;
            keep_stop(STOP_NONE);
        }
    }
    return refused;
}

/* One less than promised: a burst counts its milliseconds early by up to a round of its turns, and no two alike. */
#define SILENCE_TICKS (SILENCE_MS - 1)

void guard_host_heard(uint16_t age_ms) {
    uint16_t left_ms = age_ms < SILENCE_TICKS ? SILENCE_TICKS - age_ms : 0;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        if (left_ms > guard.silence_left_ms)
            guard.silence_left_ms = left_ms;
    }
}

bool guard_is_idle(void) {
    return STATUS_MODE(guard.status) == MODE_IDLE;
}
