/* Runs the shipped image in simavr, a second emulator written by others, and goes through handshake, throw, release, stream, trip
 * and stop loop over its serial port. Written against PROTOCOL.md alone: it shares no code with the firmware or the host.
 * Built and run by simavr-check.sh. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <simavr/avr_adc.h>
#include <simavr/avr_ioport.h>
#include <simavr/avr_uart.h>
#include <simavr/sim_avr.h>
#include <simavr/sim_hex.h>

#define CYCLES_PER_MS 16000
#define MID_SCALE_MV 2500
#define OVER_MV 4900

static avr_t *avr;
static uint8_t to_board[4096];
static unsigned send_at, send_end;
static int may_send = 1;
static char line[256], answer[256], event[256];
static unsigned line_length, frames, bad_lines, gaps;
static int32_t last_frame = -1;
static uint8_t pins, both_seen, coil_full;
static avr_cycle_count_t off_at;
static uint8_t sequence;
static int failures;
static unsigned starts;     /* times the board has told that it started */
static int is_quiet;        /* requests and answers are not printed */
static int is_noisy;        /* bytes come whether the board has room or not */

static uint16_t crc(const char *text, size_t length) {
    uint16_t value = 0xFFFF;
    for (size_t i = 0; i < length; i++) {
        value ^= (uint16_t)((uint8_t)text[i] << 8);
        for (int bit = 0; bit < 8; bit++)
            value = value & 0x8000 ? (uint16_t)(value << 1 ^ 0x1021) : (uint16_t)(value << 1);
    }
    return value;
}

static void expect(int good, const char *what) {
    printf("%s %s\n", good ? "ok  " : "FAIL", what);
    failures += !good;
}

static void take_line(void) {
    char told[5];
    if (line_length < 5) {
        bad_lines++;
        return;
    }
    snprintf(told, sizeof told, "%04X", crc(line, line_length - 4));
    if (memcmp(told, line + line_length - 4, 4) != 0) {
        bad_lines++;
        return;
    }
    line[line_length] = 0;
    if (line[0] == '~') {
        int32_t number = (line[1] - '0') << 12 | (line[2] - '0') << 6 | (line[3] - '0');
        if (last_frame >= 0 && number != last_frame + 1)
            gaps++;
        last_frame = number;
        frames++;
    } else if (line[0] == '<')
        strcpy(answer, line);
    else if (line[0] == '!') {
        strcpy(event, line);
        starts += strncmp(line, "!ready ", 7) == 0;
    }
}

static void byte_from_board(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq, (void)param;
    if (value == '\n') {
        take_line();
        line_length = 0;
    } else if (line_length < sizeof line - 1)
        line[line_length++] = (char)value;
}

static void room_in_board(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq, (void)value;
    may_send = param != NULL;
}

static void pin_changed(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq;
    uint8_t bit = (uint8_t)(1 << (intptr_t)param);
    pins = value ? pins | bit : pins & ~bit;
    if ((pins & 0xC0) == 0xC0)
        both_seen = 1;
    if (!(pins & 0xF0))
        off_at = avr->cycle;
}

static void run_ms(unsigned duration_ms) {
    avr_cycle_count_t until = avr->cycle + (avr_cycle_count_t)duration_ms * CYCLES_PER_MS;
    static avr_cycle_count_t next_byte;
    while (avr->cycle < until) {
        if (send_at < send_end && (may_send || is_noisy) && avr->cycle >= next_byte) {
            avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_INPUT), to_board[send_at++]);
            next_byte = avr->cycle + 320;
        }
        int state = avr_run(avr);
        if (state == cpu_Done || state == cpu_Crashed) {
            printf("FAIL the processor stopped in state %d\n", state);
            exit(1);
        }
    }
}

static void coil_changed(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq, (void)param;
    coil_full = value != 0;
}

/* Sends one request and waits for its answer; true when it begins as wanted after "<SS ". */
static int ask(const char *request, const char *wanted) {
    char text[80], head[8];
    sequence++;
    int length = snprintf(text, sizeof text, ">%02X %s ", sequence, request);
    length += snprintf(text + length, sizeof text - (size_t)length, "%04X\n", crc(text, (size_t)length));
    memcpy(to_board, text, (size_t)length);
    send_at = 0;
    send_end = (unsigned)length;
    answer[0] = 0;
    snprintf(head, sizeof head, "<%02X ", sequence);
    for (int i = 0; i < 100 && strncmp(answer, head, 4) != 0; i++)
        run_ms(1);
    int good = strncmp(answer, head, 4) == 0 && strncmp(answer + 4, wanted, strlen(wanted)) == 0;
    if (!is_quiet || !good)
        printf("     %-28s -> %s\n", request, answer);
    return good;
}

static void stay_alive_ms(unsigned duration_ms) {
    for (; duration_ms > 50; duration_ms -= 50) {
        ask("alive", "ok");
        run_ms(50);
    }
}

static void set_input(int input, uint32_t millivolts) {
    avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_ADC_GETIRQ, ADC_IRQ_ADC0 + input), millivolts);
}

static void set_stop_loop(int closed) {
    /* The closed loop is stronger than the pull-up inside the chip. */
    avr_ioport_external_t pull = {.name = 'D', .mask = 1 << 2 | 1 << 3, .value = (unsigned char)((closed ? 0 : 1 << 2) | 1 << 3)};
    avr_ioctl(avr, AVR_IOCTL_IOPORT_SET_EXTERNAL('D'), &pull);
    avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('D'), 2), !closed);
}

enum noise { WITHOUT_NEWLINE, ANY_BYTES, ZEROS, NEWLINES, NOISES };

static void fill_with_noise(enum noise kind, uint32_t seed) {
    for (send_end = 0; send_end < 2000; send_end++) {
        seed = seed * 1664525 + 1013904223;
        uint8_t byte = seed >> 24;
        if (kind == WITHOUT_NEWLINE && byte == '\n')
            byte = 0x0B;
        to_board[send_end] = kind == ZEROS ? 0 : kind == NEWLINES ? '\n' : byte;
    }
    send_at = 0;
}

/* Back to idle, whatever came before: half a line in the board's buffer ends, a burst and a stream end, the dead time is over. */
static int calm(void) {
    memcpy(to_board, "\n", 1);
    send_at = 0;
    send_end = 1;
    run_ms(5);
    ask("burst-end", "ok");
    ask("stream off", "ok");
    int good = ask("clear", "ok");
    run_ms(320);
    return good;
}

/* The states in which noise can meet the board, each as the requests that lead there, and the pins that are on in it. */
static const struct state {
    const char *name;
    const char *requests[4];
    uint8_t pins;
    const char *stop; /* told when the noise and the silence after it are over */
} states[] = {
    {"idle", {0}, 0, "none"},
    {"idle, a burst of two inputs waits", {"burst MA throw 320"}, 0, "none"},
    {"idle, a burst of one input waits", {"burst A release 320"}, 0, "none"},
    {"idle, a burst is done", {"burst MA now 0"}, 0, "none"},
    {"streaming", {"stream on"}, 0, "none"},
    {"armed and fed", {"arm", "coil full", "feed full"}, 0x20, "host-silence"},
    {"armed, a burst waits", {"arm", "feed full", "burst MA throw 320"}, 0x20, "host-silence"},
    {"thrown, a burst under way", {"arm", "feed full", "burst MA throw 320", "throw forward 60000"}, 0x60, "host-silence"},
    {"held, a burst waits", {"arm", "feed full", "throw reverse 60000", "burst MA release 320"}, 0xA0, "host-silence"},
    {"held and streaming", {"arm", "feed full", "throw reverse 60000", "stream on"}, 0xA0, "host-silence"},
    {"held to its longest hold", {"arm", "feed full", "throw reverse 60"}, 0xA0, "longest-hold"},
    {"stopped, a burst waits", {"stop", "burst MA throw 320"}, 0, "host-request"},
    {"tripped and streaming", {"arm", "stream on", "feed full"}, 0x20, "motor-over-current"},
};

static int holds(int good, const char *else_what) {
    if (!good)
        printf("     %s\n", else_what);
    return good;
}

static void meet_noise(const struct state *state) {
    int good = 1;
    for (int kind = 0; kind < NOISES; kind++)
        for (uint32_t seed = 1; seed <= 2; seed++) {
            good &= calm();
            for (unsigned i = 0; i < 4 && state->requests[i]; i++)
                good &= ask(state->requests[i], "ok");
            good &= pins == state->pins;
            if (strcmp(state->stop, "motor-over-current") == 0) {
                set_input(0, OVER_MV);
                run_ms(3);
                good &= pins == 0;
            }
            unsigned before = starts;
            avr_cycle_count_t from = avr->cycle;
            fill_with_noise(kind, seed);
            is_noisy = 1;
            avr->log = LOG_NONE; /* the receiver overruns, which is what is tried */
            run_ms(310);
            avr->log = LOG_ERROR;
            is_noisy = 0;
            good &= holds(starts == before, "restarted");
            good &= holds(!(pins & 0xF0) && !coil_full && !both_seen, "an output is on");
            if (off_at >= from && off_at - from > 250 * CYCLES_PER_MS)
                printf("     kind %d: off %.3f ms after the last line of the host\n", kind, (double)(off_at - from) / CYCLES_PER_MS);
            good &= holds(off_at < from || off_at - from <= 250 * CYCLES_PER_MS, "on for longer than 250 ms of silence");
            set_input(0, MID_SCALE_MV);
            memcpy(to_board, "\n", 1);
            send_at = 0;
            send_end = 1;
            run_ms(5);
            good &= ask("state", "ok rest off ") && holds(strstr(answer, state->stop) != NULL, answer);
        }
    expect(good, state->name);
}

static void set_feed_bus(int live) {
    avr_ioport_external_t pull = {.name = 'D', .mask = 1 << 2 | 1 << 3, .value = live ? 0 : 1 << 3};
    avr_ioctl(avr, AVR_IOCTL_IOPORT_SET_EXTERNAL('D'), &pull);
    avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('D'), 3), !live);
}

int main(int argc, char **argv) {
    setvbuf(stdout, NULL, _IOLBF, 0);
    if (argc != 2) {
        fprintf(stderr, "usage: simavr-check IMAGE.hex\n");
        return 2;
    }
    avr = avr_make_mcu_by_name("atmega328p");
    avr_init(avr);
    avr->frequency = 16000000;
    avr->vcc = avr->avcc = avr->aref = 5000;
    avr->log = LOG_ERROR;
    uint32_t size = 0, start = 0;
    uint8_t *image = read_ihex_file(argv[1], &size, &start);
    if (!image)
        return 2;
    avr_loadcode(avr, image, size, start);

    uint32_t flags = 0;
    avr_ioctl(avr, AVR_IOCTL_UART_GET_FLAGS('0'), &flags);
    flags &= (uint32_t) ~(AVR_UART_FLAG_STDIO | AVR_UART_FLAG_POLL_SLEEP);
    avr_ioctl(avr, AVR_IOCTL_UART_SET_FLAGS('0'), &flags);
    avr_irq_t *uart = avr_io_getirq(avr, AVR_IOCTL_UART_GETIRQ('0'), 0);
    avr_irq_register_notify(uart + UART_IRQ_OUTPUT, byte_from_board, NULL);
    avr_irq_register_notify(uart + UART_IRQ_OUT_XON, room_in_board, uart);
    avr_irq_register_notify(uart + UART_IRQ_OUT_XOFF, room_in_board, NULL);
    for (intptr_t bit = 4; bit < 8; bit++)
        avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('D'), (int)bit), pin_changed, (void *)bit);
    avr_irq_register_notify(avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('B'), 0), coil_changed, NULL);
    /* One strap joined, PB1: hardware revision 2. */
    avr_ioport_external_t straps = {.name = 'B', .mask = 1 << 1 | 1 << 2, .value = 1 << 2};
    avr_ioctl(avr, AVR_IOCTL_IOPORT_SET_EXTERNAL('B'), &straps);
    set_stop_loop(1);
    set_feed_bus(0);
    for (int input = 0; input < 6; input++)
        set_input(input, input == 0 ? MID_SCALE_MV : 100);

    run_ms(20);
    expect(strncmp(event, "!ready 1 ", 9) == 0, "announces itself after reset");
    expect(!(pins & 0xF0) && !coil_full, "outputs off after reset");
    expect(ask("hello", "ok 1 ") && strstr(answer, " none 2 ") != NULL, "handshake, and the hardware's revision by its straps");
    expect(ask("coil full", "no 30 0") && !coil_full, "refuses the coils' straight feed before it is armed");
    expect(ask("constants", "ok 16000000 10 1000 18 100 300 250 60000 64"), "constants as in PROTOCOL.md");
    expect(ask("throw forward 500", "no 30 0"), "refuses a throw before it is armed");
    expect(ask("set-trip 400 900 3", "ok"), "takes trip limits");
    run_ms(310);
    set_feed_bus(1);
    expect(ask("arm", "no 39 0"), "refuses to arm while the feed bus is live");
    set_feed_bus(0);
    expect(ask("arm", "ok"), "arms");
    expect(ask("coil full", "ok") && coil_full, "feeds the coils straight");
    expect(ask("feed full", "ok") && pins == 0x20 && coil_full, "feeds");
    expect(ask("throw forward 5000", "ok") && pins == 0x60, "throws forward");
    expect(ask("stream on", "ok"), "streams");
    stay_alive_ms(500);
    expect(frames > 450 && gaps == 0 && bad_lines == 0, "half a second of frames without gap or damage");
    printf("     %u frames, %u gaps, %u bad lines\n", frames, gaps, bad_lines);
    expect(ask("release", "ok") && pins == 0x20, "releases");
    expect(ask("throw reverse 5000", "no 33 "), "refuses within the dead time");
    stay_alive_ms(350);
    expect(ask("throw reverse 5000", "ok") && pins == 0xA0, "throws reverse after it");
    event[0] = 0;
    avr_cycle_count_t from = avr->cycle;
    set_input(0, OVER_MV);
    run_ms(5);
    expect(!(pins & 0xF0) && !coil_full && strncmp(event, "!stop motor-over-current ", 25) == 0, "trips on over-current");
    printf("     outputs off %.3f ms after the current rose\n", (double)(off_at - from) / CYCLES_PER_MS);
    expect(off_at - from < 2 * CYCLES_PER_MS, "within 1 ms of the third sample, which comes within 1 ms");
    set_input(0, MID_SCALE_MV);
    expect(ask("clear", "ok") && ask("arm", "ok") && ask("feed limited", "ok") && pins == 0x10, "arms again once cleared");
    event[0] = 0;
    from = avr->cycle;
    set_stop_loop(0);
    run_ms(5);
    expect(!(pins & 0xF0) && strncmp(event, "!stop stop-input ", 17) == 0, "stops when the loop opens");
    expect(off_at - from < CYCLES_PER_MS, "within 1 ms");
    set_stop_loop(1);
    expect(ask("clear", "ok") && ask("arm", "ok") && ask("feed full", "ok"), "arms once more");
    from = avr->cycle;
    run_ms(260);
    expect(!(pins & 0xF0) && off_at - from <= 250 * CYCLES_PER_MS, "goes off within 250 ms of host silence");
    expect(!both_seen, "the two throws were never on together");
    printf("2,000 bytes of noise at full line rate, four kinds, two floods each, at a board that is\n");
    is_quiet = 1;
    for (unsigned i = 0; i < sizeof states / sizeof states[0]; i++)
        meet_noise(&states[i]);
    printf(failures ? "%d of the checks failed\n" : "simavr agrees\n", failures);
    return failures ? 1 : 0;
}
