import { describe, expect, it } from 'vitest';
import type { Nip } from '../scenario/scenario-schema.js';
import { nipMechanics, naturalPeriodS } from './nip-mechanics.js';
import { moveRoller, resting, type RollerState, type SurfaceMotion } from './roller-motion.js';

/** A roller of 1 m face: only what the mechanics need. */
function roller(massKg: number, stiffnessNPerM: number, dampingRatio: number, rockInertiaRatio = 1) {
  const nip = {
    massKg,
    stiffnessNPerM2: stiffnessNPerM,
    dampingRatio,
    rockInertiaRatio,
    inboardMassRatio: 0,
  } as Nip;
  return { mechanics: nipMechanics(nip, 1), periodS: naturalPeriodS(nip, 1) };
}

/** Both ends of the surface move as told. */
function surface(
  steps: number,
  timeStepS: number,
  at: (tS: number) => readonly [position: number, velocity: number],
): SurfaceMotion {
  const position = new Float64Array(2 * steps + 1);
  const velocity = new Float64Array(2 * steps + 1);
  for (let half = 0; half <= 2 * steps; half += 1) {
    [position[half], velocity[half]] = at((half * timeStepS) / 2);
  }
  return { positionM: [position, position], velocityMPerS: [velocity, velocity] };
}

/** A wave that grows to its amplitude within 3 s and then stays. */
function wave(amplitudeM: number, frequencyHz: number) {
  const omega = 2 * Math.PI * frequencyHz;
  return (tS: number): readonly [number, number] => {
    const grown = Math.min(1, tS / 3);
    const rate = tS < 3 ? 1 / 3 : 0;
    return [
      amplitudeM * grown * Math.cos(omega * tS),
      amplitudeM * (rate * Math.cos(omega * tS) - grown * omega * Math.sin(omega * tS)),
    ];
  };
}

function still(): readonly [number, number] {
  return [0, 0];
}

function tail(list: Float64Array, share: number): Float64Array {
  return list.subarray(Math.floor(list.length * (1 - share)));
}

/** Contact fraction and peak load over the last second of five. */
function contactUnder(
  amplitudeM: number,
  frequencyHz: number,
  machine: ReturnType<typeof roller>,
  forceN: number,
  timeStepS = 1e-3,
) {
  const steps = Math.round(5 / timeStepS);
  const closing = [forceN / 2, forceN / 2] as const;
  const { trace } = moveRoller(
    {
      mechanics: machine.mechanics,
      surface: surface(steps, timeStepS, wave(amplitudeM, frequencyHz)),
      closingN: { from: closing, to: closing },
      timeStepS,
    },
    resting(machine.mechanics, closing),
  );
  const loads = tail(trace.loadN[0], 0.2);
  return { fraction: loads.filter((n) => n > 0).length / loads.length, peakN: 2 * Math.max(...loads), trace };
}

describe('a roller that stays in contact', () => {
  it('keeps its energy: the integrator damps less than 1e-5 of critical at 27 steps a period', () => {
    const { mechanics } = roller(200, 1.073e7, 0);
    const force = [750, 750] as const;
    const rest = resting(mechanics, force).positionM[0];
    const swingM = 0.5 * Math.abs(rest);
    const energy = ({ positionM: [y], velocityMPerS: [v] }: RollerState) =>
      0.5 * mechanics.stiffnessNPerM * (y - rest) * (y - rest) + 0.5 * mechanics.massKg * v * v;
    const start: RollerState = { positionM: [rest + swingM, rest + swingM], velocityMPerS: [0, 0] };
    const { state } = moveRoller(
      {
        mechanics,
        surface: surface(5000, 1e-3, still),
        closingN: { from: force, to: force },
        timeStepS: 1e-3,
      },
      start,
    );
    const radians = 5 * Math.sqrt(mechanics.stiffnessNPerM / mechanics.massKg);
    const dampingRatio = -Math.log(energy(state) / energy(start)) / (2 * radians);
    expect(Math.abs(dampingRatio)).toBeLessThan(1e-5);
  });

  it.each([0.3, 0.7, 0.95, 1, 1.1, 1.6, 2.5])(
    'answers a moving surface as a single mass on spring and damper does, at %d of its natural frequency (textbook base excitation; 0.5 %)',
    (ratio) => {
      const zeta = 0.05;
      const machine = roller(200, 1.073e7, zeta);
      const frequencyHz = ratio / machine.periodS;
      const amplitudeM = 2e-6;
      const { trace } = contactUnder(amplitudeM, frequencyHz, machine, 1500, 5e-4);
      const omega = 2 * Math.PI * frequencyHz;
      const gain = Math.sqrt(
        (1 + (2 * zeta * ratio) ** 2) / ((1 - ratio ** 2) ** 2 + (2 * zeta * ratio) ** 2),
      );
      const peak = Math.max(...tail(trace.accelerationMPerS2[0], 0.2));
      expect(peak / (amplitudeM * omega * omega * gain)).toBeGreaterThan(0.985); // sampled at 25 to 90 points a period
      expect(peak / (amplitudeM * omega * omega * gain)).toBeLessThan(1.005);
    },
  );

  it('rocks at its own frequency: half the moment of inertia, root two times the bounce frequency', () => {
    const machine = roller(200, 1.073e7, 0, 0.5);
    const force = [750, 750] as const;
    const rest = resting(machine.mechanics, force);
    const tilt = 0.2 * Math.abs(rest.positionM[0]);
    const start: RollerState = {
      positionM: [rest.positionM[0] + tilt, rest.positionM[1] - tilt],
      velocityMPerS: [0, 0],
    };
    const timeStepS = 1e-4;
    const { trace } = moveRoller(
      {
        mechanics: machine.mechanics,
        surface: surface(10_000, timeStepS, still),
        closingN: { from: force, to: force },
        timeStepS,
      },
      start,
    );
    const loads = trace.loadN[0];
    const crossings = loads.filter(
      (n, i) => i > 0 && (n - 750) * ((loads[i - 1] as number) - 750) < 0,
    ).length;
    expect(crossings / 2).toBeCloseTo(1 / machine.periodS, 0);
    expect(1 / machine.periodS).toBeCloseTo(36.864 * Math.SQRT2, 1);
  });
});

describe('a roller that loses contact', () => {
  // own derivation, e_c = F/(m w^2) |1 - (w/w_n)^2|, confirmed there by an own time integration with damping 0.03
  it.each([
    [200, 1500, 1.073e7, 12.732, 1.03215e-3],
    [200, 1500, 1.073e7, 25, 0.164169e-3],
    [400, 4000, 9.94e6, 8, 3.55544e-3],
  ])(
    'leaves the roll at the derived amplitude: %d kg under %d N on %d N/m, %d Hz, %d m (2 %%)',
    (massKg, forceN, stiffness, hz, onsetM) => {
      const machine = roller(massKg, stiffness, 0.03);
      expect(contactUnder(0.98 * onsetM, hz, machine, forceN).fraction).toBe(1);
      expect(contactUnder(1.02 * onsetM, hz, machine, forceN).fraction).toBeLessThan(1);
    },
  );

  it('stays in contact for the share of time that another integration found (own numerical solution: 0.945 and 0.856; 0.02)', () => {
    const machine = roller(200, 1.073e7, 0.03);
    const share = (ratio: number) => contactUnder(ratio * 1.03215e-3, 12.732, machine, 1500).fraction;
    expect(share(0.5)).toBe(1);
    expect(share(0.9)).toBe(1);
    expect(Math.abs(share(1.02) - 0.945)).toBeLessThan(0.02);
    expect(Math.abs(share(1.1) - 0.856)).toBeLessThan(0.02);
  });

  it('flies at exactly the closing force over the mass, and no contact force is ever negative', () => {
    const machine = roller(200, 1.073e7, 0.03);
    const { trace } = contactUnder(1.5e-3, 12.732, machine, 1500);
    expect(Math.min(...trace.loadN[0])).toBe(0);
    expect(Math.min(...trace.accelerationMPerS2[0])).toBeCloseTo(-1500 / 200, 9);
  });

  it('gains as much momentum as the contact gives it beyond the closing force (0.5 %)', () => {
    const machine = roller(200, 1.073e7, 0.03);
    const timeStepS = 2.5e-4;
    const steps = 400;
    const force = [750, 750] as const;
    const start: RollerState = { positionM: [1e-3, 1e-3], velocityMPerS: [0, 0] };
    const { state, trace } = moveRoller(
      {
        mechanics: machine.mechanics,
        surface: surface(steps, timeStepS, still),
        closingN: { from: force, to: force },
        timeStepS,
      },
      start,
    );
    const impulse = trace.loadN[0].reduce((sum, n, i) => sum + (i === steps - 1 ? n / 2 : n), 0) * timeStepS;
    const closing = 750 * steps * timeStepS;
    const gained = machine.mechanics.massKg * state.velocityMPerS[0];
    expect(Math.abs(impulse - closing - gained) / closing).toBeLessThan(0.005);
  });

  it('dropped on an undamped cover it comes back to its height: the loss in ten bounces falls with the time step and is 1 % at 1 ms', () => {
    const machine = roller(200, 1.073e7, 0);
    const highest = (timeStepS: number) => {
      const steps = Math.round(0.36 / timeStepS);
      const force = [750, 750] as const;
      const start: RollerState = { positionM: [1e-3, 1e-3], velocityMPerS: [0, 0] };
      const { state } = moveRoller(
        {
          mechanics: machine.mechanics,
          surface: surface(steps, timeStepS, still),
          closingN: { from: force, to: force },
          timeStepS,
        },
        start,
      );
      const [y] = state.positionM;
      const [v] = state.velocityMPerS;
      const spring = y < 0 ? 0.5 * machine.mechanics.stiffnessNPerM * y * y : 0;
      return (0.5 * machine.mechanics.massKg * v * v + 750 * y + spring) / (750 * 1e-3);
    };
    expect(Math.abs(highest(1e-3) - 1)).toBeLessThan(0.01);
    expect(Math.abs(highest(2.5e-4) - 1)).toBeLessThan(0.001);
  });

  it('converges in the time step: loads at 1 ms are within 1 % of those at a sixteenth of it, at 0.25 ms within 0.2 %', () => {
    const machine = roller(200, 1.073e7, 0.03);
    const at = (timeStepS: number) => contactUnder(1.1 * 1.03215e-3, 12.732, machine, 1500, timeStepS);
    const fine = at(6.25e-5);
    expect(Math.abs(at(1e-3).peakN / fine.peakN - 1)).toBeLessThan(0.01);
    expect(Math.abs(at(2.5e-4).peakN / fine.peakN - 1)).toBeLessThan(0.002);
    expect(Math.abs(at(1e-3).fraction - fine.fraction)).toBeLessThan(0.01);
  });
});
