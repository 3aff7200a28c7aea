// The person at the virtual bench: hears what is asked, answers after a human delay, with the bounce of a real switch,
// and makes the mistakes that the case gives them. Knows nothing of the circuit and nothing of the judging.

import type { Position } from '../capture/index.js';
import type { VirtualCase } from '../profile/index.js';
import type { Chance } from './chance.js';

/** As much of a prompt as a person takes in. */
export interface HeardPrompt {
  code: string;
  position: 'forward' | 'reverse';
  /** Something to do with clips and supplies, by the circuit style's own name for it. */
  ask?: string;
}

/** Blades that land and lift again before they stay: some milliseconds by hand (common practice, no source). */
const LANDINGS = 3;
const LANDING_S = [0.001, 0.004] as const;
/** A throw that was let go too soon. */
const TOO_SHORT_S = 0.15;
/** Somebody who forgets to let go. */
const HOLDS_ON_S = 7;

export class VirtualOperator {
  /** What the hand will do, in time order. */
  readonly #moves: { atS: number; position: Position }[] = [];
  readonly #dice: Chance;
  readonly #hand: NonNullable<VirtualCase['hand']>;
  #asks = 0;
  #at: Position = 'rest';
  #holdsOn = false;

  constructor(hand: NonNullable<VirtualCase['hand']>, dice: Chance) {
    this.#hand = hand;
    this.#dice = dice;
  }

  /** When the hand moves next; infinite when it rests. */
  get nextS(): number {
    return this.#moves[0]?.atS ?? Number.POSITIVE_INFINITY;
  }

  /** Where the hand has the switch after its next move. */
  move(): Position {
    this.#at = this.#moves.shift()?.position ?? this.#at;
    return this.#at;
  }

  hear({ code, position }: HeardPrompt, nowS: number): void {
    const [least, most] = this.#hand.delayS;
    const atS = nowS + this.#dice.between(least, most);
    if (code === 'throw' || code === 'nothing-seen' || code === 'other-way' || code === 'too-short') {
      this.#asks += 1;
      const mistake = this.#hand.mistakes.find(({ ask }) => ask === this.#asks)?.does;
      this.#holdsOn = mistake === 'holds-on';
      if (mistake === 'nothing') return;
      const isOther = this.#hand.takesReverseForForward !== (mistake === 'other-way');
      this.#land(atS, isOther ? opposite(position) : position);
      if (mistake === 'too-short') this.#land(atS + TOO_SHORT_S, 'rest');
    } else if (code === 'let-go' || code === 'held-too-long' || code === 'go-on') {
      if (this.#at === 'rest' && this.#moves.length === 0) return;
      this.#land(atS + (this.#holdsOn && code === 'let-go' ? HOLDS_ON_S : 0), 'rest');
      this.#holdsOn = false;
    }
  }

  #land(atS: number, position: Position): void {
    // A hand changes its mind: what it had not done yet it does not do.
    while ((this.#moves.at(-1)?.atS ?? Number.NEGATIVE_INFINITY) >= atS) this.#moves.pop();
    let timeS = atS;
    const before = this.#moves.at(-1)?.position ?? this.#at;
    for (let landing = 0; landing < LANDINGS; landing++) {
      this.#moves.push({ atS: timeS, position });
      timeS += this.#dice.between(...LANDING_S);
      this.#moves.push({ atS: timeS, position: before === position ? 'rest' : before });
      timeS += this.#dice.between(...LANDING_S) / 2;
    }
    this.#moves.push({ atS: timeS, position });
  }
}

const opposite = (position: 'forward' | 'reverse'): Position =>
  position === 'forward' ? 'reverse' : 'forward';
