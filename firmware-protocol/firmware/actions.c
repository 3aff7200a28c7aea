/* Requests that change something: what the host may ask of the outputs through the guard, and settings, which only an idle board takes. */
#include <string.h>
#include <util/atomic.h>
#include "actions.h"
#include "arguments.h"
#include "burst.h"
#include "guard.h"
#include "rig_id.h"
#include "sampler.h"
#include "words.h"

static const char burst_words[] PROGMEM = BURST_EDGE_WORDS;
static const char throw_words[] PROGMEM = THROW_POSITION_WORDS;

uint8_t forgotten;

static void burst_request(void) {
    const char *letters = argument[0];
    uint8_t count = strlen(letters);
    if (count > 2 || strspn_P(letters, PSTR(SCAN_LETTERS)) != count) {
        refuse_argument(0);
        return;
    }
    uint8_t edge = word_argument(1, burst_words);
    uint16_t before = refused ? 0 : number_argument(2, BURST_BEFORE_MIN, BURST_BEFORE_MAX);
    if (!refused)
        refused = burst_ask(letters, edge, before);
}

void act(uint8_t verb) {
    switch (verb) {
    case VERB_ARM:
        refused = guard_arm(&detail);
        return;
    case VERB_OFF:
        guard_off();
        return;
    case VERB_STOP:
        guard_host_stop();
        return;
    case VERB_CLEAR:
        refused = guard_clear(&forgotten);
        return;
    case VERB_RELEASE:
        guard_release();
        return;
    case VERB_FEED: {
        uint8_t feed = word_argument(0, feed_words);
        if (!refused)
            refused = guard_feed(feed, &detail);
        return;
    }
    case VERB_COIL: {
        uint8_t coil = word_argument(0, coil_words);
        if (!refused)
            refused = guard_coil(coil, &detail);
        return;
    }
    case VERB_THROW: {
        uint8_t position = POSITION_FORWARD + word_argument(0, throw_words);
        uint16_t hold_ms = refused ? 0 : number_argument(1, THROW_HOLD_MS_MIN, THROW_HOLD_MS_MAX);
        if (!refused)
            refused = guard_throw(position, hold_ms, &detail);
        return;
    }
    case VERB_BURST:
        burst_request();
        return;
    case VERB_BURST_END:
        burst_end();
        return;
    case VERB_STREAM: {
        uint8_t on = word_argument(0, switch_words);
        if (!refused && on == SWITCH_ON && burst_is_under_way())
            refused = REFUSED_BURSTING;
        if (!refused)
            sampler_stream(on == SWITCH_ON);
        return;
    }
    }
    /* What is left sets something up, and only an idle board lets it. */
    if (!guard_is_idle()) {
        refused = REFUSED_NOT_IDLE;
        return;
    }
    switch (verb) {
    case VERB_SET_TRIP: {
        uint16_t motor = number_argument(0, SET_TRIP_MOTOR_COUNTS_MIN, SET_TRIP_MOTOR_COUNTS_MAX);
        uint16_t feed = refused ? 0 : number_argument(1, SET_TRIP_FEED_COUNTS_MIN, SET_TRIP_FEED_COUNTS_MAX);
        uint8_t samples = refused ? 0 : number_argument(2, SET_TRIP_SAMPLES_MIN, SET_TRIP_SAMPLES_MAX);
        if (!refused)
            ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
                guard.trip_motor_counts = motor;
                guard.trip_feed_counts = feed;
                guard.trip_samples = samples;
            }
        return;
    }
    case VERB_SET_DEAD: {
        uint16_t dead_ms = number_argument(0, SET_DEAD_DEAD_MS_MIN, SET_DEAD_DEAD_MS_MAX);
        if (!refused)
            ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
                guard.dead_ms = dead_ms;
            }
        return;
    }
    case VERB_SET_SCAN:
        scan_argument();
        if (!refused && sampler.streaming)
            refused = REFUSED_STREAMING;
        if (!refused)
            sampler_set_scan(argument[0]);
        return;
    case VERB_SET_RIG:
        if (!rig_id_set(argument[0]))
            refuse_argument(0);
        return;
    }
}
