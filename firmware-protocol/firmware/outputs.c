/* Outputs off at reset, before the stack, the zero register or any variable exists. */
#include "outputs.h"

void outputs_at_reset(void) __attribute__((naked, used, section(".init0")));
void outputs_at_reset(void) {
    __asm__ volatile(
        "ldi r24, %[idle]\n\t"
        "out %[port], r24\n\t"
        "ldi r24, %[pins]\n\t"
        "out %[direction], r24\n\t"
        :
        : [idle] "M"(PULL_UPS), [port] "I"(_SFR_IO_ADDR(PORTD)), [pins] "M"(OUTPUT_BITS | (1 << PD1)),
          [direction] "I"(_SFR_IO_ADDR(DDRD))
        : "r24");
}
