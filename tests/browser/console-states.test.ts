import type { AlarmTransition } from '@edge-margin/alarms';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { alarmFixture, fixtureNowMs } from '../../apps/console/src/fixtures/station-fixtures.js';
import { reason } from '../../libs/units/src/index.js';
import { openPage, startBrowser } from './console-browser.js';
import { type FakeApi, startFakeApi } from './console-fake-api.js';
import { inventedFloor, staleKey } from './console-floor.js';

let api: FakeApi;
let browser: Browser;

beforeAll(async () => {
  api = await startFakeApi({ winders: inventedFloor(), stale: [staleKey] });
  browser = await startBrowser();
});
afterAll(async () => {
  await browser.close();
  await api.stop();
});

/** Opens a page, hands over its text with single spaces, and asserts that nothing went wrong on it. */
async function textOf(path: string): Promise<string> {
  const { page, troubles } = await openPage(browser, api.url + path);
  const text = await page.locator('body').innerText();
  await page.context().close();
  expect(troubles).toEqual([]);
  return text.replace(/\s+/g, ' ');
}

describe('one winder, in every state', () => {
  it.each([
    [
      'clear',
      '/winders/w1',
      [
        'CLEAR TO END OF SET',
        'set ends 14:47',
        'DO nothing',
        'BECAUSE both mechanisms in hand to 1000 mm',
        'no alarms on this station',
      ],
    ],
    [
      'free from a diameter on',
      '/winders/w5',
      [
        'WRAPS FREE TO MOVE FROM 830 mm medium',
        'ACT BY 14:36',
        'set ends 14:47',
        'Speed 620 560 m/min by 800 mm',
        'air: the film grows with the diameter',
        'chance of a rough edge, now',
        'data live',
      ],
    ],
    [
      'free now',
      '/winders/w2',
      ['WRAPS FREE TO MOVE NOW high', 'ACT NOW', 'Speed 620 540 m/min now', '−6 % ± 5'],
    ],
    [
      'nip lift-off',
      '/winders/w8/b',
      [
        'WRAPS FREE TO MOVE NOW high',
        'DO Site stop rule first. Then speed 540 m/min',
        'qualified people only',
        'nip lift-off: drive side',
      ],
    ],
    [
      'not watched',
      '/winders/w7',
      [
        'NOT WATCHED no diameter since 02:31',
        'set end not known',
        'Check edges by eye. Call instruments.',
        'not known',
      ],
    ],
    [
      'trial',
      '/winders/w6',
      [
        'TRIAL no rated roll has confirmed Film 12; nobody is called',
        'no act by in a trial',
        'nothing; rate this roll’s edge at the end',
        'chance that wraps are free to move, now',
        'uncalibrated',
      ],
    ],
    ['no roll', '/winders/w4', ['SET CHANGE', 'no set is being wound', 'DO nothing']],
    [
      'no data',
      '/winders/w11',
      ['NOT WATCHED no data since 13:50', 'nothing comes from this station', 'not known'],
    ],
  ])('%s: says so in words', async (_state, path, expected) => {
    const text = await textOf(path);
    for (const words of expected) expect(text).toContain(words);
  });

  it('never promises a time in a trial, without data or without a roll', async () => {
    for (const path of ['/winders/w6', '/winders/w7', '/winders/w4', '/winders/w11'])
      expect(await textOf(path)).not.toMatch(/ACT (BY|NOW)/);
  });

  it('speaks of a rough edge only for a calibrated grade, and never of 100 percent', async () => {
    expect(await textOf('/winders/w6')).not.toContain('rough edge');
    for (const path of ['/winders/w2', '/winders/w5', '/winders/w8/b']) {
      const { page } = await openPage(browser, api.url + path);
      const words = await page.locator('.gauge b, .gauge text').allTextContents();
      // The one 100 % is the top of the scale.
      expect(words.filter((word) => word.trim() === '100 %')).toHaveLength(1);
      expect(await page.locator('.gauge').getAttribute('aria-valuetext')).not.toContain('100 percent');
      await page.context().close();
    }
  });

  it('says on every page that nothing here is a real machine, what is not watched and that the data are live', async () => {
    for (const path of ['/', '/alarms', '/winders/w5']) {
      const text = await textOf(path);
      expect(text).toContain('Simulated winders: nothing here is a real machine');
      expect(text).toContain('data live');
    }
    expect(await textOf('/winders/w5')).toContain('Not watched here: slitter, upstream, splices');
  });

  it('shows the first station where the address names none, and leads to the others', async () => {
    const { page } = await openPage(browser, `${api.url}/winders/w8`);
    await page.getByRole('link', { name: 'Station B' }).click();
    expect(new URL(page.url()).pathname).toBe('/winders/w8/b');
    await page.getByText('Site stop rule first.').waitFor();
    await page.goBack();
    await page.locator('.state', { hasText: 'CLEAR TO END OF SET' }).waitFor();
    await page.context().close();
  });

  it('says so where the plant has no such winder or page', async () => {
    expect(await textOf('/winders/none')).toContain('No such winder');
    expect(await textOf('/elsewhere')).toContain('No such page');
  });

  it('draws trends from the series, shows a gap as a gap in the table, and keeps the chosen span', async () => {
    const { page, troubles } = await openPage(browser, `${api.url}/winders/w5`);
    await page.locator('em-trend-plot canvas').first().waitFor();
    expect(await page.locator('em-trend-plot canvas').count()).toBe(5);
    await page.getByLabel('last 8 h').check();
    await page.waitForFunction(() =>
      document.querySelector('em-trend-plot')?.getAttribute('aria-label')?.includes('last 8 h'),
    );
    await page.getByText('the trends as a table').click();
    expect(await page.getByRole('region', { name: 'Trends as a table' }).innerText()).toContain('no data');
    expect(troubles).toEqual([]);
    await page.context().close();
  });
});

describe('all winders', () => {
  it('stand in the order of the plant file, whatever their state', async () => {
    const { page } = await openPage(browser, `${api.url}/`);
    const marks = await page.locator('.floor .num').allInnerTexts();
    expect(marks).toEqual(['1', '2', '3', '4', '5', '6', '7', '8 A', '8 B', '9', '10', '11']);
    await page.context().close();
  });

  it('say in the strip who acts next in order of time, then who is not watched', async () => {
    const { page } = await openPage(browser, `${api.url}/`);
    const strip = await page.locator('.next ol li').allInnerTexts();
    expect(strip.map((words) => words.replace(/\s+/g, ' '))).toEqual([
      '2 now',
      '8 B now',
      '5 14:36',
      '7',
      '11 not watched',
    ]);
    await page.context().close();
  });

  it('fit on a wall screen without scrolling, twelve of them', async () => {
    const { page } = await openPage(browser, `${api.url}/`);
    expect(await page.evaluate(() => document.documentElement.scrollHeight)).toBe(1080);
    await page.context().close();
  });

  it('lead to their winder and back, with the title of the tab telling the finding', async () => {
    const { page } = await openPage(browser, `${api.url}/`);
    expect(await page.title()).toBe('Act next: 2, 8 B, 5');
    await page.locator('.floor .num', { hasText: '5' }).click();
    await page.getByText('ACT BY 14:36').waitFor();
    expect(await page.title()).toBe('Winder 5: wraps free to move from 830 mm');
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('H1');
    await page.getByRole('link', { name: 'all winders' }).click();
    await page.getByText('ACT NEXT').waitFor();
    await page.context().close();
  });
});

describe('the alarms page', () => {
  it('lists the open alarms, most urgent first, and the journal as the service gives it', async () => {
    const alarm = alarmFixture({ because: reason('free-from', 'Wraps will be free to move from 830 mm') });
    const row = (kind: AlarmTransition['kind'], actor: string | null, atMs: number): AlarmTransition => ({
      id: `${alarm.occurrenceId}/${kind}`,
      kind,
      from: 'NORM',
      to: 'UNACK',
      atMs,
      actor,
      alarm,
      modelRevision: '1',
      configurationRevision: '1',
    });
    const journal = [
      row('acknowledge', 'Kim Example', fixtureNowMs),
      row('raise', null, fixtureNowMs - 86_400_000),
    ];
    const own = await startFakeApi({ winders: inventedFloor(), journal });
    const { page, troubles } = await openPage(browser, `${own.url}/alarms`);
    await page.locator('.journal tbody tr').first().waitFor();
    const rows = await page.locator('.journal tbody tr').allInnerTexts();
    expect(rows.map((words) => words.split('\t').slice(0, 4))).toEqual([
      ['14:28', 'Winder 5', 'medium', 'acknowledged by Kim Example'],
      ['3 Mar 14:28', 'Winder 5', 'medium', 'raised'],
    ]);
    expect(await page.locator('.alarm .tag').allInnerTexts()).toEqual(['high', 'high', 'medium', 'low']);
    expect(troubles).toEqual([]);
    await page.context().close();
    await own.stop();
  });
});

describe('US units', () => {
  it('are used on the whole page where the plant prefers them', async () => {
    const us = await startFakeApi({ winders: inventedFloor(), service: { display: 'us' } });
    const { page } = await openPage(browser, `${us.url}/winders/w5`);
    const text = (await page.locator('main').innerText()).replace(/\s+/g, ' ');
    expect(text).toContain('FROM 32.7 in');
    expect(text).toContain('Speed 2034 1837 ft/min by 31.5 in');
    await page.context().close();
    await us.stop();
  });

  it('are used in the reasons of the air film too, from their parameters', async () => {
    const text = 'air: the nip lets in a film of 1.37 µm, 1.4 times the boundary film';
    const winders = inventedFloor().map((winder) => ({
      ...winder,
      stations: winder.stations.map((station) => ({
        ...station,
        assessment: station.assessment && {
          ...station.assessment,
          because: reason('air-beyond', text, { filmM: 1.3679e-6, boundaryRatio: 1.4 }),
        },
      })),
    }));
    const us = await startFakeApi({ winders, service: { display: 'us' } });
    const { page } = await openPage(browser, `${us.url}/winders/w5`);
    // 1.3679 um / 25.4 = 53.85 uin, by hand.
    await page.getByText('the nip lets in a film of 54 µin, 1.4 times the boundary film').waitFor();
    await page.context().close();
    await us.stop();
  });
});
