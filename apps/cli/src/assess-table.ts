import type { AssessAnswer } from '@edge-margin/air-film';

/** An answer with the line of the input on which its operating point stands; without where the input is one point. */
export interface LineAnswer extends AssessAnswer {
  readonly line?: number;
}

const columns: readonly { readonly head: string; readonly cell: (answer: LineAnswer) => string }[] = [
  { head: 'line', cell: ({ line }) => (line === undefined ? '' : String(line)) },
  { head: 'film um', cell: ({ airFilm }) => (airFilm.woundInM * 1e6).toFixed(2) },
  { head: 'film/3sigma', cell: ({ filmRatio }) => filmRatio.toFixed(2) },
  { head: 'Vcrit m/s', cell: ({ criticalSpeedMPerS }) => criticalSpeedMPerS?.toFixed(2) ?? '-' },
  { head: '+-', cell: ({ uncertainty }) => uncertainty.criticalSpeedMPerS?.toFixed(2) ?? '-' },
  { head: 'margin %', cell: ({ marginRatio }) => percent(marginRatio) },
  { head: '+-', cell: ({ uncertainty }) => percent(uncertainty.marginRatio) },
  { head: 'floating wraps', cell: ({ floatingWraps }) => floatingWraps.toFixed(1) },
];

const percent = (ratio: number | undefined) => (ratio === undefined ? '-' : (100 * ratio).toFixed(1));

/** Answers as a table for people, figures right-aligned, each with what it means in words; +- is one standard uncertainty. */
export function assessTable(answers: readonly LineAnswer[]): string {
  const used = answers.some(({ line }) => line !== undefined) ? columns : columns.slice(1);
  const rows = [
    used.map(({ head }) => head),
    ...answers.map((answer) => used.map(({ cell }) => cell(answer))),
  ];
  const widths = used.map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  const words = ['', ...answers.map(inWords)];
  const lines = rows.map((row, index) => {
    const figures = row.map((cell, column) => cell.padStart(widths[column] ?? 0)).join('  ');
    return `${figures}  ${words[index] ?? ''}`.trimEnd();
  });
  return `${lines.join('\n')}\n`;
}

/** What it means: the film, what is wrong with the nip, the limits of the formulas, the smallest change that restores the margin, the exchange asked for. */
function inWords(answer: LineAnswer): string {
  const smallest = answer.remedies.find(({ kind }) => kind === 'change');
  const reasons = [
    answer.because,
    ...(answer.ineffectiveNip?.because ?? []),
    answer.furtherNips,
    ...answer.extrapolated,
    smallest?.because,
    answer.exchange?.because,
  ];
  return reasons.flatMap((each) => (each === undefined ? [] : [each.text])).join('; ');
}
