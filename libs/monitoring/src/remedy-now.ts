import {
  type AirPoint,
  criticalSpeedByDiameter,
  type RankedRemedy,
  remediesAt,
  type RemedyPoint,
  remedyPoint,
} from '@edge-margin/air-film';
import { type Reason, reason } from '@edge-margin/units';
import { resonanceDiameters } from '@edge-margin/vibration';
import type { AirOutlook } from './air-now.js';
import type { Alternative, Forecast, Remedy, RiskAtDiameter } from './assessment.js';
import { bandDeviations, deviationsAt, instantAt, type Outlook, riskAhead } from './boundary-ahead.js';
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
  const z = deviationsAt(outlook.riskLimit) - bandDeviations;
  const targetShare = 1 / (1 - z * outlook.shareUncertaintyRatio);
  const by = { byDiameterM: forecast.actBy?.diameterM ?? null, byMs: forecast.actBy?.atMs ?? null };
  const atEnd = remedyPoint(withSpeed(air.pointAt(outlook.setEndDiameterM), outlook.speedMPerS));
  const search: Search = { model, outlook, air, atEnd, targetShare, by };
  const slower = slowDown(search);
  const others = otherSetPoints(search, slower === undefined ? undefined : 'speed');
  const chosen = slower ?? pressHarder(search, others) ?? none;
  const setPoint = chosen.remedy?.setPoint;
  return {
    ...chosen,
    alternatives: others.filter((other) => other.setPoint !== setPoint).map(alternativeOf),
  };
}

interface Search {
  readonly model: StationModel;
  readonly outlook: Outlook;
  readonly air: AirOutlook;
  /** The end of the set at the speed of the forecast. */
  readonly atEnd: RemedyPoint;
  /** Share of the critical speed that may be used at the end of the set. */
  readonly targetShare: number;
  readonly by: By;
}

type By = Pick<Remedy, 'byDiameterM' | 'byMs'>;

function slowDown(search: Search): OneRemedy | undefined {
  const { model, outlook, atEnd, targetShare, by } = search;
  if (atEnd.criticalSpeedMPerS === undefined) return undefined;
  const to = roundedDown(atEnd.criticalSpeedMPerS * targetShare, model.display);
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
  const resonances = movedResonances(model, outlook, to);
  return {
    remedy: {
      setPoint: 'speed',
      from: outlook.speedMPerS,
      to,
      ...by,
      because: reason(
        'slow-down',
        `slow from ${words(outlook.speedMPerS)} to ${words(to)}${before(search)}`,
        { fromMPerS: outlook.speedMPerS, toMPerS: to, ...diameterOf(search) },
      ),
      sideEffects: [
        ...(resonances.length > 0 ? resonances : bounceAtSpeed(model, outlook.speedMPerS, to)),
        reason('takes-longer', `the set takes ${durationWords(longerS)} longer`, {
          longerS: Math.round(longerS),
        }),
      ],
    },
    aheadAfter: riskAhead(after),
  };
}

function pressHarder(search: Search, others: readonly RankedRemedy[]): OneRemedy | undefined {
  const { model, outlook, air, by } = search;
  // Without rated limits nobody can say that more load is within them.
  if (model.context.winder.limits.nipLoadNPerM === undefined) return undefined;
  const found = others.find((other) => other.setPoint === 'nipLoad');
  if (found?.kind !== 'change') return undefined;
  const { from, to } = found;
  const criticalAt = criticalSpeedByDiameter(withLoad(air.pointAt(outlook.diameterM), to));
  const slowness = criticalCurve(
    (diameterM) => criticalAt(diameterM) ?? null,
    outlook.diameterM,
    outlook.setEndDiameterM,
  );
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
        { fromNPerM: from, toNPerM: to, ...diameterOf(search) },
      ),
      sideEffects: [
        reason('tighter', 'the roll is wound tighter; soft webs may be crushed'),
        ...bounceUnderLoad(model, from, to),
      ],
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
      {
        order,
        ...(before.has(order) ? { fromDiameterM: before.get(order) ?? 0 } : {}),
        ...(after.has(order) ? { toDiameterM: after.get(order) ?? 0 } : {}),
      },
    ),
  );
}

/** More closing force is more to be overcome before contact is lost: the inertia force that the nip bears grows in proportion (own derivation from `N = F + m a`). */
function bounceUnderLoad(model: StationModel, fromNPerM: number, toNPerM: number): Reason[] {
  const { nip } = model.context.station;
  // A static force that the plant file states does not follow the set point.
  if (nip === null || nip.staticForcePerEndN !== undefined || fromNPerM <= 0) return [];
  const changeRatio = toNPerM / fromNPerM - 1;
  const more = changeRatio >= 0 ? 'more' : 'less';
  const text = `the nip loses contact only at ${figure('ratio', Math.abs(changeRatio), model.display)} ${more} inertia force`;
  return [reason('contact-loss-moves', text, { changeRatio })];
}

/** The force of an eccentricity goes with the square of the speed (`m e w^2`), away from resonances. */
function bounceAtSpeed(model: StationModel, fromMPerS: number, toMPerS: number): Reason[] {
  if (model.context.station.nip === null || fromMPerS <= 0) return [];
  const forceRatio = (toMPerS / fromMPerS) ** 2;
  const text = `away from resonances the nip bounces with ${figure('ratio', forceRatio, model.display)} of the force`;
  return [reason('bounce-moves', text, { forceRatio })];
}

function diameterOf({ by }: Search): Reason['params'] {
  return by.byDiameterM === null ? {} : { byDiameterM: by.byDiameterM };
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

/** What the set points could do for the same target at the end of the set, and why those that cannot help cannot; without the one that is chosen. */
function otherSetPoints(
  { model, outlook, atEnd, targetShare }: Search,
  chosen: 'speed' | undefined,
): readonly RankedRemedy[] {
  const { nipLoadNPerM, speedMPerS, tensionNPerM } = model.context.winder.limits;
  const limits = { speedMPerS, tensionNPerM, ...(nipLoadNPerM === undefined ? {} : { nipLoadNPerM }) };
  const otherMechanisms = (change: {
    readonly setPoint: string;
    readonly from: number;
    readonly to: number;
  }) => {
    if (change.setPoint === 'nipLoad') return bounceUnderLoad(model, change.from, change.to);
    if (change.setPoint !== 'speed') return [];
    return [...movedResonances(model, outlook, change.to), ...bounceAtSpeed(model, change.from, change.to)];
  };
  return remediesAt(atEnd, 1 - targetShare, limits, { otherMechanisms, leaveOut: chosen });
}

function alternativeOf(found: RankedRemedy): Alternative {
  const { setPoint, because } = found;
  return found.kind === 'change'
    ? { setPoint, canHelp: true, from: found.from, to: found.to, because, sideEffects: found.sideEffects }
    : { setPoint, canHelp: false, from: null, to: null, because, sideEffects: [] };
}

function durationWords(durationS: number): string {
  return durationS < 90 ? `${Math.max(1, Math.round(durationS))} s` : `${Math.round(durationS / 60)} min`;
}

/** Down to what a person sets on a panel: 5 m/min, or 10 ft/min. */
function roundedDown(speedMPerS: number, display: 'metric' | 'us'): number {
  const stepMPerS = display === 'metric' ? 5 / 60 : (10 * 0.3048) / 60;
  return Math.floor(speedMPerS / stepMPerS) * stepMPerS;
}
