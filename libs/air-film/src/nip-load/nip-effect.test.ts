import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  contactLostInTime,
  type LoadedRoller,
  rollerDeflection,
  tubeBendingStiffness,
  unpressedByBending,
  unpressedLanes,
  unpressedRolls,
  webTouchesFirst,
} from './index.js';
import { shareNotPressed } from './share-not-pressed.js';

/** One lane in ten that is thinner by half a per cent than the rest. */
const thinLane = [
  { widthRatio: 0.9, caliperDeviationRatio: 0 },
  { widthRatio: 0.1, caliperDeviationRatio: -0.005 },
];

describe('the share of the width that an uneven roll keeps from the nip', () => {
  it('begins where the lane has fallen behind by the indentation: 0.5 % reaches 0.14 mm at a diameter of 0.11 m', () => {
    // Own derivation: e D/4 = 0.005 x 0.112/4 = 0.14 mm. The load that the lane gives up presses the others deeper, to 0.14/0.9 mm when it is free.
    const at = (rollDiameterM: number) =>
      unpressedLanes({ lanes: thinLane, rollDiameterM, indentationM: 0.14e-3 }).ratio;
    expect(at(0.112)).toBe(0);
    expect(at((0.112 / 0.9) * 0.999)).toBe(0);
    expect(at((0.112 / 0.9) * 1.001)).toBeCloseTo(0.1, 12);
    // A narrow lane takes nothing from the others: then it is 0.112 m itself.
    const narrow = [
      { widthRatio: 0.999, caliperDeviationRatio: 0 },
      { widthRatio: 0.001, caliperDeviationRatio: -0.005 },
    ];
    expect(unpressedLanes({ lanes: narrow, rollDiameterM: 0.1118, indentationM: 0.14e-3 }).ratio).toBe(0);
    expect(unpressedLanes({ lanes: narrow, rollDiameterM: 0.1124, indentationM: 0.14e-3 }).ratio).toBeCloseTo(
      0.001,
      9,
    );
  });

  it('counts what was wound, not the core', () => {
    // Equal length in both lanes: r^2 = rc^2 + L t/pi, so the lane of caliper t (1 - e) has r' = sqrt(rc^2 + (1 - e)(r^2 - rc^2)).
    const [r, rc, e] = [0.3, 0.15, 0.005];
    const behindM = r - Math.sqrt(rc ** 2 + (1 - e) * (r ** 2 - rc ** 2));
    const share = (indentationM: number) =>
      unpressedLanes({
        lanes: [
          { widthRatio: 1, caliperDeviationRatio: 0 },
          { widthRatio: 1e-6, caliperDeviationRatio: -e },
        ],
        rollDiameterM: 2 * r,
        coreDiameterM: 2 * rc,
        indentationM,
      }).ratio;
    // 0.2 %: the formula is the first order in e.
    expect(share(behindM * 1.002)).toBe(0);
    expect(share(behindM * 0.996)).toBeGreaterThan(0);
  });

  it('is named with its figures', () => {
    const { of, because } = unpressedLanes({ lanes: thinLane, rollDiameterM: 0.4, indentationM: 0.14e-3 });
    expect(of).toBe('width');
    expect(because?.code).toBe('lane-below-nip');
    expect(because?.text).toBe(
      'the lowest lane of the roll lies 0.50 mm below the highest, the nip indents by 0.14 mm: 10 % of the width is not pressed',
    );
  });

  it('is 0 for an even roll and all but the highest lanes for hardly any indentation', () => {
    const even = [0.2, 0.3, 0.5].map((widthRatio) => ({ widthRatio, caliperDeviationRatio: 0.001 }));
    expect(unpressedLanes({ lanes: even, rollDiameterM: 1, indentationM: 1e-6 })).toEqual({
      of: 'width',
      ratio: 0,
    });
    expect(unpressedLanes({ lanes: thinLane, rollDiameterM: 1, indentationM: 1e-9 }).ratio).toBeCloseTo(
      0.1,
      12,
    );
    expect(unpressedLanes({ lanes: thinLane, rollDiameterM: 1, indentationM: 0 }).ratio).toBe(1);
  });

  it('never grows with indentation nor falls with the diameter, and pressing it balances the load', () => {
    const lane = fc.record({
      widthRatio: fc.double({ min: 0.01, max: 1, noNaN: true }),
      caliperDeviationRatio: fc.double({ min: -0.02, max: 0.02, noNaN: true }),
    });
    fc.assert(
      fc.property(
        fc.array(lane, { minLength: 1, maxLength: 12 }),
        fc.double({ min: 1e-6, max: 1e-3, noNaN: true }),
        fc.double({ min: 1.001, max: 5, noNaN: true }),
        (lanes, indentationM, k) => {
          const share = (rollDiameterM: number, depthM: number) =>
            unpressedLanes({ lanes, rollDiameterM, indentationM: depthM }).ratio;
          expect(share(0.5, k * indentationM)).toBeLessThanOrEqual(share(0.5, indentationM));
          expect(share(0.9 * k, indentationM)).toBeGreaterThanOrEqual(share(0.9, indentationM));
          expect(share(0.5, indentationM)).toBeLessThan(1);
        },
      ),
    );
  });

  it('is the same as by finding the depth of the roller step by step', () => {
    const strip = fc.record({
      widthRatio: fc.double({ min: 0.01, max: 1, noNaN: true }),
      gapM: fc.integer({ min: 0, max: 1000 }).map((n) => n * 1e-6),
    });
    fc.assert(
      fc.property(
        fc.array(strip, { minLength: 1, maxLength: 12 }),
        fc.double({ min: 1e-6, max: 1e-3, noNaN: true }),
        (strips, indentationM) => {
          const total = strips.reduce((sum, { widthRatio }) => sum + widthRatio, 0);
          const load = (s: number) =>
            strips.reduce((sum, { widthRatio, gapM }) => sum + widthRatio * Math.max(0, s - gapM), 0);
          let [low, high] = [0, 3e-3];
          for (let turn = 0; turn < 60; turn += 1) {
            const middle = (low + high) / 2;
            if (load(middle) < indentationM * total) low = middle;
            else high = middle;
          }
          // Strips that just touch may go either way.
          fc.pre(strips.every(({ gapM }) => Math.abs(gapM - low) > 1e-12));
          const free = strips
            .filter(({ gapM }) => gapM >= low)
            .reduce((sum, { widthRatio }) => sum + widthRatio, 0);
          expect(shareNotPressed(strips, indentationM)).toBeCloseTo(free / total, 9);
        },
      ),
    );
  });

  it('is that of the smaller rolls where rolls side by side are unlike', () => {
    const rolls = [
      { widthM: 0.6, diameterM: 0.5 },
      { widthM: 0.4, diameterM: 0.499 },
    ];
    // The smaller lies 0.5 mm lower; the larger alone is pressed until the roller comes down by indentation/0.6.
    expect(unpressedRolls(rolls, 0.31e-3).ratio).toBe(0);
    const free = unpressedRolls(rolls, 0.29e-3);
    expect(free.ratio).toBeCloseTo(0.4, 12);
    expect(free.because?.code).toBe('roll-below-nip');
  });

  it('refuses what cannot be', () => {
    const lanes = thinLane;
    expect(() => unpressedLanes({ lanes, rollDiameterM: 0, indentationM: 1e-4 })).toThrow('rollDiameterM: ');
    expect(() => unpressedLanes({ lanes, rollDiameterM: 1, indentationM: -1e-4 })).toThrow('indentationM: ');
    expect(() => unpressedLanes({ lanes: [], rollDiameterM: 1, indentationM: 1e-4 })).toThrow(
      'strips: at least one',
    );
    const wild = [{ widthRatio: 1, caliperDeviationRatio: 3 }];
    expect(() => unpressedLanes({ lanes: wild, rollDiameterM: 1, indentationM: 1e-4 })).toThrow(
      'caliperDeviationRatio: ',
    );
    const none = [{ widthRatio: 0, caliperDeviationRatio: 0 }];
    expect(() => unpressedLanes({ lanes: none, rollDiameterM: 1, indentationM: 1e-4 })).toThrow(
      'widthRatio: ',
    );
    expect(() => unpressedRolls([{ widthM: 1, diameterM: 0 }], 1e-4)).toThrow('diameterM: ');
  });
});

/** Steel tube of 200/180 mm, 2.2 m between bearings, 2 m of web at 1500 N/m. */
const roller: LoadedRoller = {
  loadNPerM: 1500,
  contactWidthM: 2,
  bearingSpanM: 2.2,
  bendingStiffnessNM2: tubeBendingStiffness({ outerDiameterM: 0.2, innerDiameterM: 0.18, modulusPa: 206e9 }),
};

describe('a nip roller that bends', () => {
  it('has the stiffness of its tube', () => {
    // Own arithmetic: pi/64 (0.2^4 - 0.18^4) = 2.70098e-5 m4, times 206 GPa = 5.5640e6 N m2.
    expect(roller.bendingStiffnessNM2 / 5.564e6).toBeCloseTo(1, 4);
  });

  it('deflects as a beam on two supports', () => {
    // Textbook: 5 w L^4/(384 E I) for a load over the whole span; own arithmetic 5 x 1500 x 2.2^4/(384 x 5.564e6) = 0.08223 mm.
    expect(rollerDeflection({ ...roller, contactWidthM: 2.2 }) * 1e3).toBeCloseTo(0.08223, 4);
    // w b^3 (12 L - 7 b)/(384 E I) = 1500 x 8 x 12.4/(384 x 5.564e6) = 0.06964 mm.
    expect(rollerDeflection(roller) * 1e3).toBeCloseTo(0.06964, 4);
  });

  it('deflects as integrating the bending moment twice gives', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.3, max: 3, noNaN: true }),
        fc.double({ min: 1, max: 2, noNaN: true }),
        (b, k) => {
          const span = k * b;
          const n = 2000;
          const dx = b / 2 / n;
          let [slope, fall] = [0, 0];
          for (let i = 0; i < n; i += 1) {
            const x = (i + 0.5) * dx;
            // Reaction w b/2 at the support, less the load between x and the end of the contact.
            const moment = ((1500 * b) / 2) * (span / 2 - x) - (1500 / 2) * (b / 2 - x) ** 2;
            slope += (moment / roller.bendingStiffnessNM2) * dx;
            fall += (slope - ((moment / roller.bendingStiffnessNM2) * dx) / 2) * dx;
          }
          const formula = rollerDeflection({ ...roller, contactWidthM: b, bearingSpanM: span });
          expect(formula / fall).toBeCloseTo(1, 3);
        },
      ),
    );
  });

  it('presses everywhere while the cover gives more than it bends, and loses the middle first', () => {
    expect(unpressedByBending(roller, 0.2e-3)).toEqual({ of: 'width', ratio: 0 });
    const bent = unpressedByBending({ ...roller, loadNPerM: 6000 }, 0.05e-3);
    expect(bent.ratio).toBeGreaterThan(0.1);
    expect(bent.ratio).toBeLessThan(0.9);
    expect(bent.because?.code).toBe('roller-bends');
    expect(bent.because?.text).toMatch(
      /^the roller bends by 0\.28 mm, the nip indents by 0\.05 mm: \d+ % of the width is not pressed$/,
    );
  });

  it('begins to lose contact where the deflection passes the mean depth of its shape plus the indentation', () => {
    // At the limit the middle is just reached: indentation = mean over the width of (deflection of the middle - deflection at x), by Simpson's rule.
    const b = roller.contactWidthM;
    const factor = roller.loadNPerM / (8 * roller.bendingStiffnessNM2);
    const fall = (x: number) => factor * ((2 * b * roller.bearingSpanM - b * b) * (x * x) * 0.5 - x ** 4 / 3);
    let mean = 0;
    for (let i = 0; i <= 200; i += 1)
      mean += ((i === 0 || i === 200 ? 1 : i % 2 === 1 ? 4 : 2) * fall(((i / 200) * b) / 2)) / 600;
    expect(unpressedByBending(roller, mean * 1.001).ratio).toBe(0);
    expect(unpressedByBending(roller, mean * 0.99).ratio).toBeGreaterThan(0);
    expect(unpressedByBending(roller, mean * 0.99).ratio).toBeLessThan(0.2);
  });

  it('is helped by a crown of its deflection, and by its weight from above', () => {
    const bent = { ...roller, loadNPerM: 6000 };
    const crowned = { ...bent, crownM: rollerDeflection(bent) };
    expect(unpressedByBending(crowned, 0.02e-3).ratio).toBe(0);
    expect(rollerDeflection({ ...bent, weightTowardsRollNPerM: 6000 })).toBeCloseTo(0, 12);
    // Too much crown lifts the ends instead.
    expect(
      unpressedByBending({ ...bent, crownM: 3 * rollerDeflection(bent) }, 0.02e-3).ratio,
    ).toBeGreaterThan(0.3);
  });

  it('refuses what cannot be', () => {
    expect(() => rollerDeflection({ ...roller, bearingSpanM: 1 })).toThrow(
      'bearingSpanM: 2 to 25 m is needed, got 1 m',
    );
    expect(() => rollerDeflection({ ...roller, bendingStiffnessNM2: 0 })).toThrow('bendingStiffnessNM2: ');
    expect(() =>
      tubeBendingStiffness({ outerDiameterM: 0.2, innerDiameterM: 0.2, modulusPa: 206e9 }),
    ).toThrow('innerDiameterM: ');
    expect(() => unpressedByBending(roller, NaN)).toThrow('indentationM: ');
  });
});

describe('the share of the length without nip', () => {
  it('is the share of the time in which contact is lost, named with its end', () => {
    expect(contactLostInTime(0, 'both')).toEqual({ of: 'length', ratio: 0 });
    const lost = contactLostInTime(0.055, 'drive');
    expect(lost).toMatchObject({ of: 'length', ratio: 0.055, because: { code: 'nip-contact-lost' } });
    expect(lost.because?.text).toBe('the nip leaves the roll at the drive side for 5.5 % of the time');
    expect(() => contactLostInTime(1.2, 'both')).toThrow('contactLostRatio: 0 to 1 is needed, got 1.2');
    expect(() => contactLostInTime(NaN, 'both')).toThrow(RangeError);
  });

  it('is all of it where the web meets the roll before the nip', () => {
    expect(webTouchesFirst(0)).toEqual({ of: 'length', ratio: 0 });
    expect(webTouchesFirst(Math.PI / 6)).toMatchObject({
      ratio: 1,
      because: { code: 'web-touches-before-nip' },
    });
    expect(() => webTouchesFirst(-0.1)).toThrow('wrapBeforeNipRad: ');
  });
});
