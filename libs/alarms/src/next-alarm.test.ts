import { describe, expect, it } from 'vitest';
import type { AlarmFlags, AlarmState } from './alarm-types.js';
import { type AlarmEvent, displayedState, nextAlarm, normalFlags } from './next-alarm.js';

// Expected cells and sequences: state model of ISA-18.2 / IEC 62682 from memory, flags after OPC UA Part 9 table B.1.
// They are written out here a second time, as text, so that table and test can disagree.

const flagsOf: Record<AlarmState, AlarmFlags> = {
  NORM: { active: false, acknowledged: true },
  UNACK: { active: true, acknowledged: false },
  ACKED: { active: true, acknowledged: true },
  RTNUN: { active: false, acknowledged: false },
};

const rows = `
  from  | RAISE | CLEAR | ACK   | REALARM
  NORM  | UNACK | ·     | X     | ·
  UNACK | ·     | RTNUN | ACKED | ·
  ACKED | ·     | NORM  | ·     | UNACK
  RTNUN | UNACK | ·     | NORM  | ·`;

const cells = rows
  .trim()
  .split('\n')
  .map((line) => line.split('|').map((cell) => cell.trim()))
  .slice(1)
  .flatMap(([from, ...to]) =>
    to.map((cell, i) => ({
      from: from as AlarmState,
      event: (['RAISE', 'CLEAR', 'ACK', 'REALARM'] as const)[i]!,
      cell,
    })),
  );

describe('one event in each state', () => {
  it('has a row for each state and a cell for each event', () => {
    expect(cells).toHaveLength(16);
  });

  it.each(cells)('$from, $event: $cell', ({ from, event, cell }) => {
    const { flags, displayed, outcome } = nextAlarm(flagsOf[from], event);
    const stays = cell === '·' || cell === 'X';
    expect(displayed).toBe(stays ? from : cell);
    expect(flags).toEqual(flagsOf[displayed]);
    expect(outcome).toBe(cell === '·' ? 'unchanged' : cell === 'X' ? 'refused' : 'changed');
  });

  it.each(Object.entries(flagsOf))('shows %s for its flags', (state, flags) => {
    expect(displayedState(flags)).toBe(state);
  });
});

describe('sequences of events', () => {
  // `!`: the event was refused. The last column says whether the alarm stays in the summary: active or not acknowledged.
  const vectors: readonly [string, string, string, boolean][] = [
    ['V01', 'RAISE ACK CLEAR', 'UNACK ACKED NORM', false],
    ['V02', 'RAISE CLEAR ACK', 'UNACK RTNUN NORM', false],
    ['V04', 'RAISE RAISE', 'UNACK UNACK', true],
    ['V05', 'CLEAR', 'NORM', false],
    ['V06', 'ACK', 'NORM!', false],
    ['V07', 'RAISE ACK ACK', 'UNACK ACKED ACKED', true],
    ['V08', 'RAISE ACK REALARM ACK', 'UNACK ACKED UNACK ACKED', true],
    [
      'raised again before it was acknowledged',
      'RAISE CLEAR RAISE ACK CLEAR',
      'UNACK RTNUN UNACK ACKED NORM',
      false,
    ],
  ];

  it.each(vectors)('%s: %s', (_, events, expected, retained) => {
    let flags = normalFlags;
    const seen: string[] = [];
    for (const event of events.split(' ') as AlarmEvent[]) {
      const step = nextAlarm(flags, event);
      flags = JSON.parse(JSON.stringify(step.flags)) as AlarmFlags;
      seen.push(step.displayed + (step.outcome === 'refused' ? '!' : ''));
    }
    expect(seen.join(' ')).toBe(expected);
    expect(flags.active || !flags.acknowledged).toBe(retained);
  });

  it('passes through the active, acknowledged and retained flags that OPC UA Part 9 table B.1 gives (without its confirm step)', () => {
    const events: AlarmEvent[] = ['RAISE', 'ACK', 'CLEAR', 'RAISE', 'CLEAR', 'ACK'];
    let flags = normalFlags;
    const seen = [flags, ...events.map((event) => (flags = nextAlarm(flags, event).flags))];
    const word = ({ active, acknowledged }: AlarmFlags) =>
      [active, acknowledged, active || !acknowledged].map((flag) => (flag ? 'T' : 'F')).join('');
    expect(seen.map(word)).toEqual(['FTF', 'TFT', 'TTT', 'FTF', 'TFT', 'FFT', 'FTF']);
  });
});
