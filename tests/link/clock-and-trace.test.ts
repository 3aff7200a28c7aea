import { describe, expect, it } from 'vitest';
import { FrameOrder } from '../../host/link/frame-order.js';
import { LineTrace, VirtualClock } from '../../host/link/index.js';

describe('virtual clock', () => {
  it('fires timers in the order of their times, each at its own', () => {
    const clock = new VirtualClock();
    const fired: string[] = [];
    clock.after(0.3, () => fired.push(`c ${clock.nowS()}`));
    clock.after(0.1, () => fired.push(`a ${clock.nowS()}`));
    clock.after(0.2, () => fired.push(`b ${clock.nowS()}`)).cancel();
    clock.advanceTo(0.5);
    expect(fired).toEqual(['a 0.1', 'c 0.3']);
    expect(clock.nowS()).toBe(0.5);
  });

  it('does not spin on a timer that sets itself again for now', () => {
    const clock = new VirtualClock();
    let fired = 0;
    const again = (): void => {
      fired += 1;
      clock.after(0, again);
    };
    again();
    clock.advanceTo(1);
    clock.advanceTo(1);
    expect(fired).toBe(3);
  });

  it('is awaited by sleepers, not by background timers', () => {
    const clock = new VirtualClock();
    clock.after(1, () => {}, { background: true });
    expect(clock.isAwaited).toBe(false);
    void clock.sleep(1);
    expect(clock.isAwaited).toBe(true);
    clock.advanceTo(2);
    expect(clock.isAwaited).toBe(false);
  });
});

describe('raw trace', () => {
  it('keeps the newest lines in order and does not let sample lines push out the talk', () => {
    const trace = new LineTrace(3, 2);
    for (let i = 0; i < 5; i++) trace.add(i, '>', `request ${i}`);
    for (let i = 5; i < 1000; i++) trace.add(i, '<', `~frame ${i}`, true);
    expect(trace.lines()).toEqual([
      '2.0000 > request 2',
      '3.0000 > request 3',
      '4.0000 > request 4',
      '998.0000 < ~frame 998',
      '999.0000 < ~frame 999',
    ]);
  });

  it('stays readable and short with rubbish', () => {
    const trace = new LineTrace();
    trace.add(0, '<', `\x00\xff${'x'.repeat(500)}`);
    expect(trace.lines()[0]).toMatch(/^0\.0000 < \\x00\\xffx+\.\.\.$/);
    expect(trace.lines()[0]!.length).toBeLessThan(200);
  });
});

describe('frame order', () => {
  it('counts what is missing, drops what was there before, and goes on over the wrap of the number', () => {
    const order = new FrameOrder();
    expect(order.place(0)).toEqual({ index: 0, lost: 0 });
    expect(order.place(3)).toEqual({ index: 3, lost: 2 });
    expect(order.place(3)).toBeUndefined();
    expect(order.place(1)).toBeUndefined();
    for (let number = 4; number < 2 ** 18; number += 1000) order.place(number);
    const before = order.place(2 ** 18 - 1)!;
    expect(order.place(0)).toEqual({ index: before.index + 1, lost: 0 });
    expect(before.index).toBe(2 ** 18 - 1);
  });
});
