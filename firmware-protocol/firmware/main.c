/* Start and main loop. Interrupts sample and guard; the loop only talks, and feeds the watchdog while both are alive. */
#include <avr/sleep.h>
#include <avr/wdt.h>
#include "burst.h"
#include "guard.h"
#include "requests.h"
#include "rig_id.h"
#include "sampler.h"
#include "serial.h"
#include "talk.h"

static const char event_words[] PROGMEM = EVENT_WORDS;
static const char reset_words[] PROGMEM = RESET_WORDS;
static const char stop_words[] PROGMEM = STOP_WORDS;

static uint8_t reset_flags __attribute__((section(".noinit")));

/* A watchdog reset leaves the watchdog running at its shortest time: it has to be stopped at once. */
void stop_watchdog_at_reset(void) __attribute__((naked, used, section(".init3")));
void stop_watchdog_at_reset(void) {
    reset_flags = MCUSR;
    MCUSR = 0;
    wdt_disable();
}

static uint8_t reset_cause(void) {
    if (reset_flags & (1 << WDRF))
        return RESET_WATCHDOG;
    if (reset_flags & (1 << BORF))
        return RESET_BROWN_OUT;
    if (reset_flags & (1 << PORF))
        return RESET_POWER_ON;
    return reset_flags & (1 << EXTRF) ? RESET_EXTERNAL : RESET_UNKNOWN;
}

static void say_ready(uint8_t cause) {
    talk_begin('!');
    talk_flash(event_words); /* the first event word */
    talk_number(PROTOCOL_VERSION);
    talk_word(reset_words, cause);
    talk_end();
}

/* The longest: "!stop motor-over-current 4294967295 CRC" and newline. */
#define STOP_LINE_BYTES 44

static void say_stop(void) {
    uint8_t reason = guard.stop_news;
    guard.stop_news = STOP_NONE;
    talk_begin('!');
    talk_flash(PSTR("stop"));
    talk_word(stop_words, reason);
    talk_number(sampler_board_ms());
    talk_end();
}

static void say_burst(void) {
    burst_news = 0;
    talk_begin('!');
    talk_flash(PSTR("burst"));
    talk_number(BURST_SAMPLES);
    talk_number(burst_edge_place());
    talk_number(BURST_SLOT_CYCLES);
    talk_number(burst.inputs + 1);
    talk_end();
}

int main(void) {
    uint8_t cause = reset_cause();
    uint8_t fed_at_ms = 0;
    guard_start(cause);
    rig_id_load();
    serial_start();
    sampler_start();
    set_sleep_mode(SLEEP_MODE_IDLE);
    sleep_enable();
    wdt_enable(WDTO_30MS);
    sei();
    say_ready(cause);

    for (;;) {
        cli();
        while (!WORK) {
            sei(); /* takes effect after the next instruction, so no wake-up is missed */
            sleep_cpu();
            cli();
        }
        WORK = 0;
        sei();
        /* Fed only when the sampling interrupt has counted on: it guards the outputs, so its death must reset too. */
        uint8_t now_ms = (uint8_t)sampler.board_ms;
        if (now_ms != fed_at_ms) {
            fed_at_ms = now_ms;
            wdt_reset();
            rig_id_work();
        }
        if (guard.stop_news && serial_room() >= STOP_LINE_BYTES)
            say_stop();
        if (burst_news && serial_room() >= STOP_LINE_BYTES)
            say_burst();
        if (sampler.frame_is_ready)
            sampler_send_frame();
        if (requests_work(cause))
            WORK = 1;
    }
}
