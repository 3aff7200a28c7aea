/* What the host asks of a burst. */
#include <util/atomic.h>
#include "burst.h"

volatile uint8_t burst_phase, burst_news;
struct burst burst;
uint16_t burst_samples[BURST_SAMPLES];

#if BURST_SAMPLES % 6
#error "a burst is read in threes and taken in pairs"
#endif

bool burst_is_under_way(void) {
    return sampler.bursting || burst_phase == BURST_WANTED;
}

uint8_t burst_ask(const char *letters, uint8_t edge, uint16_t before) {
    if (sampler.streaming)
        return REFUSED_STREAMING;
    if (burst_is_under_way())
        return REFUSED_BURSTING;
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        burst.inputs = letters[1] ? 2 : 1;
        burst.mux[0] = sampler_mux(letters[0]);
        burst.mux[1] = letters[1] ? sampler_mux(letters[1]) : MUX(ADC_INPUT_M);
        burst.mux[2] = MUX(ADC_INPUT_M);
        burst.edge = edge;
        burst.before = before;
        burst.taken = 0;
        burst.put = burst_samples;
        burst_news = 0;
        burst_phase = BURST_WANTED;
    }
    return 0;
}

void burst_end(void) {
    ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {
        burst_news = 0;
        burst_phase = BURST_NONE;
    }
}

uint16_t burst_edge_place(void) {
    int16_t place = burst.edge_at - burst.put;
    return place >= 0 ? place : place + BURST_SAMPLES;
}

uint16_t burst_sample(uint16_t place) {
    const uint16_t *at = burst.put + place;
    return at >= burst_samples + BURST_SAMPLES ? at[-BURST_SAMPLES] : *at;
}
