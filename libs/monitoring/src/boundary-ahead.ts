import type { Instant, RiskAtDiameter } from './assessment.js';
import { chanceBeyond, normalQuantile } from './chance.js';

/** The coming roll as the forecast sees it: constant speed, nip load and tension from here on. */
export interface Outlook {
  readonly nowMs: number;
  readonly diameterM: number;
  readonly setEndDiameterM: number;
  /** Caliper plus wound-in air. */
  readonly layerThicknessM: number;
  readonly speedMPerS: number;
  /** Share of the critical speed that is used at a diameter, V/Vcrit; 0 where there is no critical speed. */
  readonly speedShareAt: (diameterM: number) => number;
  /** Relative standard uncertainty of that share. */
  readonly shareUncertaintyRatio: number;
  /** Chance from the other mechanisms, taken to stay as it is now. */
  readonly otherChance: number;
  /** Risk at which the boundary counts as reached. */
  readonly riskLimit: number;
}

export interface BoundaryAhead {
  readonly earliest: Instant;
  readonly expected: Instant;
  readonly latest: Instant | null;
}

/** One crossing in ten comes before `earliest`, one in ten after `latest` (normal error of the critical speed). */
export const bandDeviations = 1.2816;

const points = 48;
/** How far beyond the end of the set the expected and latest crossing are still looked for, as a multiple of its end diameter. */
export const lookBeyond = 1.5;

/** Risk over the diameters from now to the end of the set. */
export function riskAhead(outlook: Outlook): RiskAtDiameter[] {
  const { diameterM, setEndDiameterM } = outlook;
  const ahead: RiskAtDiameter[] = [];
  if (setEndDiameterM <= diameterM) return ahead;
  for (let index = 0; index <= points; index += 1) {
    const at = diameterM + ((setEndDiameterM - diameterM) * index) / points;
    ahead.push({ diameterM: at, risk: riskAt(outlook, at) });
  }
  return ahead;
}

/** A chance of air beyond so many deviations changes no bit of a risk: `1 - p` is 1 where p is below 2^-54. */
const noChanceFrom = 8.5;

function riskAt({ speedShareAt, shareUncertaintyRatio, otherChance }: Outlook, diameterM: number): number {
  const value = speedShareAt(diameterM);
  const uncertainty = value * shareUncertaintyRatio;
  const air = 1 - value > noChanceFrom * uncertainty ? 0 : chanceBeyond({ value, uncertainty, limit: 1 });
  return 1 - (1 - air) * (1 - otherChance);
}

/**
 * Diameter and time at which the air's share of the risk reaches its limit in the coming roll: D^2 = D0^2 + 4 h L / pi at constant speed.
 *
 * Null where the earliest crossing lies beyond the end of the set, or the expected one does not come at all. A share x with relative
 * standard uncertainty u gives the risk Phi((x - 1)/(x u)), so a risk of Phi(z) is reached at x = 1/(1 - z u): z of the limit for the
 * expected crossing, z - 1.28 for the earliest, z + 1.28 for the latest.
 */
export function boundaryAhead(outlook: Outlook): BoundaryAhead | null {
  const z = deviationsAt(outlook.riskLimit);
  const { setEndDiameterM } = outlook;
  const earliest = firstDiameterAt(outlook, shareAtDeviation(outlook, z - bandDeviations), setEndDiameterM);
  if (earliest === null || earliest > setEndDiameterM) return null;
  const expected = firstDiameterAt(outlook, shareAtDeviation(outlook, z), Infinity);
  if (expected === null) return null;
  const latest = firstDiameterAt(outlook, shareAtDeviation(outlook, z + bandDeviations), Infinity);
  return {
    earliest: instantAt(outlook, earliest),
    expected: instantAt(outlook, expected),
    latest: latest === null ? null : instantAt(outlook, latest),
  };
}

/** How many deviations below a normal value's mean the limit of risk lies. A limit of nothing or of certainty, which none has, would lie nowhere. */
export function deviationsAt(riskLimit: number): number {
  return normalQuantile(Math.min(Math.max(riskLimit, 0.001), 0.999));
}

function shareAtDeviation(outlook: Outlook, z: number): number {
  const denominator = 1 - z * outlook.shareUncertaintyRatio;
  return denominator > 0 ? 1 / denominator : Infinity;
}

/**
 * The first diameter from now on at which the share reaches `target`; null if it does not. Beyond `enoughM` nobody asks, and it may be null there too: each
 * diameter further out costs a search for its critical speed.
 */
function firstDiameterAt(outlook: Outlook, target: number, enoughM: number): number | null {
  const { diameterM, setEndDiameterM, speedShareAt } = outlook;
  if (speedShareAt(diameterM) >= target) return diameterM;
  const end = Math.max(setEndDiameterM * lookBeyond, diameterM * 1.01);
  let before = diameterM;
  for (let index = 1; index <= points && before < enoughM; index += 1) {
    const at = diameterM + ((end - diameterM) * index) / points;
    if (speedShareAt(at) >= target) return bisect(speedShareAt, target, before, at);
    before = at;
  }
  return null;
}

function bisect(
  speedShareAt: (diameterM: number) => number,
  target: number,
  below: number,
  above: number,
): number {
  let low = below;
  let high = above;
  while (high - low > 1e-5) {
    const middle = (low + high) / 2;
    if (speedShareAt(middle) >= target) high = middle;
    else low = middle;
  }
  return high;
}

/** When the roll reaches a diameter, in event time. */
export function instantAt(
  outlook: Pick<Outlook, 'nowMs' | 'diameterM' | 'layerThicknessM' | 'speedMPerS'>,
  diameterM: number,
): Instant {
  const lengthM = (Math.PI * (diameterM ** 2 - outlook.diameterM ** 2)) / (4 * outlook.layerThicknessM);
  return { diameterM, atMs: Math.round(outlook.nowMs + (1000 * lengthM) / outlook.speedMPerS) };
}

/** The diameter that the roll has at an instant. */
export function diameterAt(
  outlook: Pick<Outlook, 'nowMs' | 'diameterM' | 'layerThicknessM' | 'speedMPerS'>,
  atMs: number,
): number {
  const lengthM = ((atMs - outlook.nowMs) / 1000) * outlook.speedMPerS;
  return Math.sqrt(Math.max(outlook.diameterM ** 2 + (4 * outlook.layerThicknessM * lengthM) / Math.PI, 0));
}
