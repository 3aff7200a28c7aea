/* The parser is bounded: a line is at most REQUEST_MAX_BYTES, what is longer is skipped to its newline and refused.
 * Only a line with a right CRC counts as a sign of life of the host. */
#include <string.h>
#include <util/atomic.h>
#include "actions.h"
#include "answers.h"
#include "arguments.h"
#include "crc16.h"
#include "guard.h"
#include "requests.h"
#include "rig_id.h"
#include "sampler.h"
#include "serial.h"
#include "talk.h"
#include "words.h"

/* The longest answer (BOARD_LINE_MAX_BYTES) and one frame still fit above this. */
#define SEND_USED_MAX (255 - BOARD_LINE_MAX_BYTES - FRAME_LINE_BYTES)

static const char verb_words[] PROGMEM = VERB_WORDS;
static const uint8_t verb_arguments[] PROGMEM = VERB_ARGUMENTS;
static const uint8_t verb_acts[] PROGMEM = VERB_ACTS;

static char line[REQUEST_MAX_BYTES];
static uint8_t length;
static bool skipping;

/* The last acting request, so that a repeated line is answered again but not carried out again. */
static struct {
    bool valid;
    uint8_t seq, refused, forgotten;
    uint16_t crc, detail;
} last;

static int8_t hex_digit(char c) {
    if (c >= '0' && c <= '9')
        return c - '0';
    if (c >= 'A' && c <= 'F')
        return c - 'A' + 10;
    return -1;
}

/* Cuts `line` from `at` into words at single spaces. False when the form is wrong. */
static bool cut_words(uint8_t at, uint8_t end, char **verb, uint8_t *count) {
    *verb = &line[at];
    *count = 0;
    for (uint8_t i = at; i < end; i++) {
        if (line[i] != ' ') {
            if (line[i] < '!' || line[i] > '~')
                return false;
            continue;
        }
        line[i] = 0;
        if (i == at || line[i - 1] == 0)
            return false;
        if (i + 1 < end) {
            if (*count < ARGUMENTS_MAX)
                argument[*count] = &line[i + 1];
            (*count)++;
        }
    }
    return end > at && line[end - 1] == 0;
}

/* How long ago the oldest byte still waiting came; a line read late must not count as a sign of life from now. */
static uint16_t backlog_age_ms(void) {
    uint16_t age_ms;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        age_ms = (uint16_t)sampler.board_ms - serial.backlog_since_ms;
    }
    return age_ms;
}

static void take_line(uint8_t reset_cause) {
    uint16_t crc = CRC16_START, told = 0;
    char *verb_text;
    uint8_t count;
    refused = 0;
    detail = 0;
    if (length == 5 && memcmp_P(line, PSTR("*IDN?"), 5) == 0) {
        talk_begin(0);
        talk_flash(PSTR(BOARD_MAKER "," BOARD_MODEL ","));
        for (const char *c = rig_id; *c; c++)
            talk_char(*c);
        talk_flash(PSTR("," FIRMWARE_VERSION));
        talk_end_bare();
        return;
    }
    /* Shortest request: '>', two digits, space, one letter, space, CRC. */
    if (length < 10) {
        refuse_line(REFUSED_MALFORMED, 0);
        return;
    }
    uint8_t end = length - 4;
    for (uint8_t i = 0; i < end; i++)
        crc = crc16_add(crc, line[i]);
    for (uint8_t i = end; i < length; i++) {
        int8_t digit = hex_digit(line[i]);
        if (digit < 0) {
            refuse_line(REFUSED_WRONG_CRC, 0);
            return;
        }
        told = told << 4 | (uint8_t)digit;
    }
    if (crc != told) {
        refuse_line(REFUSED_WRONG_CRC, 0);
        return;
    }
    int8_t high = hex_digit(line[1]), low = hex_digit(line[2]);
    if (line[0] != '>' || high < 0 || low < 0 || line[3] != ' ' || !cut_words(4, end, &verb_text, &count)) {
        refuse_line(REFUSED_MALFORMED, 0);
        return;
    }
    uint8_t seq = high << 4 | low;
    guard_host_heard(backlog_age_ms());

    int8_t verb = find_word(verb_words, verb_text);
    if (verb < 0) {
        refused = REFUSED_UNKNOWN_VERB;
        answer(true, seq);
        return;
    }
    uint8_t wanted = pgm_read_byte(&verb_arguments[verb]);
    if (count != wanted) {
        refused = REFUSED_ARGUMENT_COUNT;
        detail = wanted;
        answer(true, seq);
        return;
    }
    if (verb == VERB_BURST_READ) {
        tell_burst(seq);
        return;
    }
    if (!pgm_read_byte(&verb_acts[verb])) {
        tell(verb, seq, reset_cause);
        return;
    }
    /* What switches off is carried out every time. */
    bool again = last.valid && last.seq == seq && last.crc == crc && verb != VERB_OFF && verb != VERB_STOP &&
                 verb != VERB_RELEASE && verb != VERB_FEED && verb != VERB_COIL;
    if (again) {
        refused = last.refused;
        detail = last.detail;
        forgotten = last.forgotten;
    } else {
        act(verb);
        last.valid = true;
        last.seq = seq;
        last.crc = crc;
        last.refused = refused;
        last.detail = detail;
        last.forgotten = forgotten;
    }
    if (verb == VERB_CLEAR && !refused) {
        answer_begin_ok(seq);
        talk_word(stop_words, forgotten);
        talk_end();
    } else
        answer(true, seq);
}

static bool can_take(void) {
    return serial_has_byte() && serial_used() <= SEND_USED_MAX;
}

/* Bytes taken in one call. While a burst waits, the interrupts leave less time for a byte than the wire needs to bring the
 * next: without an end of its own this loop would go on for as long as noise comes, and the watchdog would bite. */
#define BYTES_A_CALL REQUEST_MAX_BYTES
#if BYTES_A_CALL > RECEIVE_RING / 2
#error "the receive ring could run empty before it is heard on"
#endif

static bool take_bytes(uint8_t reset_cause) {
    for (uint8_t left = BYTES_A_CALL; left && can_take(); left--) {
        char c = serial_take();
        if (c == '\n') {
            bool was_skipping = skipping;
            skipping = false;
            if (length && line[length - 1] == '\r')
                length--;
            if (was_skipping)
                refuse_line(REFUSED_LINE_TOO_LONG, REQUEST_MAX_BYTES);
            else if (length)
                take_line(reset_cause);
            length = 0;
            return can_take();
        }
        if (length < REQUEST_MAX_BYTES - 1)
            line[length++] = c;
        else
            skipping = true;
    }
    return can_take();
}

bool requests_work(uint8_t reset_cause) {
    bool more = take_bytes(reset_cause);
    serial_hear_on();
    return more;
}
