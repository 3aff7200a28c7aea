/* The parser is bounded: a line is at most REQUEST_MAX_BYTES, what is longer is skipped to its newline and refused.
 * Only a line with a right CRC counts as a sign of life of the host. */
#include <string.h>
#include <util/atomic.h>
#include "burst.h"
#include "crc16.h"
#include "guard.h"
#include "requests.h"
#include "rig_id.h"
#include "sampler.h"
#include "serial.h"
#include "talk.h"

#define ARGUMENTS_MAX 3
/* The longest answer (BOARD_LINE_MAX_BYTES) and one frame still fit above this. */
#define SEND_USED_MAX (255 - BOARD_LINE_MAX_BYTES - FRAME_LINE_BYTES)

static const char verb_words[] PROGMEM = VERB_WORDS;
static const uint8_t verb_arguments[] PROGMEM = VERB_ARGUMENTS;
static const uint8_t verb_acts[] PROGMEM = VERB_ACTS;
static const char position_words[] PROGMEM = POSITION_WORDS;
static const char feed_words[] PROGMEM = FEED_WORDS;
static const char mode_words[] PROGMEM = MODE_WORDS;
static const char loop_words[] PROGMEM = LOOP_WORDS;
static const char bus_words[] PROGMEM = BUS_WORDS;
static const char coil_words[] PROGMEM = COIL_WORDS;
static const char switch_words[] PROGMEM = SWITCH_WORDS;
static const char stop_words[] PROGMEM = STOP_WORDS;
static const char reset_words[] PROGMEM = RESET_WORDS;
static const char burst_words[] PROGMEM = BURST_EDGE_WORDS;
static const char throw_words[] PROGMEM = THROW_POSITION_WORDS;

static char line[REQUEST_MAX_BYTES];
static uint8_t length;
static bool skipping;
static uint32_t lines_refused;

static char *argument[ARGUMENTS_MAX];
static uint8_t refused;
static uint16_t detail;
static uint8_t forgotten; /* stop reason that a clear has told */

/* The last acting request, so that a repeated line is answered again but not carried out again. */
static struct {
    bool valid;
    uint8_t seq, refused, forgotten;
    uint16_t crc, detail;
} last;

static int8_t find_word(const char *list, const char *text) {
    for (int8_t n = 0; pgm_read_byte(list); n++) {
        if (strcmp_P(text, list) == 0)
            return n;
        list += strlen_P(list) + 1;
    }
    return -1;
}

static void refuse_argument(uint8_t n) {
    refused = REFUSED_ARGUMENT_VALUE;
    detail = n + 1;
}

static uint8_t word_argument(uint8_t n, const char *list) {
    int8_t found = find_word(list, argument[n]);
    if (found < 0)
        refuse_argument(n);
    return found;
}

/* Plain decimal, no sign, no leading zero, at most five digits. */
static uint16_t number_argument(uint8_t n, uint16_t min, uint16_t max) {
    const char *text = argument[n];
    uint32_t value = 0;
    uint8_t digits = 0;
    for (; *text; text++, digits++) {
        if (*text < '0' || *text > '9' || digits == 5 || (digits == 1 && value == 0)) {
            refuse_argument(n);
            return 0;
        }
        value = value * 10 + (uint8_t)(*text - '0');
    }
    if (digits == 0 || value < min || value > max)
        refuse_argument(n);
    return value;
}

static void scan_argument(void) {
    const char *letters = argument[0];
    if (strlen(letters) != SLOT_COUNT || strspn_P(letters, PSTR(SCAN_LETTERS)) != SLOT_COUNT || !strchr(letters, 'M') ||
        !strchr(letters, 'F'))
        refuse_argument(0);
}

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

static void begin_ok(uint8_t seq) {
    talk_begin('<');
    talk_hex(seq);
    talk_flash(PSTR(" ok"));
}

static void answer(bool seq_known, uint8_t seq) {
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
        begin_ok(seq);
    talk_end();
}

static void refuse_line(uint8_t number, uint16_t more) {
    lines_refused++;
    refused = number;
    detail = more;
    answer(false, 0);
}

static void tell_burst(uint8_t seq) {
    uint16_t from = number_argument(0, BURST_READ_FROM_MIN, BURST_READ_FROM_MAX);
    if (!refused && from % 3)
        refuse_argument(0);
    if (!refused && burst_phase != BURST_DONE)
        refused = REFUSED_NO_BURST;
    if (refused) {
        answer(true, seq);
        return;
    }
    begin_ok(seq);
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

/* Answers everything that only asks. */
static void tell(uint8_t verb, uint8_t seq, uint8_t reset_cause) {
    struct guard now;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        now = *(struct guard *)&guard;
    }
    begin_ok(seq);
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

/* Carries out everything that changes something; leaves `refused` and `detail`. */
static void act(uint8_t verb) {
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
        begin_ok(seq);
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
