import { type Known, type Quantity, known } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { onsetAmplitude } from './bounce-onset.js';
import { contactLossRatio } from './contact-loss.js';
import { nipForceFromCell, swingAtNip } from './inboard-mass.js';
import { loadSwing } from './load-swing.js';

/**
 * Time integration of a nip roller on an uneven roll with contact on one side only (semi-implicit Euler, 20 us), apart from the formulas under test.
 * Published nowhere that could be read; the contact fractions below are an earlier own numerical solution of the same equations.
 */
interface Nip {
  readonly massKg: number;
  readonly forceN: number;
  readonly stiffnessNPerM: number;
  readonly frequencyHz: number;
  readonly dampingRatio: number;
}

interface Course {
  /** Nip force, and acceleration away from the roll, after the start has died away. */
  readonly nipForceN: readonly number[];
  readonly accelerationMPerS2: readonly number[];
}

function integrated(nip: Nip, amplitudeM: number): Course {
  const { massKg, forceN, stiffnessNPerM, frequencyHz, dampingRatio } = nip;
  const omega = 2 * Math.PI * frequencyHz;
  const damping = 2 * dampingRatio * Math.sqrt(stiffnessNPerM * massKg);
  const stepS = 2e-5;
  const steps = Math.round(8 / stepS);
  let position = -forceN / stiffnessNPerM;
  let velocity = 0;
  const nipForceN: number[] = [];
  const accelerationMPerS2: number[] = [];
  for (let k = 0; k < steps; k += 1) {
    const t = k * stepS;
    // The unevenness grows in over two seconds, so that the start does not throw the roller off.
    const amplitude = amplitudeM * Math.min(1, t / 2);
    const squeezed = amplitude * Math.sin(omega * t) - position;
    const rate = amplitude * omega * Math.cos(omega * t) - velocity;
    const contact = squeezed > 0 ? Math.max(0, stiffnessNPerM * squeezed + damping * rate) : 0;
    const acceleration = (contact - forceN) / massKg;
    velocity += acceleration * stepS;
    position += velocity * stepS;
    if (t >= 4) {
      nipForceN.push(contact);
      accelerationMPerS2.push(acceleration);
    }
  }
  return { nipForceN, accelerationMPerS2 };
}

const nip: Nip = {
  massKg: 200,
  forceN: 1500,
  stiffnessNPerM: 1.073e7,
  frequencyHz: 20 / (Math.PI * 0.5),
  dampingRatio: 0.03,
};
const onset = onsetAmplitude({
  massKg: nip.massKg,
  staticForceN: nip.forceN,
  frequencyHz: nip.frequencyHz,
  stiffnessNPerM: nip.stiffnessNPerM,
});
const contactShare = ({ nipForceN }: Course) =>
  nipForceN.filter((force) => force > 0).length / nipForceN.length;
const peakTowards = ({ accelerationMPerS2 }: Course) => -smallest(accelerationMPerS2);
const smallest = (values: readonly number[]) =>
  values.reduce((least, value) => Math.min(least, value), Infinity);
const largest = (values: readonly number[]) =>
  values.reduce((most, value) => Math.max(most, value), -Infinity);
const swingOf = (loads: readonly number[]) =>
  told(
    loadSwing({
      meanNPerM: loads.reduce((sum, load) => sum + load, 0) / loads.length,
      minimumNPerM: smallest(loads),
      sampleCount: loads.length,
      uncertaintyNPerM: 0,
    }),
  ).value;
const indicator = (peak: number) =>
  told(
    contactLossRatio({
      peakAccelerationMPerS2: known(peak),
      effectiveMassKg: nip.massKg,
      staticForceN: known(nip.forceN),
      swingRatio: known(0.5),
      standing: false,
    }),
  ).value;

function told(quantity: Quantity): Known {
  if (quantity.kind === 'unknown') throw new Error(quantity.because.text);
  return quantity;
}

describe('a nip roller on an uneven roll, integrated in time', () => {
  it('keeps contact below the onset amplitude and loses it above, for the shares of time of an earlier own solution', () => {
    for (const [ratio, share] of [
      [0.5, 1],
      [0.9, 1],
      [0.98, 1],
      [1.02, 0.945],
      [1.1, 0.856],
    ] as const) {
      // Both solutions are good to a few thousandths: step, damping of the start, length of the record.
      expect(
        Math.abs(contactShare(integrated(nip, ratio * onset)) - share),
        `${ratio} of the onset`,
      ).toBeLessThan(0.006);
    }
  });

  it('bounces abruptly: at 1.3 times the onset it hardly touches, and lands with many times the static force', () => {
    const course = integrated(nip, 1.3 * onset);
    expect(contactShare(course)).toBeLessThan(0.12);
    expect(largest(course.nipForceN)).toBeGreaterThan(10 * nip.forceN);
  });

  it('has N = F + m a, so that in contact the indicator is the swing of the nip force', () => {
    for (const ratio of [0.3, 0.6, 0.9]) {
      const course = integrated(nip, ratio * onset);
      const B = indicator(peakTowards(course));
      expect(Math.abs(B - ratio)).toBeLessThan(0.01);
      expect(Math.abs(B - swingOf(course.nipForceN))).toBeLessThan(0.005);
    }
  });

  it('saturates at 1 in free flight, however violent it gets', () => {
    for (const ratio of [1.05, 1.2, 1.5])
      expect(indicator(peakTowards(integrated(nip, ratio * onset)))).toBeCloseTo(1, 9);
  });

  it('is not reassuring from a sensor mounted the other way that sends the peak away from the roll', () => {
    for (const ratio of [0.3, 0.6, 0.9, 1.1, 1.3]) {
      const course = integrated(nip, ratio * onset);
      expect(indicator(largest(course.accelerationMPerS2))).toBeGreaterThan(
        0.98 * indicator(peakTowards(course)),
      );
    }
  });

  it('shows in an outboard cell by a quarter only at lift-off, with 150 of 200 kg inboard', () => {
    const inboardMassKg = 150;
    const { nipForceN, accelerationMPerS2 } = integrated(nip, 0.99 * onset);
    const cellN = nipForceN.map((force, k) => force - inboardMassKg * accelerationMPerS2[k]!);
    const cellSwing = swingOf(cellN);
    expect(Math.abs(cellSwing - 0.25)).toBeLessThan(0.01);
    expect(
      Math.abs(told(swingAtNip(known(cellSwing), nip.massKg, inboardMassKg)).value - swingOf(nipForceN)),
    ).toBeLessThan(0.02);
    const lowest = nipForceN.indexOf(smallest(nipForceN));
    expect(nipForceFromCell(cellN[lowest]!, inboardMassKg, accelerationMPerS2[lowest]!)).toBeCloseTo(
      nipForceN[lowest]!,
      6,
    );
  });
});
