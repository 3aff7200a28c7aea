// The rooms that are open beside the bench, and the talk that one of them may hold. Nothing is thrown by the bench
// meanwhile; what a talk energises is told by its view, and is put off by the same keys.

import type { KeyAction } from './keys.js';
import {
  entered,
  foundRows,
  LONGEST_ANSWER,
  LONGEST_SEARCH,
  movedIn,
  type RoomContent,
  type RoomView,
  type TalkContent,
} from './room.js';
import type { StateHolder } from './screen-state.js';
import { Talk } from './talk.js';

/** As terminals send them. */
const KEY = { enter: '\r', outputsOff: ' ', leave: '\u0003' } as const;

export class RoomsOpen {
  #talk: Talk | undefined;
  #talking: Promise<void> = Promise.resolve();
  /** The program is left: nothing is begun any more. */
  #isLeft = false;

  constructor(
    readonly screen: StateHolder,
    /** Something runs at the bench: what was fetched meanwhile is not shown any more. */
    readonly isRunning: () => boolean,
  ) {}

  get seen(): RoomView | undefined {
    return this.screen.state.rooms?.at(-1);
  }

  get isTyping(): boolean {
    const room = this.seen;
    if (room === undefined || room.isBusy) return false;
    return room.talk ? !room.talk.isLive && !room.talk.isOver : 'rows' in room.content;
  }

  /** A talk may have something energised. */
  get isLive(): boolean {
    return this.#talk?.view.isLive === true;
  }

  /** Resolves when no talk has anything open any more. */
  settled(): Promise<void> {
    return this.#talking;
  }

  outputsOff(): void {
    this.#talk?.key(KEY.outputsOff);
  }

  leave(): void {
    this.#isLeft = true;
    this.#talk?.key(KEY.leave);
    this.#talk?.leave();
  }

  type(character: string): void {
    this.#change((room) => ({
      ...room,
      typed: `${room.typed}${character}`.slice(0, room.talk ? LONGEST_ANSWER : LONGEST_SEARCH),
      chosen: 0,
      scroll: 0,
    }));
  }

  erase(): void {
    this.#change((room) => ({ ...room, typed: room.typed.slice(0, -1), chosen: 0 }));
  }

  /** @param isOwnPress of Enter: no key that is still held down, and no pedal that bounces */
  press(action: KeyAction, isOwnPress: boolean): void {
    const room = this.seen;
    // A port may be open: it is closed again before anything else is asked of it.
    if (room === undefined || room.isBusy) return;
    if (this.isLive) {
      if (action === 'go-on' && isOwnPress) this.#talk?.key(KEY.enter);
    } else if (action === 'rooms') this.#back(room);
    else if (action === 'go-on') this.#goOn(room, isOwnPress);
    else {
      const also = 'lines' in room.content ? room.content.also : undefined;
      if (also?.key === action) this.enter(() => also.open());
      else this.#change((seen) => movedIn(seen, action));
    }
  }

  /** What cannot be fetched is told in its place. */
  enter(fetch: () => RoomContent | Promise<RoomContent>): void {
    this.#change((room) => ({ ...room, isBusy: true }));
    const from = this.screen.state.rooms?.length ?? 0;
    void (async () => fetch())()
      .catch((error: unknown): RoomContent => ({ title: 'Not to be had', lines: [saidOf(error)] }))
      .then((content) => {
        const { rooms = [] } = this.screen.state;
        // Left meanwhile, or something runs: nobody asked for it any more.
        if (rooms.length !== from || this.isRunning() || this.#isLeft) return;
        this.#change(({ isBusy: _, ...room }) => room);
        this.screen.set({ rooms: [...(this.screen.state.rooms ?? []), entered(content)] });
        if ('talk' in content) this.#begin(content.talk);
      });
  }

  #begin(talkThrough: TalkContent['talk']): void {
    const talk = new Talk((view) =>
      this.#change((room) => ({ ...room, ...typedIn(room, view.isLive), talk: view })),
    );
    this.#talk = talk;
    this.#change((room) => ({ ...room, talk: talk.view }));
    this.#talking = (async () => talkThrough(talk))()
      .catch((error: unknown) => talk.write(`${saidOf(error)}\n`))
      .then(() => {
        talk.over();
        this.#talk = undefined;
        if (talk.closed.aborted) this.#pop();
      });
  }

  #goOn(room: RoomView, isOwnPress: boolean): void {
    const { content, talk, typed } = room;
    if (talk?.isOver) this.#pop();
    else if (talk) {
      const answer = typed.trim();
      // An Enter alone may switch a load on.
      if (answer === '' && !isOwnPress) return;
      this.#change((seen) => ({ ...seen, typed: '', scroll: 0 }));
      this.#talk?.answer(answer);
    } else {
      const row =
        'rows' in content ? foundRows(room)[room.chosen] : 'lines' in content ? content.more : undefined;
      if (row) this.enter(() => row.open());
    }
  }

  #back(room: RoomView): void {
    if (room.talk === undefined || room.talk.isOver) {
      this.#pop();
      return;
    }
    this.#change((seen) => ({ ...seen, isBusy: true }));
    this.#talk?.leave();
  }

  #pop(): void {
    const left = this.screen.state.rooms?.slice(0, -1) ?? [];
    this.screen.set({ rooms: left.length === 0 ? undefined : left });
  }

  /** Of the room that is seen. */
  #change(change: (room: RoomView) => RoomView): void {
    const { rooms = [] } = this.screen.state;
    const room = rooms.at(-1);
    if (room) this.screen.set({ rooms: [...rooms.slice(0, -1), change(room)] });
  }
}

const saidOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));

/** What was typed ahead is no answer to what is asked once something was energised. */
const typedIn = (room: RoomView, isLive: boolean): { typed?: string } =>
  isLive === (room.talk?.isLive ?? false) ? {} : { typed: '' };
