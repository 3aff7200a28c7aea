// The truth of each measured quantity, from what really was on the virtual bench. Knows nothing of noise, counts or scales.

import { CHANNELS, type Channel } from '../../host/capture/index.js';
import { copperFactor, ferriteFactor } from '../../host/circuit/index.js';
import type { Quantity } from '../../host/measure/index.js';
import type { Series, Truth } from './watched-run.js';

const TURN_RAD = 2 * Math.PI;
/** A motor's constants are given at this temperature. */
const REFERENCE_C = 25;
const RUN_NAME = /^((?:forward|reverse)\d*)([A-Z].*)$/;

/** In the quantity's unit; undefined for a name that has no truth of its own (what the readings scatter by, counts). */
export function truthOf(name: string, quantity: Quantity, truth: Truth): number | undefined {
  const { fromS, toS } = quantity;
  if (fromS === undefined || toS === undefined) return undefined;
  const at = (channel: Channel): number => meanIn(truth.channels[channel], fromS, toS);
  const rest = /^rest([A-Z].*)$/.exec(name)?.[1];
  if (rest !== undefined) return CHANNELS.filter((channel) => capital(channel) === rest).map(at)[0];
  const run = RUN_NAME.exec(name);
  if (!run) return undefined;
  const [, throwName, key] = run as unknown as [string, string, string];
  const sign = throwName.startsWith('reverse') ? -1 : 1;
  const level = CHANNELS.find((channel) => capital(channel) === key);
  if (level) return at(level);
  const high = (): number => at(sign > 0 ? 'leadAVoltageV' : 'leadBVoltageV');
  const low = (): number => at(sign > 0 ? 'leadBVoltageV' : 'leadAVoltageV');
  const motorA = (): number => sign * at('motorCurrentA');
  switch (key) {
    case 'MotorVoltageV':
      return at('leadAVoltageV') - at('leadBVoltageV');
    case 'RunningCurrentA':
      // The span is the second half of the throw: its last fifth is the throw's last tenth.
      return sign * meanIn(truth.channels.motorCurrentA, toS - (toS - fromS) / 5, toS);
    case 'GroundDropV':
      return low();
    case 'FeedDropV':
      return at('supplyVoltageV') - high();
    case 'GroundResistanceOhm':
      return low() / motorA();
    case 'FeedResistanceOhm':
      return (at('supplyVoltageV') - high()) / motorA();
    case 'SourceResistanceOhm':
      return truth.sourceResistanceOhm;
    case 'InrushSupplyVoltageV':
      return at('supplyVoltageV');
    case 'ContactDelayS':
      return (contactAt(truth, fromS) - thrownAt(truth, fromS)) / truth.clock;
    case 'RunningPeakA':
      return highestMean(truth.channels.motorCurrentA, fromS, toS, sign, 0.01);
    case 'InrushPeakA':
      return Math.max(...between(truth.channels.motorCurrentA, fromS, toS).map(([, value]) => sign * value));
    case 'InrushTimeS': {
      const peak = highest(truth.channels.motorCurrentA, fromS, fromS + 0.3, sign);
      return (peak.atS - contactAt(truth, thrownAt(truth, fromS))) / truth.clock;
    }
    case 'SettleS':
      return settleOf(truth, fromS, sign);
    case 'RippleHz':
      return (sign * meanIn(truth.speedRadS, fromS, toS) * (truth.motor.ripple?.segments ?? 0)) / TURN_RAD;
    case 'SpeedRpm':
      return (60 * sign * meanIn(truth.speedRadS, fromS, toS)) / TURN_RAD;
    case 'RippleAmplitudeA':
      return rippleAmplitude(truth, fromS, toS);
    case 'EnergyJ':
      return energyOf(truth, fromS, toS, 'leadAVoltageV', 'leadBVoltageV', 'motorCurrentA');
    case 'FeedEnergyJ':
      return energyOf(truth, fromS, toS, 'supplyVoltageV', undefined, 'feedCurrentA');
    case 'ReleaseLeadAVoltageV':
      return at('leadAVoltageV');
    case 'ReleaseLeadBVoltageV':
      return at('leadBVoltageV');
    case 'ReleaseMotorCurrentA':
      return at('motorCurrentA');
    case 'ReleaseBackEmfV':
      return sign * backEmfConstant(truth) * meanIn(truth.speedRadS, fromS - 0.0005, fromS + 0.0005);
    case 'BrakePeakA':
      return highest(truth.channels.motorCurrentA, fromS, fromS + 0.06, -sign).value;
    case 'BrakeDecayS':
      return brakeDecay(truth, fromS, -sign);
    default:
      return undefined;
  }
}

/** Of the motor's own parameters. */
export function motorTruthOf(name: string, truth: Truth): number | undefined {
  const { motor, temperatureC } = truth;
  const resistanceOhm = motor.resistanceOhm * copperFactor(REFERENCE_C, temperatureC);
  const ke = backEmfConstant(truth);
  const kt = motor.torqueNmPerA * ferriteFactor(REFERENCE_C, temperatureC);
  const capacitanceF = motor.inertiaKgM2 / (ke * kt);
  switch (name) {
    case 'resistanceOhm':
      return resistanceOhm;
    case 'resistanceAt25COhm':
      return motor.resistanceOhm;
    case 'inductanceH':
      return motor.inductanceH;
    case 'electricalTimeConstantS':
      return motor.inductanceH / resistanceOhm;
    case 'inertiaAsCapacitanceF':
      return capacitanceF;
    case 'mechanicalTimeConstantS':
      return resistanceOhm * capacitanceF;
    case 'coulombCurrentA':
      return motor.coulombNm / kt;
    case 'viscousConductanceS':
      return motor.viscousNms / (ke * kt);
    case 'brushDropV':
      return motor.brushDropV;
    case 'backEmfVsPerRad':
      return ke;
    case 'backEmfAt25CVsPerRad':
      return motor.backEmfVsPerRad;
    case 'inertiaKgM2':
      return motor.inertiaKgM2;
    case 'viscousNms':
      return motor.viscousNms;
    case 'coulombNm':
      return motor.coulombNm;
    default:
      return undefined;
  }
}

const backEmfConstant = ({ motor, temperatureC }: Truth): number =>
  motor.backEmfVsPerRad * ferriteFactor(REFERENCE_C, temperatureC);

/** Back-EMF at the end of the throw that ended at `atS`, V. */
export function backEmfAt(truth: Truth, atS: number): number {
  return Math.abs(backEmfConstant(truth) * meanIn(truth.speedRadS, atS - 0.002, atS));
}

const capital = (channel: string): string => channel[0]!.toUpperCase() + channel.slice(1);

function firstIn({ timeS }: Series, atS: number): number {
  let low = 0;
  let high = timeS.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (timeS[middle]! < atS) low = middle + 1;
    else high = middle;
  }
  return low;
}

function between(series: Series, fromS: number, toS: number): [number, number][] {
  const pairs: [number, number][] = [];
  for (let k = firstIn(series, fromS); k < series.timeS.length && series.timeS[k]! <= toS; k++)
    pairs.push([series.timeS[k]!, series.value[k]!]);
  return pairs;
}

/** Time integral of straight lines between the conversions, by the length. */
function meanIn(series: Series, fromS: number, toS: number): number {
  if (!(toS > fromS)) return valueAt(series, fromS);
  let sum = 0;
  let [beforeS, before] = [fromS, valueAt(series, fromS)];
  for (const [timeS, value] of [...between(series, fromS, toS), [toS, valueAt(series, toS)] as const]) {
    sum += ((before + value) / 2) * (timeS - beforeS);
    [beforeS, before] = [timeS, value];
  }
  return sum / (toS - fromS);
}

function valueAt(series: Series, atS: number): number {
  const next = Math.min(series.timeS.length - 1, Math.max(1, firstIn(series, atS)));
  const [from, to] = [series.timeS[next - 1]!, series.timeS[next]!];
  const part = Math.min(1, Math.max(0, (atS - from) / (to - from)));
  return series.value[next - 1]! + part * (series.value[next]! - series.value[next - 1]!);
}

function highest(series: Series, fromS: number, toS: number, sign: number): { atS: number; value: number } {
  let best = { atS: fromS, value: Number.NEGATIVE_INFINITY };
  for (const [atS, value] of between(series, fromS, toS))
    if (sign * value > best.value) best = { atS, value: sign * value };
  return best;
}

/** Of means over `widthS`, in steps of a tenth of it. */
function highestMean(series: Series, fromS: number, toS: number, sign: number, widthS: number): number {
  let best = Number.NEGATIVE_INFINITY;
  for (let atS = fromS; atS + widthS <= toS; atS += widthS / 10)
    best = Math.max(best, sign * meanIn(series, atS, atS + widthS));
  return best;
}

const thrownAt = ({ thrown }: Truth, nearS: number): number =>
  thrown.reduce((best, { position, atS }) => (position !== 'rest' && atS < nearS + 0.001 ? atS : best), 0);

/** The armature's first current after the throw, between two conversions. */
function contactAt(truth: Truth, afterS: number): number {
  const { timeS, value } = truth.armatureA;
  let k = firstIn(truth.armatureA, thrownAt(truth, afterS));
  while (k + 1 < timeS.length && Math.abs(value[k]!) < 0.005) k++;
  return (timeS[k]! + timeS[k - 1]!) / 2;
}

/** Contact to nine tenths of the way from peak to running current, of the current without its ripple. */
function settleOf(truth: Truth, contactS: number, sign: number): number {
  const series = truth.channels.motorCurrentA;
  const contact = contactAt(truth, contactS);
  const peak = highest(series, contact, contact + 0.3, sign);
  const releasedS = truth.thrown.find(({ position, atS }) => position === 'rest' && atS > contact)!.atS;
  const running = sign * meanIn(series, (contact + releasedS) / 2, releasedS - 0.002);
  const level = running + 0.1 * (peak.value - running);
  for (let atS = peak.atS; atS < releasedS; atS += 0.0001)
    if (sign * meanIn(series, atS - 0.001, atS + 0.001) <= level) return (atS - contact) / truth.clock;
  return Number.NaN;
}

/** Amplitude of the current at the commutation's rate, by its projection under a Hann window. */
function rippleAmplitude(truth: Truth, fromS: number, toS: number): number {
  const rateHz = Math.abs((meanIn(truth.speedRadS, fromS, toS) * truth.motor.ripple!.segments) / TURN_RAD);
  // Speed is per true second; the series stand in the board's.
  const perS = (TURN_RAD * rateHz) / truth.clock;
  const points = between(truth.channels.motorCurrentA, fromS, toS);
  const mean = points.reduce((sum, [, value]) => sum + value, 0) / points.length;
  let cosine = 0;
  let sine = 0;
  let weights = 0;
  points.forEach(([timeS, value], k) => {
    const stepS = (points[k + 1]?.[0] ?? timeS) - (points[k - 1]?.[0] ?? timeS);
    const weight = stepS * (0.5 - 0.5 * Math.cos((TURN_RAD * (timeS - fromS)) / (toS - fromS)));
    cosine += weight * (value - mean) * Math.cos(perS * timeS);
    sine += weight * (value - mean) * Math.sin(perS * timeS);
    weights += weight;
  });
  return (2 * Math.hypot(cosine, sine)) / weights;
}

function energyOf(
  { channels, clock }: Truth,
  fromS: number,
  toS: number,
  plus: Channel,
  minus: Channel | undefined,
  current: Channel,
): number {
  let energyJ = 0;
  const points = between(channels[current], fromS, toS);
  points.forEach(([timeS, amperes], k) => {
    const stepS = ((points[k + 1]?.[0] ?? toS) - (points[k - 1]?.[0] ?? fromS)) / 2;
    const volts = valueAt(channels[plus], timeS) - (minus ? valueAt(channels[minus], timeS) : 0);
    energyJ += volts * amperes * stepS;
  });
  return energyJ / clock;
}

/** Straight line through the logarithm of the brake's current between 0.8 and 0.25 of its peak. */
function brakeDecay(truth: Truth, peakS: number, sign: number): number {
  const series = truth.channels.motorCurrentA;
  const peak = highest(series, peakS - 0.01, peakS + 0.06, sign);
  let n = 0;
  let [x, y, xx, xy, weights] = [0, 0, 0, 0, 0];
  for (const [timeS, value] of between(series, peak.atS, peak.atS + 1)) {
    const part = (sign * value) / peak.value;
    if (part < 0.25) break;
    if (part > 0.8) continue;
    const weight = part * part;
    n++;
    weights += weight;
    x += weight * timeS;
    y += weight * Math.log(part);
    xx += weight * timeS * timeS;
    xy += weight * timeS * Math.log(part);
  }
  if (n < 4) return Number.NaN;
  return -(xx - (x * x) / weights) / (xy - (x * y) / weights) / truth.clock;
}
