import { type GatewayMoment, passOn, type Report } from '../instruments/gateway.js';
import type { Message } from '../instruments/message.js';
import { stationReports, type StationTruth } from '../instruments/station-reports.js';
import { ENDS } from './ends.js';
import type { NipSummary } from './nip-summary.js';
import type { Acting } from './set-points.js';
import type { Moment, StationModel } from './station-model.js';
import type { StationState } from './station-state.js';
import type { WaveBlock } from './wave-block.js';

/** Lets the instruments look and the gateways send; what is seen belongs to the end of the period. */
export function reportStation(
  model: StationModel,
  state: StationState,
  acting: Acting,
  nipSeen: { readonly summary: NipSummary; readonly block: WaveBlock | null },
  now: Moment,
): { readonly state: StationState; readonly messages: readonly Message[] } {
  const { station, scenario } = model;
  const periodS = scenario.samplePeriodS;
  const periodMs = Math.round(periodS * 1000);
  const end = { atS: now.atS + periodS, periodS };
  const seen = whatIsSeen(model, state, acting, nipSeen.summary);
  const reports = stationReports(station, model.grade.name, model.topics, state.instruments, seen, end);
  const atMs = now.atMs + periodMs;
  const moment: GatewayMoment = { atMs, atS: end.atS, untilMs: atMs + periodMs };
  const drive = passOn(station.gateways.drive, state.gateways.drive, reports.drive, moment);
  const nip = passOn(
    station.gateways.nip,
    state.gateways.nip,
    [...reports.nip, ...waveReports(model, nipSeen.block)],
    moment,
  );
  return {
    state: { ...state, instruments: reports.states, gateways: { drive: drive.state, nip: nip.state } },
    messages: [...drive.messages, ...nip.messages],
  };
}

/** A full block as one message an end: time of its first sample, m/s2 towards the roll, kN/m of the cells. */
function waveReports({ topics, station }: StationModel, block: WaveBlock | null): readonly Report[] {
  if (block === null) return [];
  const halfM = station.widthM / 2;
  return ENDS.map((end, i) => ({
    topic: topics.wave[end],
    retain: false,
    payload: (_, clockMs) =>
      JSON.stringify({
        t: clockMs - Math.round(block.ageS * 1000),
        rateHz: block.rateHz,
        acceleration: block.accelerationMPerS2[i as 0 | 1].map(short),
        load: block.cellN?.[i as 0 | 1].map((n) => short(n / halfM / 1000)),
      }),
  }));
}

/** How much the place under the diameter gauge stands out: its strip, its lane. */
function gaugedM(
  { gaugeAtM }: StationModel['station'],
  strips: StationModel['strips'],
  { roll }: StationState,
): number {
  if (gaugeAtM === undefined) return 0;
  let fromM = 0;
  for (const [s, plan] of strips.entries()) {
    const strip = roll.strips[s];
    if (strip !== undefined && (gaugeAtM < fromM + plan.widthM || s === strips.length - 1)) {
      const lane = plan.lanes.findIndex(({ toM }) => gaugeAtM - fromM < toM);
      return strip.radiusM - roll.radiusM + (strip.laneHeightsM[lane] ?? 0);
    }
    fromM += plan.widthM;
  }
  return 0;
}

function short(value: number): number {
  return Number(value.toPrecision(5));
}

function whatIsSeen(
  { station, strips }: StationModel,
  state: StationState,
  acting: Acting,
  nip: NipSummary,
): StationTruth {
  const isWinding = state.line.phase !== 'set-change';
  const halfM = station.widthM / 2;
  return {
    speedMPerS: state.speedMPerS,
    diameterM: 2 * (state.roll.radiusM + gaugedM(station, strips, state)),
    tensionN: isWinding ? acting.tensionNPerM * station.widthM : 0,
    isWinding,
    loadNPerM: [nip.cellMeanN[0] / halfM, nip.cellMeanN[1] / halfM],
    peakTowardsMPerS2: nip.peakTowardsMPerS2,
    swingRatio: nip.cellSwingRatio,
    coreTurns: state.roll.turns,
  };
}
