/* Timer 1 ticks once a slot: it takes the finished conversion, starts the next and lets the guard look, in that order, so
 * that the guard acts within one slot of a conversion's end. Single conversions, started by hand: see ATmega328P data
 * sheet, ADC, "Starting a Conversion". At 500 kHz ADC clock a conversion takes 13 clocks = 26 us; above 200 kHz the data
 * sheet gives less than full resolution, which the rig's calibration has to cover. */
#pragma GCC optimize "O2" /* what runs 18,000 times a second; the rest is built for size */
#include <util/atomic.h>
#include "crc16.h"
#include "guard.h"
#include "sampler.h"
#include "serial.h"

#define ADC_ON ((1 << ADEN) | (1 << ADPS2) | (1 << ADPS0)) /* 16 MHz / 32 */
#define ADC_GO (ADC_ON | (1 << ADSC))
#define MUX(input) ((1 << REFS0) | (input)) /* reference: supply of the board */
#define MUX_INPUT(mux) ((mux) & 0x0F)

/* Eighteen slots make exactly one frame: 17 of 889 cycles and the first of 887. */
#define FRAME_CYCLES (CLOCK_HZ / 1000 * FRAME_US / 1000)
#define SLOT_CYCLES ((FRAME_CYCLES + SLOT_COUNT - 1) / SLOT_COUNT)
#define FIRST_SLOT_CYCLES (FRAME_CYCLES - (SLOT_COUNT - 1) * SLOT_CYCLES)

volatile struct sampler sampler;
static uint8_t scan[SLOT_COUNT];
static uint16_t samples[2][SLOT_COUNT];

/* Only the interrupt touches these. */
static uint16_t *fill = samples[0];
static uint8_t slot;
static uint8_t filling;
static uint8_t sampled_status; /* status when the last conversion was started */
static uint8_t since;

/* Written by the interrupt with the buffer, read by main before the next frame ends. */
static volatile uint8_t ready_buffer, ready_status, ready_since;
static volatile uint32_t ready_number, next_number;

void sampler_set_scan(const char *letters) {
    static const char known[] PROGMEM = SCAN_LETTERS;
    for (uint8_t i = 0; i < SLOT_COUNT; i++)
        for (uint8_t input = 0; input < sizeof known - 1; input++)
            if (letters[i] == (char)pgm_read_byte(&known[input]))
                scan[i] = MUX(input);
}

void sampler_copy_scan(char *letters) {
    static const char known[] PROGMEM = SCAN_LETTERS;
    for (uint8_t i = 0; i < SLOT_COUNT; i++)
        letters[i] = pgm_read_byte(&known[MUX_INPUT(scan[i])]);
    letters[SLOT_COUNT] = 0;
}

void sampler_start(void) {
    char letters[] = DEFAULT_SCAN;
    sampler_set_scan(letters);
    DIDR0 = 0x3F; /* no digital input buffers on the measuring pins */
    ADMUX = scan[SLOT_COUNT - 1];
    ADCSRA = ADC_GO;
    OCR1A = SLOT_CYCLES - 1;
    TCCR1A = 0;
    TCCR1B = (1 << WGM12) | (1 << CS10);
    TIMSK1 = 1 << OCIE1A;
}

void sampler_stream(bool on) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        if (on && !sampler.streaming) {
            next_number = 0;
            sampler.frame_is_ready = 0;
        }
        sampler.streaming = on;
    }
}

uint32_t sampler_board_ms(void) {
    uint32_t board_ms;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        board_ms = sampler.board_ms;
    }
    return board_ms;
}

/* The last conversion of a frame has been taken: hand the buffer over. */
always_inline void close_frame(void) {
    if (sampler.streaming) {
        if (sampler.frame_is_ready)
            sampler.frames_lost++;
        ready_buffer = filling;
        ready_status = sampled_status;
        ready_since = since;
        ready_number = next_number;
        next_number++;
        sampler.frame_is_ready = 1;
    }
    filling ^= 1;
    fill = samples[filling];
    since = 0;
    sampler.board_ms++;
    WORK = 1;
    if (guard_millisecond())
        sampler.streaming = 0; /* nobody listens */
}

ISR(TIMER1_COMPA_vect) {
    uint16_t counts = ADC;
    uint8_t mux = ADMUX;
    uint8_t now = slot;
    if (ADCSRA & (1 << ADSC))
        sampler.slots_late++;
    ADMUX = scan[now];
    ADCSRA = ADC_GO;
    *fill++ = counts;
    if (now == 0) {
        OCR1A = FIRST_SLOT_CYCLES - 1;
        close_frame();
    } else if (now == 1)
        OCR1A = SLOT_CYCLES - 1;
    uint8_t status = guard.status;
    if (STATUS_POSITION(status ^ sampled_status))
        since = now;
    sampled_status = status;
    slot = now == SLOT_COUNT - 1 ? 0 : now + 1;
    guard_sample(MUX_INPUT(mux), counts);
    guard_stop_loop();
}

void sampler_send_frame(void) {
    uint32_t number;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        number = ready_number;
    }
    const uint16_t *sample = samples[ready_buffer];
    uint8_t head = serial.send_head;
    uint16_t crc = CRC16_START;
    if (serial_room() < FRAME_LINE_BYTES) {
        ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
            sampler.frames_lost++;
            sampler.frame_is_ready = 0;
        }
        return;
    }
#define PUT(value)                   \
    do {                             \
        uint8_t put_ = (value);      \
        crc = crc16_add(crc, put_);  \
        send_ring[head++] = put_;    \
    } while (0)
#define PUT6(value) PUT('0' + (uint8_t)(value))
    PUT('~');
    PUT6((uint8_t)(number >> 12) & 63);
    PUT6((uint8_t)((uint16_t)number >> 6) & 63);
    PUT6((uint8_t)number & 63);
    PUT6(ready_status);
    PUT6(ready_since);
    for (uint8_t i = 0; i < SLOT_COUNT / 3; i++) {
        uint16_t a = *sample++, b = *sample++, c = *sample++;
        PUT6(a >> 4);
        PUT6(((uint8_t)a & 15) << 2 | b >> 8);
        PUT6((uint8_t)b >> 2);
        PUT6(((uint8_t)b & 3) << 4 | (uint8_t)(c >> 6));
        PUT6((uint8_t)c & 63);
    }
    for (uint8_t i = 0; i < 4; i++) {
        uint8_t nibble = crc >> 12;
        crc <<= 4;
        send_ring[head++] = nibble < 10 ? '0' + nibble : 'A' - 10 + nibble;
    }
    send_ring[head++] = '\n';
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        /* Main may have been late: then the interrupt has counted this frame as lost and begun to overwrite it. */
        if (ready_number == number) {
            sampler.frame_is_ready = 0;
            sampler.frames_sent++;
            serial_send_up_to(head);
        }
    }
}
