/* Made by `npm run generate` from firmware-protocol/messages.ts and board-constants.ts: change those, never this. */
#ifndef PROTOCOL_H
#define PROTOCOL_H

#define PROTOCOL_VERSION 1
#define FIRMWARE_VERSION "1.3.0"
#define BOARD_MAKER "Throwbench"
#define BOARD_MODEL "reference-rig"
#define CLOCK_HZ 16000000UL
#define BAUD 500000UL
#define ADC_BITS 10
#define FRAME_US 1000
#define SLOT_COUNT 18
#define DEAD_FLOOR_MS 100
#define DEAD_DEFAULT_MS 300
#define DEAD_CEILING_MS 10000
#define SILENCE_MS 250
#define HOLD_CEILING_MS 60000UL
#define TRIP_MOTOR_DEFAULT_COUNTS 256
#define TRIP_FEED_DEFAULT_COUNTS 358
#define TRIP_SAMPLES_DEFAULT 3
#define TRIP_MOTOR_MAX_COUNTS 480
#define TRIP_FEED_MAX_COUNTS 990
#define TRIP_SAMPLES_MAX 20
#define MOTOR_ZERO_COUNT 512
#define REQUEST_MAX_BYTES 64
#define BOARD_LINE_MAX_BYTES 128
#define RIG_ID_MAX_CHARS 16
#define BURST_SAMPLES 384
#define BURST_SLOT_CYCLES 340
#define BURST_READ_SAMPLES 60
#define DEFAULT_SCAN "MABFMABCMABSMABMAB"
#define SCAN_LETTERS "MABFCSN"
#define ADC_INPUT_M 0
#define ADC_INPUT_A 1
#define ADC_INPUT_B 2
#define ADC_INPUT_F 3
#define ADC_INPUT_C 4
#define ADC_INPUT_S 5
#define ADC_INPUT_N 6

/* Word lists: words end in a zero each, the list in an empty word; a word is known by its place from 0. */
#define POSITION_WORDS "rest\0forward\0reverse\0"
enum position_word { POSITION_REST, POSITION_FORWARD, POSITION_REVERSE };
#define FEED_WORDS "off\0limited\0full\0"
enum feed_word { FEED_OFF, FEED_LIMITED, FEED_FULL };
#define MODE_WORDS "idle\0armed\0stopped\0"
enum mode_word { MODE_IDLE, MODE_ARMED, MODE_STOPPED };
#define LOOP_WORDS "closed\0open\0"
enum loop_word { LOOP_CLOSED, LOOP_OPEN };
#define BUS_WORDS "dead\0live\0"
enum bus_word { BUS_DEAD, BUS_LIVE };
#define COIL_WORDS "limited\0full\0"
enum coil_word { COIL_LIMITED, COIL_FULL };
#define SWITCH_WORDS "off\0on\0"
enum switch_word { SWITCH_OFF, SWITCH_ON };
#define STOP_WORDS "none\0motor-over-current\0feed-over-current\0stop-input\0host-silence\0longest-hold\0watchdog\0host-request\0"
enum stop_word { STOP_NONE, STOP_MOTOR_OVER_CURRENT, STOP_FEED_OVER_CURRENT, STOP_STOP_INPUT, STOP_HOST_SILENCE, STOP_LONGEST_HOLD, STOP_WATCHDOG, STOP_HOST_REQUEST };
#define RESET_WORDS "power-on\0external\0brown-out\0watchdog\0unknown\0"
enum reset_word { RESET_POWER_ON, RESET_EXTERNAL, RESET_BROWN_OUT, RESET_WATCHDOG, RESET_UNKNOWN };
#define VERB_WORDS "hello\0constants\0state\0limits\0counters\0scan\0alive\0arm\0off\0stop\0clear\0feed\0coil\0throw\0release\0set-trip\0set-dead\0set-scan\0set-rig\0stream\0burst\0burst-end\0burst-read\0"
enum verb_word { VERB_HELLO, VERB_CONSTANTS, VERB_STATE, VERB_LIMITS, VERB_COUNTERS, VERB_SCAN, VERB_ALIVE, VERB_ARM, VERB_OFF, VERB_STOP, VERB_CLEAR, VERB_FEED, VERB_COIL, VERB_THROW, VERB_RELEASE, VERB_SET_TRIP, VERB_SET_DEAD, VERB_SET_SCAN, VERB_SET_RIG, VERB_STREAM, VERB_BURST, VERB_BURST_END, VERB_BURST_READ };
#define EVENT_WORDS "ready\0stop\0burst\0"
enum event_word { EVENT_READY, EVENT_STOP, EVENT_BURST };
#define BURST_EDGE_WORDS "now\0throw\0release\0"
enum burst_edge_word { BURST_EDGE_NOW, BURST_EDGE_THROW, BURST_EDGE_RELEASE };

/* Number of arguments by verb. */
#define VERB_ARGUMENTS { 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 2, 0, 3, 1, 1, 1, 1, 3, 0, 1 }
/* 1: not carried out again when the same line comes twice. */
#define VERB_ACTS { 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0 }

/* Ranges and words of arguments. */
#define FEED_FEED_WORDS "off\0limited\0full\0"
#define COIL_COIL_WORDS "limited\0full\0"
#define THROW_POSITION_WORDS "forward\0reverse\0"
#define THROW_HOLD_MS_MIN 1U
#define THROW_HOLD_MS_MAX 60000U
#define SET_TRIP_MOTOR_COUNTS_MIN 1U
#define SET_TRIP_MOTOR_COUNTS_MAX 480U
#define SET_TRIP_FEED_COUNTS_MIN 1U
#define SET_TRIP_FEED_COUNTS_MAX 990U
#define SET_TRIP_SAMPLES_MIN 1U
#define SET_TRIP_SAMPLES_MAX 20U
#define SET_DEAD_DEAD_MS_MIN 100U
#define SET_DEAD_DEAD_MS_MAX 10000U
#define STREAM_STREAM_WORDS "off\0on\0"
#define BURST_EDGE_WORDS "now\0throw\0release\0"
#define BURST_BEFORE_MIN 0U
#define BURST_BEFORE_MAX 320U
#define BURST_READ_FROM_MIN 0U
#define BURST_READ_FROM_MAX 381U

/* Refusals. */
#define REFUSED_LINE_TOO_LONG 10
#define REFUSED_MALFORMED 11
#define REFUSED_WRONG_CRC 12
#define REFUSED_UNKNOWN_VERB 20
#define REFUSED_ARGUMENT_COUNT 21
#define REFUSED_ARGUMENT_VALUE 22
#define REFUSED_NOT_ARMED 30
#define REFUSED_STOPPED 31
#define REFUSED_STOP_LOOP_OPEN 32
#define REFUSED_DEAD_TIME 33
#define REFUSED_ALREADY_THROWN 34
#define REFUSED_NOT_IDLE 35
#define REFUSED_STREAMING 36
#define REFUSED_BURSTING 37
#define REFUSED_NO_BURST 38
#define REFUSED_FEED_LIVE 39

#endif
