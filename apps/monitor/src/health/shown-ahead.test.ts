import type { AlarmView } from '@edge-margin/alarms';
import { foldRow, type Monitor, restoreMonitor } from '@edge-margin/monitoring';
import type { JournalRow, NewJournalRow } from '@edge-margin/telemetry';
import { reason } from '@edge-margin/units';
import { describe, expect, it } from 'vitest';
import { showAhead } from './shown-ahead.js';

const dependencies = { textDecoder: () => '' };
const plantFile = `
plantFileVersion: 1
site: { id: s, name: S }
areas: [{ id: a, name: A, lines: [{ id: l, name: L, winders: [{ id: w, name: W,
  limits: { speedMPerS: { min: 0, max: 12 }, tensionNPerM: { min: 40, max: 300 }, nipLoadNPerM: { min: 50, max: 800 }, diameterM: { max: 0.8 } },
  stations: [{ id: a, name: A, coreDiameterM: 0.152, rolls: [{ id: r, widthM: 1.2 }], defaultGrade: g, nip: null }] }] }] }]
grades:
  - { id: g, name: Test film, caliperM: 100.0e-6, combinedRoughnessM: 0.5e-6, permeanceMPerPaS: 0, grammageKgPerM2: 0.09, setEndDiameterM: 0.3, activated: false }
sources:
  - topic: m/{winder}/{station}
    signals: [{ signal: speed, pointer: /v, expectedPeriodS: 1 }, { signal: diameter, pointer: /d, expectedPeriodS: 1 }, { signal: tension, pointer: /f, expectedPeriodS: 1 }]
`;

/** A journal and a fold that stand still when the test says so. */
function underTest() {
  const rows: JournalRow[] = [];
  const shown: AlarmView[] = [];
  let nowMs = 1_790_000_000_000;
  let folded = 0;
  let monitor: Monitor = restoreMonitor(new Map(), dependencies);
  let failure: Error | undefined;
  /** How far the disk is behind what was appended. */
  let notOnDisk = 0;
  const append = (row: NewJournalRow): number => rows.push({ ...row, position: rows.length + 1 });
  const foldAll = (): void => {
    for (const row of rows.slice(folded)) monitor = foldRow(monitor, row, dependencies).monitor;
    folded = rows.length;
  };
  append({ kind: 'config', arrivedAtMs: nowMs, plantFile, revision: 'r1' });
  foldAll();
  const ahead = showAhead({
    journal: { append, lastPosition: () => rows.length, durable: () => rows.length - notOnDisk },
    pipeline: {
      get monitor() {
        return monitor;
      },
      get backlog() {
        return rows.length - folded;
      },
      get failure() {
        return failure;
      },
    },
    show: (alarm) => shown.push(alarm),
    now: () => nowMs,
  });
  return {
    rows,
    foldAll,
    shown: () => shown.map(({ alarmKey, state }) => `${alarmKey} ${state}`),
    shownViews: shown,
    journalFails: (fails: boolean) => (notOnDisk = fails ? 1 : 0),
    storeFails: (fails: boolean) => (failure = fails ? new Error('disk full') : undefined),
    report: (trouble: 'store-failing' | 'disk-space', stage: 'reached' | null): void =>
      ahead.report({ trouble, stage, because: reason('seen', 'it was seen') }),
    look: (): void => {
      nowMs += 2000;
      ahead.look();
    },
  };
}

describe('alarms of reports that do not come to their end', () => {
  it('are shown at the next look, once, as they will be recorded', () => {
    const { report, look, shown, shownViews, rows, foldAll } = underTest();
    report('store-failing', 'reached');
    look();
    look();
    expect(shown()).toEqual(['service.s.store-failing UNACK']);
    expect(shownViews[0]?.occurrenceId).toBe(`service.s.store-failing@${rows[1]?.arrivedAtMs}`);
    foldAll();
    look();
    expect(shown()).toHaveLength(1);
  });

  it('are not shown where the report was folded meanwhile: then they are there already', () => {
    const { report, look, shown, foldAll } = underTest();
    report('disk-space', 'reached');
    foldAll();
    look();
    expect(shown()).toEqual([]);
  });

  it('are shown where the report is folded and the store does not take what came of it', () => {
    const { report, look, shown, foldAll, storeFails } = underTest();
    report('disk-space', 'reached');
    foldAll();
    storeFails(true);
    look();
    expect(shown()).toEqual(['service.s.disk-space UNACK']);
    storeFails(false);
    look();
    expect(shown()).toHaveLength(1);
  });

  it('are shown where the report is folded and is not on disk', () => {
    const { report, look, shown, foldAll, journalFails } = underTest();
    report('disk-space', 'reached');
    foldAll();
    journalFails(true);
    look();
    expect(shown()).toEqual(['service.s.disk-space UNACK']);
    journalFails(false);
    look();
    expect(shown()).toHaveLength(1);
  });

  it('are shown cleared too, while nothing can be recorded', () => {
    const { report, look, shown } = underTest();
    report('disk-space', 'reached');
    look();
    report('disk-space', null);
    look();
    expect(shown()).toEqual(['service.s.disk-space UNACK', 'service.s.disk-space RTNUN']);
  });
});
