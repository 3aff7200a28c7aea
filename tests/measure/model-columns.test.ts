// What a motor fit takes beside the channels, and what it says where it tells nothing. One motor solved by SPICE.

import { beforeAll, describe, expect, it } from 'vitest';
import { motorModelOf } from '../../host/commands/motor-model.js';
import { fitMotor } from '../../host/measure/index.js';
import { type SpiceMotor, spiceMotor } from '../references/spice-motors.js';

let motor: SpiceMotor;
beforeAll(async () => {
  motor = await spiceMotor(4242, 0, { leadIn: true, bothWays: true, dips: false, release: 'brake' });
}, 120_000);
const speeds = (perRadS: number): string[] => Array.from(motor.speedRadS, (w) => (w * perRadS).toFixed(3));

describe('columns beside the channels', () => {
  it('take turns a minute as 2 pi / 60 rad/s', () => {
    const told = ([name, perRadS]: [string, number]) =>
      fitMotor({ ...motor.capture, extraColumns: { [name]: speeds(perRadS) } }).model.backEmfVsPerRad
        ?.value ?? 0;
    const [rad, rpm] = [told(['speed_rad_s', 1]), told(['speed_rpm', 60 / (2 * Math.PI)])];
    expect(rpm / rad).toBeCloseTo(1, 4);
    expect(Math.abs(rad / motor.truth.backEmfVsPerRad - 1)).toBeLessThan(0.01);
  });

  it('take duty times supply for the voltage of a chopped motor', () => {
    const { leadAVoltageV, leadBVoltageV, ...channels } = motor.capture.channels;
    // A chopper that gives the motor this mean voltage from a supply of 24 V; reverse is told by the position.
    const duty = Array.from(leadAVoltageV!, (a, k) => (Math.abs(a - leadBVoltageV![k]!) / 24).toFixed(5));
    const supplyVoltageV = Float64Array.from(duty, () => 24);
    const capture = {
      ...motor.capture,
      channels: { ...channels, supplyVoltageV },
      extraColumns: { pwm_duty: duty },
    };
    const { model, notes } = fitMotor(capture);
    expect(Math.abs((model.resistanceOhm?.value ?? 0) / motor.truth.resistanceOhm - 1)).toBeLessThan(0.05);
    expect(notes.join(' ')).toContain('duty times supply');
  });
});

describe('a fit that tells nothing', () => {
  it('says that leads are missing', () => {
    const { motorCurrentA } = motor.capture.channels;
    const { model, notes } = motorModelOf(
      { ...motor.capture, channels: { motorCurrentA: motorCurrentA! } },
      {},
    );
    expect(model).toEqual({});
    expect(notes).toEqual([
      'No motor parameters: they need the motor current and the voltage of both leads or across the motor, or the supply with a duty.',
    ]);
  });

  it('gives what it leaves over, as a part of the current', () => {
    const { fit } = motorModelOf(motor.capture, {});
    expect(fit?.describes).toBe('yes');
    expect(fit?.leftOverPercent).toBeLessThan(3);
  });

  it('does not say of a motor that runs up that it does not', () => {
    for (const every of [1, 25, 60]) {
      const keep = (values: Float64Array): Float64Array => values.filter((_, k) => k % every === 0);
      const capture = {
        ...motor.capture,
        timeS: keep(motor.capture.timeS),
        position: motor.capture.position.filter((_, k) => k % every === 0),
        channels: Object.fromEntries(
          Object.entries(motor.capture.channels).map(([name, values]) => [name, keep(values)]),
        ),
      };
      expect(fitMotor(capture).notes.join(' ')).not.toContain('does not run up');
    }
  });
});
