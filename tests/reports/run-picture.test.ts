// The picture of a measured run: what is enlarged, what names the stretches, what marks a kick that leaves its panel.

import { describe, expect, it } from 'vitest';
import type { Feed, Position } from '../../host/capture/index.js';
import { runPicture } from '../../host/reports/index.js';
import { isWellFormed, textsOf } from './well-formed.js';

const RATE_HZ = 5000;

interface Step {
  position: Position;
  feed: Feed;
  durationS: number;
}

/** 2 A each way while thrown with the full feed, 12 V on lead A forward, a kick of 1 ms as it is let go. */
function captureOf(steps: readonly Step[], kickV = -30) {
  const position: Position[] = [];
  const feed: Feed[] = [];
  const leadA: number[] = [];
  let sinceLetGo = 1;
  for (const step of steps)
    for (let i = 0; i < Math.round(step.durationS * RATE_HZ); i++) {
      const isThrown = step.position === 'forward' && step.feed === 'full';
      if (position.at(-1) === 'forward' && step.position === 'rest') sinceLetGo = 0;
      position.push(step.position);
      feed.push(step.feed);
      leadA.push(isThrown ? 12 : sinceLetGo < 0.001 ? kickV : 0);
      sinceLetGo += 1 / RATE_HZ;
    }
  const timeS = Float64Array.from(position, (_, i) => i / RATE_HZ);
  const leadAVoltageV = Float64Array.from(leadA);
  return {
    timeS,
    position,
    feed,
    channels: { leadAVoltageV, coilCurrentA: leadAVoltageV.map((v) => v / 100) },
  };
}

const STEPS: Step[] = [
  { position: 'rest', feed: 'off', durationS: 0.2 },
  { position: 'forward', feed: 'limited', durationS: 0.02 },
  { position: 'rest', feed: 'limited', durationS: 0.02 },
  { position: 'reverse', feed: 'limited', durationS: 0.02 },
  { position: 'rest', feed: 'limited', durationS: 0.02 },
  { position: 'forward', feed: 'limited', durationS: 0.02 },
  { position: 'rest', feed: 'full', durationS: 0.5 },
  { position: 'forward', feed: 'full', durationS: 1 },
  { position: 'rest', feed: 'full', durationS: 1 },
  { position: 'reverse', feed: 'full', durationS: 1 },
  { position: 'rest', feed: 'full', durationS: 1 },
];

describe('picture of a run', () => {
  const svg = runPicture({ capture: captureOf(STEPS), title: 'V-0107', isRelayAlone: false });
  const texts = textsOf(svg);

  it('is well formed, its axis titled with its unit', () => {
    expect(isWellFormed(svg)).toBe(true);
    expect(texts.map(({ text }) => text)).toContain('time, s');
    expect(texts.map(({ text }) => text)).toContain('Voltage to ground, V');
  });

  it('names throws and feeds, those of narrow stretches too, none on another', () => {
    const labels = texts.filter(({ text }) => ['forward', 'reverse', 'limited', 'full'].includes(text));
    expect(labels.map(({ text }) => text).sort()).toEqual([
      ...['forward', 'forward', 'forward', 'full', 'limited', 'reverse', 'reverse'],
    ]);
    // Letters of a sans-serif face at 11 px: half an em each is a mean from memory; 5 px keeps below it.
    const boxes = labels.map(({ x, y, text }) => ({
      from: x - text.length * 2.5,
      to: x + text.length * 2.5,
      y,
    }));
    for (const [i, a] of boxes.entries())
      for (const b of boxes.slice(i + 1)) {
        const isApart = Math.abs(a.y - b.y) >= 11 || a.to <= b.from || b.to <= a.from;
        expect(isApart, JSON.stringify([a, b])).toBe(true);
      }
  });

  it('enlarges start, contacts and release of the first full throw each way, times from the command', () => {
    const titles = texts.map(({ text }) => text).filter((text) => /^[a-h]\u2002/.test(text));
    expect(titles).toEqual([
      ...['a\u2002Forward: start', 'b\u2002Forward: contacts close'],
      ...['c\u2002Forward: release', 'd\u2002Forward: contacts open'],
      ...['e\u2002Reverse: start', 'f\u2002Reverse: contacts close'],
      ...['g\u2002Reverse: release', 'h\u2002Reverse: contacts open'],
    ]);
  });

  it('lets a kick leave the whole, marked with how far it goes', () => {
    expect(texts.map(({ text }) => text)).toContain('to -30');
    const tame = runPicture({ capture: captureOf(STEPS, -0.1), title: 'x', isRelayAlone: false });
    expect(textsOf(tame).filter(({ text }) => text.startsWith('to '))).toEqual([]);
  });

  it('shows the limited throw where a run got no further', () => {
    const short = runPicture({ capture: captureOf(STEPS.slice(0, 3)), title: 'x', isRelayAlone: false });
    expect(short).toContain('Forward, limited feed: start');
  });

  it('shows a capture that tells no positions, enlarging nothing', () => {
    const { timeS, channels } = captureOf(STEPS);
    const position = Array.from(timeS, (): Position => 'rest');
    const bare = runPicture({
      capture: { timeS, channels, position, positionKnown: false },
      ...{ title: 'x', isRelayAlone: false },
    });
    expect(isWellFormed(bare)).toBe(true);
    expect(textsOf(bare).map(({ text }) => text)).not.toContain('throw');
  });
});

describe('picture of a relay alone', () => {
  const measured = { operateOpensS: { value: 0.004 }, operateS: { value: 0.006 }, dipS: { value: 0.0061 } };
  const svg = runPicture({ capture: captureOf(STEPS), title: 'V-0200', isRelayAlone: true, measured });
  const texts = textsOf(svg);

  it('speaks of 30, 87 and 87a, never of a motor or of leads thrown', () => {
    const words = texts.map(({ text }) => text).join('; ');
    expect(words).toMatch(/87 \(lead A\)/);
    expect(words).toMatch(/30-87a opens/);
    expect(words).toMatch(/30-87 closes/);
    expect(words).not.toMatch(/motor|forward|reverse/i);
  });

  it('enlarges operate, the armature’s mark and release, each instant where it was measured', () => {
    expect(svg).toContain('Coil on: operate');
    expect(svg).toContain('The armature&#39;s mark'.replace('&#39;', "'"));
    expect(svg).toContain('Coil off: release');
    // Three beside each other, 952/3 px wide, 42 px for the axis and 10 px free; from -2 to 25 ms.
    const width = 952 / 3 - 52;
    const at = (ms: number) => 42 + (width * (ms + 2)) / 27;
    const lines = [...svg.matchAll(/<line x1="([\d.]+)"[^>]*stroke-dasharray="3 2"/g)].map(([, x]) =>
      Number(x),
    );
    expect(lines[0]).toBeCloseTo(at(4), 0);
    expect(lines[1]).toBeCloseTo(at(6), 0);
  });
});
