import type { Verdict } from './verdict.js';

export interface ReportStation {
  readonly key: string;
  readonly truth: readonly string[];
  readonly service: readonly string[];
  readonly verdict: Verdict;
}

export interface ReportChapter {
  readonly file: string;
  readonly seed: number;
  readonly name: string;
  /** Paragraphs of the scenario's first comment. */
  readonly story: readonly string[];
  readonly pictures: readonly { readonly file: string; readonly title: string }[];
  readonly stations: readonly ReportStation[];
}

/** The report as Markdown. */
export function reportPage(chapters: readonly ReportChapter[]): string {
  const wrong = chapters.flatMap((chapter) =>
    chapter.stations.flatMap(({ key, verdict }) =>
      verdict.wrong.map((text) => `- ${chapter.name}, ${key}: ${text}.`),
    ),
  );
  return [
    '# What the service makes of simulated rolls',
    '',
    'Every figure here comes from the simulator, an independent winder with a truth of its own; plants, grades and names are invented. The service got',
    'the messages only, and a plant file with what a plant would know: nominal values to two digits, no hidden bias. Every grade is activated with a',
    'boundary factor of 1, as if twelve rolls had been rated: on a real plant a grade that nobody has calibrated runs as a silent trial. Right and',
    'wrong are judged by fixed rules (`verdict.ts`). Written by `REGEN=1 npx vitest run --config .config/vitest.config.mjs --project reports`.',
    '',
    'A picture shows a finished roll cut through its axis: core below, surface above, the two edges left and right, sideways magnified.',
    '',
    ...chapters.flatMap(chapterLines),
    '## Where the service is wrong today',
    '',
    ...(wrong.length === 0 ? ['Nowhere in these scenarios.'] : wrong),
    '',
  ].join('\n');
}

function chapterLines(chapter: ReportChapter): readonly string[] {
  return [
    `## ${chapter.name}`,
    '',
    `\`${chapter.file}\`, seed ${chapter.seed}`,
    '',
    ...chapter.story.flatMap((paragraph) => [paragraph, '']),
    ...chapter.pictures.flatMap(({ file, title }) => [`![${title}, simulated](${file})`, '']),
    ...chapter.stations.flatMap(stationLines),
  ];
}

function stationLines({ key, truth, service, verdict }: ReportStation): readonly string[] {
  const count = Math.max(truth.length, service.length);
  const rows = Array.from({ length: count }, (_, i) => `| ${cell(truth[i])} | ${cell(service[i])} |`);
  return [
    `| ${key}: what really happened | what the service made of it |`,
    '| --- | --- |',
    ...rows,
    '',
    ...verdict.right.map((text) => `- right: ${text}`),
    ...verdict.wrong.map((text) => `- **wrong**: ${text}`),
    '',
  ];
}

function cell(text: string | undefined): string {
  return (text ?? '').replaceAll('|', '\\|');
}
