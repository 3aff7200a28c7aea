/* Timer 1 ticks once a slot: it takes the finished conversion, starts the next and lets the guard look, in that order, so
 * that the guard acts within one slot of a conversion's end. Single conversions, started by hand: see ATmega328P data
 * sheet, ADC, "Starting a Conversion". At 500 kHz ADC clock a conversion takes 13 clocks = 26 us; above 200 kHz the data
 * sheet gives less than full resolution, which the rig's calibration has to cover. */
#pragma GCC optimize "O2" /* what runs 18,000 times a second; the rest is built for size */
#include <util/atomic.h>
#include "burst.h"
#include "crc16.h"
#include "guard.h"
#include "sampler.h"
#include "serial.h"

#define ADC_ON ((1 << ADEN) | (1 << ADPS2) | (1 << ADPS0)) /* 16 MHz / 32 */
#define ADC_GO (ADC_ON | (1 << ADSC))

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
static bool frame_is_patchy; /* a burst has ended in it, so that its first samples are old */

/* Written by the interrupt with the buffer, read by main before the next frame ends. */
static volatile uint8_t ready_buffer, ready_status, ready_since;
static volatile uint32_t ready_number, next_number;

uint8_t sampler_mux(char letter) {
    static const char known[] PROGMEM = SCAN_LETTERS;
    for (uint8_t input = 0; input < sizeof known - 1; input++)
        if (letter == (char)pgm_read_byte(&known[input]))
            return MUX(input);
    return 0;
}

void sampler_set_scan(const char *letters) {
    for (uint8_t i = 0; i < SLOT_COUNT; i++)
        scan[i] = sampler_mux(letters[i]);
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

/* Late ticks in a row may find the converter still at work: a few microseconds at most, and better waited for than a sample
 * of one input taken for that of another, which would make the guard lose count. */
always_inline void wait_for_conversion(void) {
    if (ADCSRA & (1 << ADSC)) {
        sampler.slots_late++;
        while (ADCSRA & (1 << ADSC))
            ;
    }
}

/* The last conversion of a frame has been taken: hand the buffer over. */
always_inline void close_frame(void) {
    if (sampler.streaming && !frame_is_patchy) {
        if (sampler.frame_is_ready)
            sampler.frames_lost++;
        ready_buffer = filling;
        ready_status = sampled_status;
        ready_since = since;
        ready_number = next_number;
        next_number++;
        sampler.frame_is_ready = 1;
    }
    frame_is_patchy = false;
    filling ^= 1;
    fill = samples[filling];
    since = 0;
    sampler.board_ms++;
    WORK = 1;
    if (guard_millisecond())
        sampler.streaming = 0; /* nobody listens */
}

/* For a burst the converter runs at 1 MHz: 13 clocks are 208 cycles. */
#define BURST_ADC_ON ((1 << ADEN) | (1 << ADPS2))
#define BURST_ADC_GO (BURST_ADC_ON | (1 << ADSC))
#if BURST_SLOT_CYCLES < 14 * 16 + 100
#error "a conversion of a burst would not be finished in its slot"
#endif

/* Turn of a burst that has not begun: the conversion under way is still one of the frame. */
#define NO_TURN 255

/* Of the millisecond under way, up to the last tick; below zero when it has been counted early. */
static int16_t burst_ms_cycles;

/* The timer goes over to the pace of the burst; its counter has come a little way since the tick. */
static void quicken(void) {
    /* This tick goes on as a guard's turn, which adds a whole round. */
    burst_ms_cycles = FIRST_SLOT_CYCLES + TCNT1 - (burst.inputs + 1) * BURST_SLOT_CYCLES;
    TCNT1 = 0;
    OCR1A = BURST_SLOT_CYCLES - 1;
    burst.turn = burst.inputs; /* so that the first input comes next */
    burst.position = burst.sampled_position = STATUS_POSITION(guard.status);
    if (burst_phase == BURST_WANTED)
        burst_phase = BURST_BEFORE_EDGE;
}

/* Back to frames in the middle of one, so that the millisecond under way keeps its length. */
static void slow_down(void) {
    uint16_t cycles = burst_ms_cycles;
    uint8_t passed = 0;
    while (cycles >= SLOT_CYCLES) {
        cycles -= SLOT_CYCLES;
        passed++;
    }
    uint16_t until_next = SLOT_CYCLES - cycles;
    /* A match that the counter has already passed would not come for 4 ms. */
    if (until_next < TCNT1 + 100) {
        until_next += SLOT_CYCLES;
        passed++;
    }
    OCR1A = until_next - 1;
    slot = passed + 1;
    fill = samples[filling] + passed;
    frame_is_patchy = true;
    sampler.bursting = 0;
}

/* An input's turn only keeps its sample, so that there is time for the serial line; the guard's turn, every 64 us or less,
 * does all else. */
static void __attribute__((noinline)) tick_of_burst(void) {
    wait_for_conversion();
    uint16_t counts = ADC;
    uint8_t mux = ADMUX;
    if (burst.turn == NO_TURN)
        quicken();
    uint8_t turn = burst.turn; /* whose conversion has just ended */
    uint8_t next = turn == burst.inputs ? 0 : turn + 1;
    ADMUX = burst.mux[next];
    ADCSRA = BURST_ADC_GO;
    uint8_t position = STATUS_POSITION(guard.status);
    burst.turn = next;
    if (turn != burst.inputs) {
        burst_take(counts);
        burst.sampled_position = position;
        return;
    }
    burst.sampled_position = position;
    burst.mux[turn] ^= MUX(ADC_INPUT_M) ^ MUX(ADC_INPUT_F);
    guard_sample(MUX_INPUT(mux), counts);
    guard_stop_loop();
    burst_ms_cycles += turn == 1 ? 2 * BURST_SLOT_CYCLES : 3 * BURST_SLOT_CYCLES;
    /* Early by less than a round rather than late: no hold and no silence may become longer. */
    if (burst_ms_cycles > (int16_t)FRAME_CYCLES - 3 * BURST_SLOT_CYCLES) {
        burst_ms_cycles -= (int16_t)FRAME_CYCLES;
        sampler.board_ms++;
        WORK = 1;
        if (guard_millisecond() && burst_is_taking())
            burst_phase = BURST_NONE;
    }
    /* Not so late in a millisecond that its end would have to wait. */
    if (!burst_is_taking() && burst_ms_cycles >= 0 && burst_ms_cycles < (int16_t)FRAME_CYCLES - 3 * (int16_t)SLOT_CYCLES)
        slow_down();
}

ISR(TIMER1_COMPA_vect) {
    if (sampler.bursting) {
        tick_of_burst();
        return;
    }
    wait_for_conversion();
    uint16_t counts = ADC;
    uint8_t mux = ADMUX;
    uint8_t now = slot;
    ADMUX = scan[now];
    ADCSRA = ADC_GO;
    *fill++ = counts;
    if (now == 0) {
        OCR1A = FIRST_SLOT_CYCLES - 1;
        close_frame();
        if (burst_phase == BURST_WANTED) {
            burst.turn = NO_TURN;
            sampler.bursting = 1;
        }
    } else
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
