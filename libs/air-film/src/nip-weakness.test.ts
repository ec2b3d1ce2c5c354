import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AirPoint } from './air-point.js';
import { assessAir } from './assess-air.js';
import { airTerms } from './air-terms.js';
import { criticalSpeed, marginAt } from './critical-speed.js';
import { exchange } from './exchange.js';
import { lwcPoint } from './fixtures/example-points.js';
import { tubeBendingStiffness } from './nip-load/index.js';
import { slopingLaneShare } from './nip-load/sloping-lane.js';
import { pointNumbers } from './point-numbers.js';
import { remedies } from './ranked-remedies.js';
import { woundInFilm } from './wound-in-film.js';

/** The covered roller of the LWC example with 15 mm of rubber of 5 MPa; illustrative. */
const nip = { ...lwcPoint.nip, coverModulusPa: 5e6, coverPoissonRatio: 0.49, coverThicknessM: 0.015 };
const even: AirPoint = { ...lwcPoint, nip };
const withProfile = (profileRangeM: number, rollDiameterM = 1): AirPoint => ({
  ...even,
  web: { ...even.web, profileRangeM },
  running: { ...even.running, rollDiameterM },
});
const withWrap = (wrapBeforeNipRad: number): AirPoint => ({ ...even, nip: { ...nip, wrapBeforeNipRad } });
const film = (point: AirPoint) => assessAir(point).airFilm.woundInM;

/** A slender steel tube on bearings 3.4 m apart under 3.2 m of web; illustrative. */
const slender = {
  bearingSpanM: 3.4,
  contactWidthM: 3.2,
  bendingStiffnessNM2: tubeBendingStiffness({ outerDiameterM: 0.18, innerDiameterM: 0.16, modulusPa: 206e9 }),
};

describe('a lane whose caliper falls off', () => {
  // Published example of the accumulation, own arithmetic e D/4: half a per cent lies 0.1375 mm lower at 0.11 m.
  it('lies lower by e D/4', () => {
    const { depthM } = slopingLaneShare({
      profileRangeM: 0.25e-6,
      caliperM: 50e-6,
      thinLaneWidthRatio: 0.1,
      rollDiameterM: 0.11,
      coreDiameterM: 0,
      indentationM: 1,
    });
    expect(depthM).toBeCloseTo(0.1375e-3, 9);
  });

  it('is not pressed on the share that a bed of many narrow springs leaves free', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-3, max: 0.9, noNaN: true }),
        fc.double({ min: 0.01, max: 50, noNaN: true }),
        (laneRatio, depthPerIndentation) => {
          const lane = {
            profileRangeM: 0.25e-6,
            caliperM: 50e-6,
            thinLaneWidthRatio: laneRatio,
            rollDiameterM: 1,
            coreDiameterM: 0,
          };
          const depth = 0.25 * 0.005;
          const indentationM = depth / depthPerIndentation;
          const { ratio } = slopingLaneShare({ ...lane, indentationM });
          // Bisection on the load that a bed of springs carries when the roller has come down by s.
          const carried = (s: number) => {
            let sum = (1 - laneRatio) * s;
            for (let i = 0; i < 400; i += 1)
              sum += (laneRatio / 400) * Math.max(0, s - (depth * (i + 0.5)) / 400);
            return sum;
          };
          let [low, high] = [0, indentationM / (1 - laneRatio)];
          for (let i = 0; i < 60; i += 1)
            if (carried((low + high) / 2) > indentationM) high = (low + high) / 2;
            else low = (low + high) / 2;
          expect(ratio).toBeCloseTo(laneRatio * Math.max(0, 1 - low / depth), 3);
        },
      ),
      { numRuns: 50 },
    );
  });

  it('is named with its share and depth, and lets in the film of no nip there', () => {
    const { because, ineffectiveNip } = assessAir(withProfile(0.1e-6));
    expect(ineffectiveNip).toMatchObject({
      lengthShareRatio: 1,
      filmM: assessAir({ ...even, nip: null }).airFilm.woundInM,
      because: [{ code: 'lane-below-nip', params: { gapM: expect.closeTo(0.5e-3, 6) as number } }],
    });
    expect(ineffectiveNip!.widthShareRatio).toBeGreaterThan(0);
    expect(ineffectiveNip!.widthShareRatio).toBeLessThan(0.1);
    expect(because).toMatchObject({
      code: 'nip-in-part',
      params: { withoutNipRatio: expect.closeTo(ineffectiveNip!.widthShareRatio, 12) as number },
    });
  });

  it('costs nothing while the cover follows it, and is then not spoken of', () => {
    const shallow = withProfile(0.1e-6, 0.12);
    expect(assessAir(shallow)).not.toHaveProperty('ineffectiveNip');
    expect(film(shallow)).toBe(film(withProfile(0, 0.12)));
  });

  it('lowers the critical speed without a jump as the roll builds', () => {
    let before = criticalSpeed(withProfile(0.1e-6, 0.2))!;
    for (let diameterM = 0.2; diameterM < 1.4; diameterM *= 1.001) {
      const now = criticalSpeed(withProfile(0.1e-6, diameterM))!;
      expect(Math.abs(now / before - 1)).toBeLessThan(0.03);
      before = now;
    }
    expect(before).toBeLessThan(0.2 * criticalSpeed(withProfile(0, 1.4))!);
  });

  it('is the nearer to being pressed the higher the nip load: remedies and exchange use it', () => {
    const point = withProfile(0.1e-6, 0.7);
    const margin = marginAt(point)!;
    const plain = marginAt(withProfile(0, 0.7))!;
    expect(margin).toBeLessThan(plain);
    const more = { ...point, nip: { ...nip, loadNPerM: 4500 } };
    const help = marginAt(more)! - margin;
    const helpOnEven = marginAt({ ...even, ...more, web: even.web })! - plain;
    expect(help).toBeGreaterThan(helpOnEven);
    const slower = remedies(point, plain);
    const speed = slower.find((each) => each.setPoint === 'speed');
    expect(speed).toMatchObject({
      kind: 'change',
      to: expect.closeTo((1 - plain) * criticalSpeed(point)!, 6),
    });
    const traded = exchange(point, { changed: 'speed', to: 28 }, 'nipLoad');
    expect(traded.kind).toBe('exchange');
    if (traded.kind !== 'exchange') return;
    const after = {
      ...point,
      nip: { ...nip, loadNPerM: traded.compensationTo },
      running: { ...point.running, speedMPerS: 28 },
    };
    expect(marginAt(after)).toBeCloseTo(margin, 7);
  });

  it('makes the margin depend on the cover more than an even roll does', () => {
    const sensitivity = (point: AirPoint) => assessAir(point).criticalSpeedSensitivities!.coverModulus;
    expect(sensitivity(withProfile(0.1e-6, 0.7))).toBeLessThan(sensitivity(withProfile(0, 0.7)) - 0.1);
  });

  it('cannot be judged without the thickness of the cover, and says so', () => {
    const point = { ...lwcPoint, web: { ...lwcPoint.web, profileRangeM: 1e-7 } };
    expect(() => assessAir(point)).toThrow(
      /^coverThicknessM: 0\.0001 to 0\.2 m is needed beside profileRangeM/,
    );
  });

  it('cannot be thicker than half the web', () => {
    expect(() => assessAir(withProfile(40e-6))).toThrow(/^profileRangeM: 0 to 0\.000025 m is needed/);
  });
});

describe('a nip roller that bends away from the roll', () => {
  const bent: AirPoint = { ...even, nip: { ...nip, bending: slender } };

  it('is named with its share, deflection and indentation', () => {
    expect(assessAir(bent).ineffectiveNip).toMatchObject({
      lengthShareRatio: 1,
      because: [
        { code: 'roller-bends', params: { gapM: expect.any(Number), indentationM: expect.any(Number) } },
      ],
    });
    expect(film(bent)).toBeGreaterThan(2 * film(even));
  });

  it('costs nothing where it is stiff', () => {
    const stiff = { ...even, nip: { ...nip, bending: { ...slender, bendingStiffnessNM2: 1e10 } } };
    expect(assessAir(stiff)).not.toHaveProperty('ineffectiveNip');
    expect(film(stiff)).toBe(film(even));
  });

  it('goes from one to the other without a jump: finer steps make smaller changes', () => {
    const largestChange = (factor: number): number => {
      const filmAt = (bendingStiffnessNM2: number) => {
        const numbers = pointNumbers({
          ...even,
          nip: { ...nip, bending: { ...slender, bendingStiffnessNM2 } },
        });
        return woundInFilm(airTerms(numbers), 30);
      };
      let largest = 0;
      let before = filmAt(1e6);
      for (let stiffness = 1e6; stiffness < 2e7; stiffness *= factor) {
        const now = filmAt(stiffness);
        expect(now).toBeLessThanOrEqual(before * (1 + 1e-9));
        largest = Math.max(largest, before / now - 1);
        before = now;
      }
      return largest;
    };
    // The middle of the roller leaves the roll as a parabola, so the share begins with the square root of what is missing: steep, but no jump.
    expect(largestChange(1.0025)).toBeLessThan(0.6 * largestChange(1.01));
  });

  it('needs its bearings outside the web', () => {
    const narrow = { ...even, nip: { ...nip, bending: { ...slender, bearingSpanM: 3 } } };
    expect(() => assessAir(narrow)).toThrow(/^bearingSpanM: 3\.2 to 25 m is needed, got 3 m/);
  });
});

describe('a web that touches the roll before the nip', () => {
  const open = film({ ...even, nip: null });

  it('takes the more of the film of no nip the longer it lies on the roll', () => {
    const wraps = [0, 0.005, 0.01, 0.02, 0.05, 0.1, 0.5];
    const films = wraps.map((wrap) => film(withWrap(wrap)));
    films.slice(1).forEach((each, i) => {
      expect(each).toBeGreaterThan(films[i]!);
    });
    expect(films[0]).toBe(film(even));
    expect(films.at(-1)! / open).toBeCloseTo(1, 3);
  });

  it('is named with the angle and its share', () => {
    expect(assessAir(withWrap(0.35)).ineffectiveNip).toMatchObject({
      widthShareRatio: 1,
      lengthShareRatio: expect.closeTo(1, 3) as number,
      because: [
        {
          code: 'web-touches-before-nip',
          text: 'the web touches the roll 20 degrees before the nip, with its air: 100 % of what tension alone lets in',
        },
      ],
    });
  });

  it('has a film that rises with the speed all the same', () => {
    for (const wrap of [0.003, 0.03, 0.3]) {
      let before = 0;
      for (let speedMPerS = 0.1; speedMPerS < 45; speedMPerS *= 1.05) {
        const now = film({ ...withWrap(wrap), running: { ...even.running, speedMPerS } });
        expect(now).toBeGreaterThan(before);
        before = now;
      }
    }
  });

  it('is without a nip, and so is a nip that is said not to be met first, where tension decides', () => {
    const said = assessAir({ ...even, nipShares: { webTouchesBeforeNip: true } });
    expect(said.airFilm.woundInM / open).toBeCloseTo(1, 12);
    const tension = remedies({ ...even, nipShares: { webTouchesBeforeNip: true } }, 0.1).find(
      ({ setPoint }) => setPoint === 'tension',
    );
    expect(tension).toMatchObject({ kind: 'cannot-help', because: { code: 'tension-not-enough' } });
  });
});
