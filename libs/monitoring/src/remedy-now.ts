import { type AirPoint, criticalSpeed, nipLoadForMargin, remedies } from '@edge-margin/air-film';
import { type Reason, reason } from '@edge-margin/units';
import { resonanceDiameters } from '@edge-margin/vibration';
import type { AirOutlook } from './air-now.js';
import type { Alternative, Forecast, Remedy, RiskAtDiameter } from './assessment.js';
import { bandDeviations, instantAt, type Outlook, riskAhead } from './boundary-ahead.js';
import { normalQuantile } from './chance.js';
import { criticalCurve } from './critical-curve.js';
import type { StationModel } from './model.js';
import { figure } from './words.js';

export interface RemedyNow {
  readonly remedy: Remedy | null;
  readonly alternatives: readonly Alternative[];
  readonly aheadAfter: readonly RiskAtDiameter[];
}

const none: RemedyNow = { remedy: null, alternatives: [], aheadAfter: [] };

type OneRemedy = Omit<RemedyNow, 'alternatives'>;

/**
 * The change of one set point after which even the earliest boundary lies beyond the end of the set: speed where the machine can run that slowly,
 * else nip load where that is within the machine's limits. Advice to a person; never sent to a machine.
 */
export function remedyNow(args: {
  readonly model: StationModel;
  readonly outlook: Outlook | null;
  readonly air: AirOutlook | null;
  readonly forecast: Omit<Forecast, 'aheadAfterRemedy'>;
}): RemedyNow {
  const { model, outlook, air, forecast } = args;
  if (outlook === null || air === null || forecast.boundary === null) return none;
  const z = normalQuantile(outlook.riskLimit) - bandDeviations;
  const targetShare = 1 / (1 - z * outlook.shareUncertaintyRatio);
  const by = { byDiameterM: forecast.actBy?.diameterM ?? null, byMs: forecast.actBy?.atMs ?? null };
  const search: Search = { model, outlook, air, targetShare, by };
  const chosen = slowDown(search) ?? pressHarder(search) ?? none;
  return { ...chosen, alternatives: otherSetPoints(search, chosen.remedy?.setPoint) };
}

interface Search {
  readonly model: StationModel;
  readonly outlook: Outlook;
  readonly air: AirOutlook;
  /** Share of the critical speed that may be used at the end of the set. */
  readonly targetShare: number;
  readonly by: By;
}

type By = Pick<Remedy, 'byDiameterM' | 'byMs'>;

function slowDown(search: Search): OneRemedy | undefined {
  const { model, outlook, air, targetShare, by } = search;
  const criticalAtEnd = air.criticalSpeedAt(outlook.setEndDiameterM);
  if (criticalAtEnd === null) return undefined;
  const to = roundedDown(criticalAtEnd * targetShare, model.display);
  if (to < model.context.winder.limits.speedMPerS.min || to <= 0 || to >= outlook.speedMPerS)
    return undefined;
  const after: Outlook = {
    ...outlook,
    speedMPerS: to,
    speedShareAt: (diameterM) => (outlook.speedShareAt(diameterM) * to) / outlook.speedMPerS,
  };
  const longerS =
    (instantAt(after, outlook.setEndDiameterM).atMs - instantAt(outlook, outlook.setEndDiameterM).atMs) /
    1000;
  const words = (speed: number): string => figure('speed', speed, model.display);
  return {
    remedy: {
      setPoint: 'speed',
      from: outlook.speedMPerS,
      to,
      ...by,
      because: reason(
        'slow-down',
        `slow from ${words(outlook.speedMPerS)} to ${words(to)}${before(search)}`,
        { from: outlook.speedMPerS, to },
      ),
      sideEffects: [
        ...movedResonances(model, outlook, to),
        reason('takes-longer', `the set takes ${durationWords(longerS)} longer`, {
          longerS: Math.round(longerS),
        }),
      ],
    },
    aheadAfter: riskAhead(after),
  };
}

function pressHarder(search: Search): OneRemedy | undefined {
  const { model, outlook, air, targetShare, by } = search;
  const limits = model.context.winder.limits.nipLoadNPerM;
  if (limits === undefined) return undefined;
  const atEnd = withSpeed(air.pointAt(outlook.setEndDiameterM), outlook.speedMPerS);
  const found = nipLoadForMargin(atEnd, { marginRatio: 1 - targetShare, ...limits });
  if (found.kind !== 'change') return undefined;
  const { from, to } = found;
  const criticalAt = (diameterM: number): number | null =>
    criticalSpeed(withLoad(air.pointAt(diameterM), to)) ?? null;
  const slowness = criticalCurve(criticalAt, outlook.diameterM, outlook.setEndDiameterM);
  const words = (load: number): string => figure('nipLoad', load, model.display);
  return {
    remedy: {
      setPoint: 'nipLoad',
      from,
      to,
      ...by,
      because: reason(
        'press-harder',
        `raise the nip load from ${words(from)} to ${words(to)}${before(search)}`,
        { from, to },
      ),
      sideEffects: [reason('tighter', 'the roll is wound tighter; soft webs may be crushed')],
    },
    aheadAfter: riskAhead({
      ...outlook,
      speedShareAt: (diameterM) => outlook.speedMPerS * slowness(diameterM),
    }),
  };
}

/** Harmonics of the roll's rotation meet the nip's natural frequency at diameters that go with the speed: a slower web brings them nearer. */
function movedResonances(model: StationModel, outlook: Outlook, toMPerS: number): Reason[] {
  const frequencyHz = model.context.station.nip?.naturalFrequencyHz;
  if (frequencyHz === undefined) return [];
  const at = (speedMPerS: number): ReadonlyMap<number, number> =>
    new Map(
      resonanceDiameters({
        speedMPerS,
        naturalFrequencyHz: frequencyHz,
        fromDiameterM: outlook.diameterM,
        toDiameterM: outlook.setEndDiameterM,
      }).map(({ order, diameterM }) => [order, diameterM]),
    );
  const words = (diameterM: number | undefined): string =>
    diameterM === undefined ? 'outside this roll' : figure('diameter', diameterM, model.display);
  const [before, after] = [at(outlook.speedMPerS), at(toMPerS)];
  const orders = [...new Set([...before.keys(), ...after.keys()])].sort((a, b) => a - b).slice(0, 3);
  return orders.map((order) =>
    reason(
      'resonance-moves',
      `the resonance of order ${order} of the nip moves from ${words(before.get(order))} to ${words(after.get(order))}`,
      { order },
    ),
  );
}

function withSpeed(point: AirPoint, speedMPerS: number): AirPoint {
  return { ...point, running: { ...point.running, speedMPerS } };
}

function withLoad(point: AirPoint, loadNPerM: number): AirPoint {
  return { ...point, nip: point.nip === null ? null : { ...point.nip, loadNPerM } };
}

/** ` before 211 mm`; ` now` where the time to act is over. */
function before({ model, outlook, by }: Search): string {
  if (by.byDiameterM === null || by.byDiameterM <= outlook.diameterM) return ' now';
  return ` before ${figure('diameter', by.byDiameterM, model.display)}`;
}

/** What the other set points could do for the same target at the end of the set, and why those that cannot help cannot. */
function otherSetPoints(
  { model, outlook, air, targetShare }: Search,
  chosen: Remedy['setPoint'] | undefined,
): Alternative[] {
  const { nipLoadNPerM, speedMPerS, tensionNPerM } = model.context.winder.limits;
  const atEnd = withSpeed(air.pointAt(outlook.setEndDiameterM), outlook.speedMPerS);
  const limits = { speedMPerS, tensionNPerM, ...(nipLoadNPerM === undefined ? {} : { nipLoadNPerM }) };
  return remedies(atEnd, 1 - targetShare, limits)
    .filter(({ setPoint }) => setPoint !== chosen)
    .map((found): Alternative =>
      found.kind === 'change'
        ? {
            setPoint: found.setPoint,
            canHelp: true,
            from: found.from,
            to: found.to,
            because: found.because,
            sideEffects: found.sideEffects,
          }
        : {
            setPoint: found.setPoint,
            canHelp: false,
            from: null,
            to: null,
            because: found.because,
            sideEffects: [],
          },
    );
}

function durationWords(durationS: number): string {
  return durationS < 90 ? `${Math.max(1, Math.round(durationS))} s` : `${Math.round(durationS / 60)} min`;
}

/** Down to what a person sets on a panel: 5 m/min, or 10 ft/min. */
function roundedDown(speedMPerS: number, display: 'metric' | 'us'): number {
  const stepMPerS = display === 'metric' ? 5 / 60 : (10 * 0.3048) / 60;
  return Math.floor(speedMPerS / stepMPerS) * stepMPerS;
}
