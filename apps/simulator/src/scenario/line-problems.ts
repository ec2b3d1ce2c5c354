import { type Found, when } from './found.js';
import type { Line, Scenario, Winder } from './scenario-schema.js';

/** What cannot be about the one web of a winder: strips that no station winds, rolls without a web, knives that are not there. */
export function lineProblems({ winders }: Scenario): readonly Found[] {
  return winders.flatMap((winder, w) => {
    const { line } = winder;
    if (line === undefined) return [];
    return [...slitterProblems(winder, line), ...webProblems(line)].map((one) => ({
      path: ['winders', w, ...one.path],
      text: one.text,
    }));
  });
}

function slitterProblems({ stations }: Winder, { slitter }: Line): readonly Found[] {
  if (slitter === undefined)
    return when(stations.length > 1, ['line'], 'without a slitter the web can be wound by one station only');
  const at = ['line', 'slitter'] as const;
  const widthOf = (id: string): number =>
    slitter.strips.reduce((sum, strip) => sum + (strip.station === id ? strip.widthM : 0), 0);
  return [
    ...slitter.strips.flatMap(({ station }, i) =>
      when(
        !stations.some(({ id }) => id === station),
        [...at, 'strips', i, 'station'],
        `no station "${station}" at this winder`,
      ),
    ),
    ...slitter.knives.flatMap(({ number }, i) => [
      ...when(
        number > slitter.strips.length,
        [...at, 'knives', i, 'number'],
        `${slitter.strips.length} strips are cut by knives 0 to ${slitter.strips.length}`,
      ),
      ...when(
        slitter.knives.findIndex((one) => one.number === number) < i,
        [...at, 'knives', i, 'number'],
        `knife ${number} is there already`,
      ),
    ]),
    ...stations.flatMap((station, s) =>
      when(
        Math.abs(widthOf(station.id) - station.widthM) > 1e-6,
        ['stations', s, 'widthM'],
        `its strips are ${Number(widthOf(station.id).toPrecision(6))} m wide together`,
      ),
    ),
  ];
}

function webProblems({ unwind, web, programme }: Line): readonly Found[] {
  return [
    ...when(
      unwind !== undefined && unwind.coreDiameterM >= (unwind.newDiameterM ?? unwind.diameterM),
      ['line', 'unwind', 'coreDiameterM'],
      'must be smaller than the roll',
    ),
    ...when(
      unwind !== undefined && unwind.coreDiameterM >= unwind.diameterM,
      ['line', 'unwind', 'diameterM'],
      'must be larger than its core',
    ),
    ...web.lanes.flatMap((lane, i) =>
      when(lane.toM <= lane.fromM, ['line', 'web', 'lanes', i, 'toM'], 'must lie beyond fromM'),
    ),
    ...when(
      programme.threadSpeedMPerS > programme.runSpeedMPerS,
      ['line', 'programme', 'threadSpeedMPerS'],
      `faster than running, ${programme.runSpeedMPerS} m/s`,
    ),
  ];
}
