import { naturalPeriodS } from '../winder/nip-mechanics.js';
import { type Found, type Path, when } from './found.js';
import { lineProblems } from './line-problems.js';
import type { Excitation, Nip, Scenario, Station } from './scenario-schema.js';

export type { Found, Path } from './found.js';

const STEPS_A_SWING = 20; // the contact may be lost within a swing: it must be resolved
const STEPS_A_WAVE = 12;

/** What no schema of single keys can see: machines that cannot be, and time steps that could not follow them. */
export function machineProblems(scenario: Scenario): readonly Found[] {
  return [
    ...clockProblems(scenario),
    ...topicProblems(scenario),
    ...repeatedIds(scenario),
    ...lineProblems(scenario),
    ...stationProblems(scenario),
  ];
}

function clockProblems({ samplePeriodS, timeStepS }: Scenario): readonly Found[] {
  const milliseconds = samplePeriodS * 1000;
  const steps = samplePeriodS / timeStepS;
  return [
    ...when(
      !isWhole(milliseconds),
      ['samplePeriodS'],
      `a whole number of milliseconds is needed, got ${milliseconds}`,
    ),
    ...when(
      !isWhole(steps),
      ['timeStepS'],
      `samplePeriodS must hold a whole number of time steps, not ${steps}`,
    ),
  ];
}

function topicProblems({ topics }: Scenario): readonly Found[] {
  const lacks = (name: 'drive' | 'nip' | 'setEnd' | 'wave', needed: readonly string[]): readonly Found[] =>
    needed
      .filter((capture) => !topics[name].includes(capture))
      .map((capture) => ({
        path: ['topics', name],
        text: `${capture} is missing: several sources would share one topic`,
      }));
  return [
    ...lacks('drive', ['{winder}', '{station}']),
    ...lacks('nip', ['{winder}', '{station}', '{end}']),
    ...lacks('wave', ['{winder}', '{station}', '{end}']),
    ...lacks('setEnd', ['{winder}', '{station}']),
  ];
}

function repeatedIds({ winders }: Scenario): readonly Found[] {
  const again = (ids: readonly string[], path: Path): readonly Found[] =>
    ids.flatMap((id, i) => when(ids.indexOf(id) < i, [...path, i, 'id'], `"${id}" is there already`));
  return [
    ...again(
      winders.map((w) => w.id),
      ['winders'],
    ),
    ...winders.flatMap((w, i) =>
      again(
        w.stations.map((s) => s.id),
        ['winders', i, 'stations'],
      ),
    ),
  ];
}

function stationProblems(scenario: Scenario): readonly Found[] {
  return scenario.winders.flatMap((winder, w) =>
    winder.stations.flatMap((station, s) => {
      const found = [
        ...rollProblems(station, scenario),
        ...programmeProblems(station),
        ...nipProblems(station, scenario),
      ];
      return found.map((one) => ({ path: ['winders', w, 'stations', s, ...one.path], text: one.text }));
    }),
  );
}

function rollProblems(station: Station, scenario: Scenario): readonly Found[] {
  const { coreDiameterM: core, setEndDiameterM: end, firstDiameterM: first } = station;
  const outside = (diameterM: number): boolean => diameterM < core || diameterM >= end;
  return [
    ...when(!(station.grade in scenario.grades), ['grade'], `no grade "${station.grade}" under grades`),
    ...when(end <= core, ['setEndDiameterM'], `must be larger than the core, ${core} m`),
    ...when(
      first !== undefined && outside(first),
      ['firstDiameterM'],
      `must lie from ${core} m to below ${end} m`,
    ),
    ...station.gradeChanges.flatMap(({ grade }, i) =>
      when(!(grade in scenario.grades), ['gradeChanges', i, 'grade'], `no grade "${grade}" under grades`),
    ),
    ...recipeProblems(station),
    ...station.operator.flatMap(({ at }, i) =>
      'diameterM' in at
        ? when(
            outside(at.diameterM),
            ['operator', i, 'at', 'diameterM'],
            `must lie from ${core} m to below ${end} m`,
          )
        : [],
    ),
  ];
}

/** Diameters of a recipe must rise. */
function recipeProblems({ tension, nip }: Station): readonly Found[] {
  const falls = (
    points: readonly { readonly diameterM: number }[] | undefined,
    path: Path,
  ): readonly Found[] =>
    (points ?? []).flatMap((point, i) =>
      when(
        i > 0 && point.diameterM <= (points?.[i - 1]?.diameterM ?? 0),
        [...path, i, 'diameterM'],
        'must be larger than the one before',
      ),
    );
  return [...falls(tension.recipe, ['tension', 'recipe']), ...falls(nip?.recipe, ['nip', 'recipe'])];
}

function programmeProblems({ programme: p, ...station }: Station): readonly Found[] {
  return [
    ...when(
      p.threadSpeedMPerS > p.runSpeedMPerS,
      ['programme', 'threadSpeedMPerS'],
      `faster than running, ${p.runSpeedMPerS} m/s`,
    ),
    ...when(
      station.nip !== null && station.nip.closesBeforeStartS > p.setChangeS / 2,
      ['nip', 'closesBeforeStartS'],
      `at most half of setChangeS, ${p.setChangeS / 2} s: the new core must be in place`,
    ),
  ];
}

function nipProblems(station: Station, scenario: Scenario): readonly Found[] {
  const { nip } = station;
  if (nip === null) return [];
  const shortest = naturalPeriodS(nip, station.widthM);
  const allowed = shortest / STEPS_A_SWING;
  const indentationM = nip.loadNPerM / nip.stiffnessNPerM2;
  return [
    ...when(
      scenario.timeStepS > allowed,
      ['nip', 'stiffnessNPerM2'],
      `timeStepS ${scenario.timeStepS} s is too coarse for a roller that swings in ${shortest.toPrecision(3)} s: at most ${allowed.toPrecision(3)} s`,
    ),
    ...when(
      indentationM > nip.rollerDiameterM / 10,
      ['nip', 'loadNPerM'],
      `presses ${(indentationM * 1000).toPrecision(3)} mm into the cover, over a tenth of the roller's diameter`,
    ),
    ...when(
      nip.unbalance !== undefined && scenario.timeStepS * rollerHz(nip, station) > 1 / STEPS_A_WAVE,
      ['nip', 'unbalance'],
      `timeStepS ${scenario.timeStepS} s is too coarse for a roller that turns at ${rollerHz(nip, station).toPrecision(3)} Hz`,
    ),
    ...when(
      nip.wave !== undefined && nip.wave.lengthS > nip.wave.everyS,
      ['nip', 'wave', 'lengthS'],
      'a block must be over when the next one begins',
    ),
    ...nip.excitation.flatMap((one, i) => {
      const hz = highestHz(one, station);
      return when(
        scenario.timeStepS * hz > 1 / STEPS_A_WAVE,
        ['nip', 'excitation', i],
        `timeStepS ${scenario.timeStepS} s is too coarse for ${hz.toPrecision(3)} Hz: at most ${(1 / STEPS_A_WAVE / hz).toPrecision(3)} s`,
      );
    }),
  ];
}

function rollerHz(nip: Nip, { programme }: Station): number {
  return programme.runSpeedMPerS / (3.14 * nip.rollerDiameterM);
}

function highestHz(one: Excitation, { programme, coreDiameterM }: Station): number {
  if ('frequencyHz' in one) return one.frequencyHz;
  const turns = programme.runSpeedMPerS / 3.14;
  return 'order' in one ? (one.order * turns) / coreDiameterM : turns / one.rollerDiameterM;
}

function isWhole(x: number): boolean {
  return Math.abs(x - Math.round(x)) < 1e-6;
}
