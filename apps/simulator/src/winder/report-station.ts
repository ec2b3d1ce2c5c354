import { type GatewayMoment, passOn } from '../instruments/gateway.js';
import type { Message } from '../instruments/message.js';
import { stationReports, type StationTruth } from '../instruments/station-reports.js';
import type { NipSummary } from './nip-summary.js';
import type { Acting } from './set-points.js';
import type { Moment, StationModel } from './station-model.js';
import type { StationState } from './station-state.js';

/** Lets the instruments look and the gateways send; what is seen belongs to the end of the period. */
export function reportStation(
  model: StationModel,
  state: StationState,
  acting: Acting,
  summary: NipSummary,
  now: Moment,
): { readonly state: StationState; readonly messages: readonly Message[] } {
  const { station, scenario } = model;
  const periodS = scenario.samplePeriodS;
  const periodMs = Math.round(periodS * 1000);
  const end = { atS: now.atS + periodS, periodS };
  const seen = whatIsSeen(model, state, acting, summary);
  const reports = stationReports(station, model.grade.name, model.topics, state.instruments, seen, end);
  const atMs = now.atMs + periodMs;
  const moment: GatewayMoment = { atMs, atS: end.atS, untilMs: atMs + periodMs };
  const drive = passOn(station.gateways.drive, state.gateways.drive, reports.drive, moment);
  const nip = passOn(station.gateways.nip, state.gateways.nip, reports.nip, moment);
  return {
    state: { ...state, instruments: reports.states, gateways: { drive: drive.state, nip: nip.state } },
    messages: [...drive.messages, ...nip.messages],
  };
}

function whatIsSeen(
  { station }: StationModel,
  state: StationState,
  acting: Acting,
  nip: NipSummary,
): StationTruth {
  const isWinding = state.line.phase !== 'set-change';
  const halfM = station.widthM / 2;
  return {
    speedMPerS: state.speedMPerS,
    diameterM: 2 * state.roll.radiusM,
    tensionN: isWinding ? acting.tensionNPerM * station.widthM : 0,
    isWinding,
    loadNPerM: [nip.cellMeanN[0] / halfM, nip.cellMeanN[1] / halfM],
    peakTowardsMPerS2: nip.peakTowardsMPerS2,
    swingRatio: nip.cellSwingRatio,
  };
}
