/* Answers are written straight into the send ring: the caller of requests_work has made sure of room. */
#include <util/atomic.h>
#include "answers.h"
#include "arguments.h"
#include "burst.h"
#include "guard.h"
#include "rig_id.h"
#include "sampler.h"
#include "serial.h"
#include "talk.h"
#include "words.h"

static const char position_words[] PROGMEM = POSITION_WORDS;
static const char mode_words[] PROGMEM = MODE_WORDS;
static const char loop_words[] PROGMEM = LOOP_WORDS;
static const char bus_words[] PROGMEM = BUS_WORDS;
static const char reset_words[] PROGMEM = RESET_WORDS;

static uint32_t lines_refused;

void answer_begin_ok(uint8_t seq) {
    talk_begin('<');
    talk_hex(seq);
    talk_flash(PSTR(" ok"));
}

void answer(bool seq_known, uint8_t seq) {
    if (refused) {
        talk_begin('<');
        if (seq_known)
            talk_hex(seq);
        else
            talk_flash(PSTR("--"));
        talk_flash(PSTR(" no"));
        talk_number(refused);
        talk_number(detail);
    } else
        answer_begin_ok(seq);
    talk_end();
}

void refuse_line(uint8_t number, uint16_t more) {
    lines_refused++;
    refused = number;
    detail = more;
    answer(false, 0);
}

void tell_burst(uint8_t seq) {
    uint16_t from = number_argument(0, BURST_READ_FROM_MIN, BURST_READ_FROM_MAX);
    if (!refused && from % 3)
        refuse_argument(0);
    if (!refused && burst_phase != BURST_DONE)
        refused = REFUSED_NO_BURST;
    if (refused) {
        answer(true, seq);
        return;
    }
    answer_begin_ok(seq);
    talk_char(' ');
    for (uint8_t i = 0; i < BURST_READ_SAMPLES && from < BURST_SAMPLES; i += 3, from += 3) {
        uint16_t a = burst_sample(from), b = burst_sample(from + 1), c = burst_sample(from + 2);
        talk_char('0' + (uint8_t)(a >> 4));
        talk_char('0' + (((uint8_t)a & 15) << 2 | (uint8_t)(b >> 8)));
        talk_char('0' + ((uint8_t)b >> 2));
        talk_char('0' + (((uint8_t)b & 3) << 4 | (uint8_t)(c >> 6)));
        talk_char('0' + ((uint8_t)c & 63));
    }
    talk_end();
}

void tell(uint8_t verb, uint8_t seq, uint8_t reset_cause) {
    struct guard now;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        now = *(struct guard *)&guard;
    }
    answer_begin_ok(seq);
    switch (verb) {
    case VERB_HELLO:
        talk_number(PROTOCOL_VERSION);
        talk_flash(PSTR(" " FIRMWARE_VERSION " " BOARD_MODEL));
        talk_text(rig_id);
        talk_word(reset_words, reset_cause);
        talk_word(stop_words, earlier_stop);
        talk_number(hardware_revision());
        break;
    case VERB_CONSTANTS:
        talk_number(CLOCK_HZ);
        talk_number(ADC_BITS);
        talk_number(FRAME_US);
        talk_number(SLOT_COUNT);
        talk_number(DEAD_FLOOR_MS);
        talk_number(DEAD_DEFAULT_MS);
        talk_number(SILENCE_MS);
        talk_number(HOLD_CEILING_MS);
        talk_number(REQUEST_MAX_BYTES);
        break;
    case VERB_STATE:
        talk_word(position_words, STATUS_POSITION(now.status));
        talk_word(feed_words, STATUS_FEED(now.status));
        talk_word(mode_words, STATUS_MODE(now.status));
        talk_word(stop_words, now.stop);
        talk_word(loop_words, stop_loop_is_open());
        talk_word(switch_words, sampler.streaming);
        talk_number(now.hold_left_ms);
        talk_number(now.dead_left_ms);
        talk_number(sampler_board_ms());
        talk_word(bus_words, feed_bus_is_live());
        talk_word(coil_words, coil_now());
        break;
    case VERB_LIMITS:
        talk_number(now.trip_motor_counts);
        talk_number(now.trip_feed_counts);
        talk_number(now.trip_samples);
        talk_number(now.dead_ms);
        break;
    case VERB_COUNTERS: {
        struct sampler counted;
        uint16_t bytes_lost;
        ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
            counted = *(struct sampler *)&sampler;
            bytes_lost = serial.bytes_lost;
        }
        talk_number(counted.frames_sent);
        talk_number(counted.frames_lost);
        talk_number(counted.slots_late);
        talk_number(bytes_lost);
        talk_number(lines_refused);
        break;
    }
    case VERB_SCAN: {
        char letters[SLOT_COUNT + 1];
        sampler_copy_scan(letters);
        talk_text(letters);
        break;
    }
    case VERB_ALIVE:
        talk_number(sampler_board_ms());
        break;
    }
    talk_end();
}
