import { drawRoll, type FinishedRoll, openScenario, rollEdgesOf } from '@edge-margin/simulator';
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { readPlant } from '@edge-margin/plant';
import { describe, expect, it } from 'vitest';
import { plantFor } from './plant-for.js';
import { type ReportChapter, reportPage } from './report-page.js';
import { serviceLines, stationService } from './service-summary.js';
import { stationTruths, truthLines } from './truth-summary.js';
import { verdict } from './verdict.js';
import { watchScenario } from './watch-scenario.js';

/** Scenario, seed, and how long it takes until its first rolls are finished (s). */
const CASES = [
  ['all-well', 1, 190],
  ['film-over-critical', 1, 110],
  ['film-wander', 7, 125],
  ['paper-near-limit', 1, 230],
  ['newsprint-porous', 1, 150],
  ['narrow-slits', 1, 100],
  ['tissue', 1, 110],
  ['foil', 1, 100],
  ['nip-lifted-by-bounce', 1, 120],
  ['rider-skipping', 1, 300],
  ['knife-one', 1, 125],
  ['knife-two', 1, 125],
  ['upstream-roller', 1, 125],
  ['felt-mark', 1, 135],
  ['unwinding-roll', 1, 190],
  ['event-rings', 1, 165],
  ['sensor-faults', 1, 560],
] as const;

const here = fileURLToPath(new URL('.', import.meta.url));
const scenarios = fileURLToPath(new URL('../../apps/simulator/scenarios/', import.meta.url));
const REGEN = process.env['REGEN'] === '1';
const PICTURES = 'winder-report';
const MOST_PICTURES = 3;

function scenarioOf(name: string, seed: number) {
  const opened = openScenario(`${scenarios}${name}.yaml`, seed);
  if (!opened.ok) throw new Error(opened.lines.join('\n'));
  const { scenario } = opened;
  return { ...scenario, truth: { ...scenario.truth, edgesEveryWraps: 1 } };
}

/** Paragraphs of the comment that opens the file; indented lines stay a list. */
function storyOf(name: string): string[] {
  const text = readFileSync(`${scenarios}${name}.yaml`, 'utf8').split(/^[^#]/m)[0] ?? '';
  const paragraphs = text
    .split('\n')
    .map((line) => line.replace(/^# ?/, ''))
    .join('\n')
    .split(/\n\s*\n|\n(?=What )/);
  return paragraphs
    .map((one) =>
      one.startsWith('  ') ? one.replace(/^ +/gm, '- ').trimEnd() : one.replaceAll('\n', ' ').trim(),
    )
    .filter((one) => one !== '');
}

/** Of rolls side by side that came out alike only the first is shown. */
function unlike(rolls: readonly FinishedRoll[]): readonly FinishedRoll[] {
  const look = ({ roll }: FinishedRoll): string => JSON.stringify([roll.edgeRmsM, roll.roughBands]);
  return rolls.filter((roll, i) => rolls.findIndex((other) => look(other) === look(roll)) === i);
}

const pictures = new Map<string, string>();
const chapters: ReportChapter[] = [];

describe('the report on simulated winders', () => {
  it.each(CASES)(
    '%s: a plant file that the service reads, a finished roll, and a verdict on every station',
    (name, seed, durationS) => {
      const scenario = scenarioOf(name, seed);
      const reading = readPlant(plantFor(scenario));
      expect(reading.ok ? [] : reading.problems).toEqual([]);
      const watched = watchScenario(scenario, seed, durationS);
      const truths = stationTruths(watched);
      expect(truths.length).toBe(scenario.winders.flatMap(({ stations }) => stations).length);
      const rolls = truths.flatMap((truth) => unlike(truth.rolls)).slice(0, MOST_PICTURES);
      const shown = rolls.map((roll) => {
        const edges = rollEdgesOf(roll, scenario.truth.roughEdgeM);
        const file = `${PICTURES}/${name}-${edges.title.replaceAll(/[^a-z0-9]+/g, '-')}.svg`;
        pictures.set(file, drawRoll(edges));
        return { file, title: edges.title };
      });
      const stations = truths.map((truth) => {
        const service = stationService(watched.effects, truth);
        return {
          key: truth.key,
          truth: truthLines(truth),
          service: serviceLines(service),
          verdict: verdict(truth, service),
        };
      });
      for (const { verdict: judged } of stations)
        expect(judged.right.length + judged.wrong.length).toBeGreaterThan(0);
      chapters.push({
        file: `${name}.yaml`,
        seed,
        name: scenario.name,
        story: storyOf(name),
        pictures: shown,
        stations,
      });
    },
  );

  it('is the page that is committed, pictures included (REGEN=1 writes both anew)', () => {
    const page = reportPage(chapters);
    if (REGEN) {
      rmSync(`${here}${PICTURES}`, { recursive: true, force: true });
      mkdirSync(`${here}${PICTURES}`, { recursive: true });
      writeFileSync(`${here}winder-report.md`, page);
      for (const [file, svg] of pictures) writeFileSync(`${here}${file}`, svg);
    }
    expect(readFileSync(`${here}winder-report.md`, 'utf8')).toBe(page);
    for (const [file, svg] of pictures) expect(readFileSync(`${here}${file}`, 'utf8'), file).toBe(svg);
    expect(readdirSync(`${here}${PICTURES}`).length).toBe(pictures.size);
  });
});
