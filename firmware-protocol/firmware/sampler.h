/* Eighteen conversions a millisecond, started by timer 1, kept in two buffers; the finished one goes out as a frame line. */
#ifndef SAMPLER_H
#define SAMPLER_H

#include "board.h"

/* '~', number (3), flags, since, eighteen samples in 30 characters, CRC (4), newline. */
#define FRAME_LINE_BYTES 41

#define MUX(input) ((1 << REFS0) | (input)) /* reference: supply of the board */
#define MUX_INPUT(mux) ((mux) & 0x0F)

struct sampler {
    uint8_t bursting; /* the timer runs at the pace of a burst */
    uint8_t frame_is_ready;
    uint8_t streaming;
    uint16_t slots_late;
    uint32_t frames_lost;
    uint32_t frames_sent;
    uint32_t board_ms;
};
extern volatile struct sampler sampler;

void sampler_start(void);
/* Only while not streaming: the letters must have been checked. */
void sampler_set_scan(const char *letters);
/* Setting of the converter for a letter of the scan list, or 0. */
uint8_t sampler_mux(char letter);
void sampler_copy_scan(char *letters);
void sampler_stream(bool on);
/* Sends the frame that is ready, or counts it as lost. */
void sampler_send_frame(void);
uint32_t sampler_board_ms(void);

#endif
