// A rotor that is held heats its winding: resistance rises and the current falls slowly, ever more so. A thermistor in the motor
// stands and then climbs all at once. Fed sample by sample, as they come or out of a capture.

/** Contact bounce, the rise of the current and a first settling are over by then. */
const COLD_FROM_S = 0.1;
const COLD_TO_S = 0.5;
/** Each looked at as a mean over so long: noise and ripple are quicker. */
const MEAN_S = 0.5;
/** Copper 77 K warmer: 0.39 % a kelvin (IEC 60028). Insulation of class A bears 105 C. */
const HOT_RISE = 0.3;
/**
 * At a constant voltage copper warms ever more slowly. A rise of this many times its own mean so far is no winding's; a
 * thermistor climbs tenfold within seconds. Choice of this program, no source.
 */
const CLIMBS_TIMES = 2.5;
/** A climb that has not opened the circuit by then is hot copper all the same. Choice of this program, no source. */
const CLIMB_MOST_S = 8;
/** Less shows no resistance; published of protectors: under 1 A counts as opened. */
const LEAST_A = 1;

export class WindingHeat {
  /** From the contact to the moment at which the winding counts as hot; undefined while it does not. */
  hotAfterS: number | undefined;
  #fromS: number | undefined;
  #cold = { volts: 0, amperes: 0 };
  #mean = { volts: 0, amperes: 0, count: 0, fromS: 0 };
  /** The protector has opened: nothing heats the winding any more. */
  #isOpen = false;
  #before: number | undefined;
  #climbsFromS: number | undefined;

  /** Sizes of what stands between the motor's leads and of what flows; NaN where it was not sampled. */
  add(timeS: number, voltageV: number, currentA: number): void {
    if (Number.isNaN(voltageV) || Number.isNaN(currentA) || this.hotAfterS !== undefined) return;
    if (this.#isOpen || (this.#fromS === undefined && currentA < LEAST_A)) return;
    this.#fromS ??= timeS;
    const sinceS = timeS - this.#fromS;
    if (sinceS < COLD_FROM_S) return;
    if (sinceS < COLD_TO_S) {
      this.#cold.volts += voltageV;
      this.#cold.amperes += currentA;
      this.#mean.fromS = timeS;
      return;
    }
    this.#mean.volts += voltageV;
    this.#mean.amperes += currentA;
    this.#mean.count++;
    if (timeS - this.#mean.fromS >= MEAN_S) this.#look(timeS, sinceS);
  }

  #look(timeS: number, sinceS: number): void {
    const { volts, amperes, count } = this.#mean;
    this.#isOpen = amperes < LEAST_A * count;
    if (this.#isOpen) return;
    const rise = (volts / amperes) * (this.#cold.amperes / this.#cold.volts) - 1;
    const step = rise - (this.#before ?? 0);
    this.#before = rise;
    this.#mean = { volts: 0, amperes: 0, count: 0, fromS: timeS };
    if (!(rise >= HOT_RISE)) {
      this.#climbsFromS = undefined;
      return;
    }
    const climbs = step / MEAN_S > (CLIMBS_TIMES * (rise - step)) / sinceS && rise - step < HOT_RISE;
    if (climbs) this.#climbsFromS ??= timeS;
    if (this.#climbsFromS === undefined || timeS - this.#climbsFromS > CLIMB_MOST_S) this.hotAfterS = sinceS;
  }
}
