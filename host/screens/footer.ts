// What the keys do now: what Enter does, or how to stop, in the first line; the other keys in the second.

import { keyWords } from '../bench/index.js';
import { DISPOSITION_WORDS } from '../tell/index.js';
import type { BenchView } from './bench-view-model.js';
import { canUndo, type Gate, probedNow, proposed } from './gate.js';
import type { Question } from './question.js';
import type { RoomView } from './room.js';
import type { ScreenState } from './screen-state.js';
import type { TalkView } from './talk.js';

export interface FooterWords {
  main: string;
  others: string;
}

const OFF = 'Space or Esc: outputs off';

const ON_UNIT = 'Up, Down: read on';

const ON_TRACES: FooterWords = {
  main: 'Left, Right: cursor · + and -: zoom · Page Down, Page Up: start of each throw',
  others: 'o: lay an earlier run under it',
};

export function footerWords(state: ScreenState): FooterWords {
  const words = wordsOf(state);
  return state.notice === undefined ? words : { ...words, others: state.notice };
}

function wordsOf(state: ScreenState): FooterWords {
  const { gate, question, page, stop, ended, bench } = state;
  const room = state.rooms?.at(-1);
  if (room) return inRoom(room);
  if (question) return atQuestion(question, canUndo(bench));
  if (gate && page === 'traces') return { ...ON_TRACES, others: `${ON_TRACES.others} · Enter or t: back` };
  if (gate && page === 'unit') return { main: `${ON_UNIT} · Enter or c: back`, others: OFF };
  if (gate) return atGate(gate, bench);
  if (!ended) {
    if (stop !== 'no') return { main: `${OFF} (sent)`, others: '' };
    const { choices } = bench.prompt ?? {};
    if (choices)
      return { main: keyWords(choices, ' · '), others: `Enter: no answer · ${OFF} · Ctrl-C: leave` };
    // What is asked in mid-run is answered in mid-run.
    return { main: OFF, others: 'Ctrl-C: outputs off and leave. No other key does anything now.' };
  }
  const others = 'q: leave';
  if (page === 'traces') return { ...ON_TRACES, others: `${ON_TRACES.others} · t: back · q: leave` };
  if (page === 'unit') return { main: `${ON_UNIT} · Enter: back`, others };
  if (page === 'table') return { main: 'Up, Down: choose · Enter: checks of the unit', others };
  return {
    main: bench.units.length > 1 ? 'Enter: table of the tray' : 'Enter: all checks',
    others: `t: traces · Tab: rooms · ${others}`,
  };
}

function inRoom({ content, talk, isBusy }: RoomView): FooterWords {
  const others = 'Tab: back · Esc: outputs off · Ctrl-C: leave';
  if (isBusy) return { main: 'One moment', others: 'Esc: outputs off · Ctrl-C: leave' };
  if (talk) return inTalk(talk);
  if ('rows' in content) return { main: 'Type or scan: search · Up, Down: choose · Enter: open', others };
  if (!('lines' in content)) return { main: 'One moment', others };
  const { more, also } = content;
  const opens = more === undefined ? '' : ` · Enter: ${more.text}`;
  return {
    main: `Up, Down, Page: read on${opens}`,
    others: also === undefined ? others : `${also.letter}: ${also.text} · ${others}`,
  };
}

function inTalk({ isLive, isOver, asked }: TalkView): FooterWords {
  if (isLive)
    return {
      main: OFF,
      others: 'Enter: as asked above · Ctrl-C: outputs off and leave · no other key counts',
    };
  if (isOver) return { main: 'Enter or Tab: back', others: 'Up, Down, Page: read on · Ctrl-C: leave' };
  const orUsual = asked.includes('[') ? '; Enter alone takes what stands in [ ]' : '';
  const main = asked === '' ? 'Type, then Enter' : `Type the answer, then Enter${orUsual}`;
  return { main, others: 'Tab: leave this · Up, Down: read on · Esc: outputs off · Ctrl-C: leave' };
}

function atQuestion(question: Question, canTakeBack: boolean): FooterWords {
  if (question.kind === 'choice')
    return {
      main: 'Up, Down: choose · Enter: take it',
      others: question.canGoBack ? 'Backspace, or scan: another tag · q: leave' : 'q: leave',
    };
  const { typed, proposal } = question;
  const taken = typed.trim() || proposal;
  return {
    main: taken === undefined ? 'Type or scan, then Enter' : `Enter: ${taken}`,
    others: `${canTakeBack ? 'Ctrl-Z: undo the last decision · ' : ''}Tab: rooms · Esc: outputs off · Ctrl-C: leave`,
  };
}

function atGate(gate: Gate, bench: BenchView): FooterWords {
  const { kind, tag, remainingS, attempt = 1, ended, canChange, isOffSent } = gate;
  const off = isOffSent ? 'Outputs are off.' : OFF;
  const held = `${tag} starts in ${Math.ceil(remainingS ?? 0)} s · Enter: now, any key: hold`;
  if (kind === 'after' && ended) return afterWords(gate, off, probedNow(bench) !== undefined);
  if (kind === 'dwell') {
    const others = `r: again · c: checks · t: traces · q: end · ${off}`;
    if (tag === '') return { main: 'Enter: table of the tray', others };
    return { main: remainingS === undefined ? `Held. Enter starts ${tag}` : held, others };
  }
  if (kind === 'clip-on') {
    const again = attempt > 1 ? `, attempt ${attempt}` : '';
    const undo = canUndo(bench) ? 'u: undo the last · ' : '';
    const other = canChange ? 'p: profile · ' : '';
    return {
      main: `${tag} clipped on and hands clear? Enter: throw${again} · Tab: rooms`,
      others: `s: skip · ${other}${undo}q: end · ${off}`,
    };
  }
  const others = `q: leave · ${off}`;
  if (remainingS === undefined) return { main: 'Enter: read and understood', others };
  return {
    main: `Goes on in ${Math.ceil(remainingS)} s · Enter: read and understood · any key: stay`,
    others,
  };
}

function afterWords({ tag, ended }: Gate, off: string, isProbed: boolean): FooterWords {
  if (!ended?.isJudged)
    return { main: `Enter: run ${tag} again, when it is safe`, others: `s: skip it · q: end · ${off}` };
  const word = proposed(ended.verdict);
  const enter = ended.isBenchInQuestion
    ? `Enter: run ${tag} again, once that is put right`
    : `Enter: ${tag} ${DISPOSITION_WORDS[word]} · s: undecided`;
  if (!isProbed)
    return {
      main: `${enter} · t: traces · Tab: rooms`,
      others: 'r: again · a: accept · w: rework · x: reject · h: aside · c: checks · q: end',
    };
  // What Enter does needs no key of its own.
  const kept = ended.isBenchInQuestion
    ? 's: undecided · x: reject · h: aside'
    : `r: again · a: accept · ${word === 'rework' ? 'x: reject · h: aside' : 'w: rework · x: reject'}`;
  return {
    main: `${enter} · p: probe · Tab: rooms`,
    others: `${kept} · c: checks · t: traces · q: end`,
  };
}
