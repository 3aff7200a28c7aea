/* A burst: one or two inputs as fast as the converter goes, around an edge, into RAM, read out afterwards. Between them the
 * guard's own two inputs take their turns, so that over-current stops the board as ever. Frames rest meanwhile. */
#ifndef BURST_H
#define BURST_H

#include "guard.h"
#include "sampler.h"

enum burst_phase { BURST_NONE, BURST_WANTED, BURST_BEFORE_EDGE, BURST_AFTER_EDGE, BURST_DONE };

extern volatile uint8_t burst_phase;
extern volatile uint8_t burst_news; /* done, not yet told to the host */

/* Written by main before the burst is wanted, then only by the sampling interrupt until it is over. */
struct burst {
    uint8_t inputs;           /* 1 or 2 */
    uint8_t mux[3];           /* by turn: the inputs, then the guard's */
    uint8_t turn;             /* of the conversion under way; equal to `inputs`: the guard's */
    uint8_t edge;
    uint8_t sampled_position; /* when the conversion under way was started */
    uint8_t position;         /* the same of the input's conversion before */
    uint16_t before;          /* samples to keep from before the edge */
    uint16_t taken;           /* before the edge, up to `before` */
    uint16_t left;            /* still to be taken after it */
    uint16_t *put;            /* where the next sample goes */
    uint16_t *edge_at;
};
extern struct burst burst;
extern uint16_t burst_samples[BURST_SAMPLES];

/* 0, or a refusal. `letters`: one or two of the scan list, already checked. */
uint8_t burst_ask(const char *letters, uint8_t edge, uint16_t before);
void burst_end(void);
/* From the asking until the timer is back at the pace of frames. */
bool burst_is_under_way(void);
/* Place of the first sample after the edge in a finished burst; the oldest sample has place 0. */
uint16_t burst_edge_place(void);
/* Sample at a place of a finished burst. */
uint16_t burst_sample(uint16_t place);

always_inline bool burst_is_taking(void) {
    uint8_t phase = burst_phase;
    return phase == BURST_BEFORE_EDGE || phase == BURST_AFTER_EDGE;
}

/* The sample of an input that has just been converted. */
always_inline void burst_take(uint16_t counts) {
    uint16_t *put = burst.put;
    uint8_t phase = burst_phase;
    if (phase == BURST_BEFORE_EDGE) {
        uint8_t was = burst.position, now = burst.sampled_position;
        burst.position = now;
        if (burst.edge == BURST_EDGE_NOW || (now != was && (burst.edge == BURST_EDGE_RELEASE) == (now == POSITION_REST))) {
            burst.edge_at = put;
            burst.left = BURST_SAMPLES - burst.taken;
            phase = burst_phase = BURST_AFTER_EDGE;
        } else if (burst.taken < burst.before)
            burst.taken++;
    } else if (phase != BURST_AFTER_EDGE)
        return;
    *put++ = counts;
    if (put == burst_samples + BURST_SAMPLES)
        put = burst_samples;
    burst.put = put;
    if (phase == BURST_BEFORE_EDGE)
        return;
    if (burst.left)
        burst.left--;
    /* The oldest sample has to be one of the first input, so the last one of the last; the guard's turn is next. */
    if (burst.left == 0 && burst.turn == burst.inputs) {
        burst_phase = BURST_DONE;
        burst_news = 1;
        WORK = 1;
    }
}

#endif
