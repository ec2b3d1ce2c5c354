import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { fixtureNowMs } from '../../apps/console/src/fixtures/station-fixtures.js';
import { reason } from '../../libs/units/src/index.js';
import { openPage, startBrowser, type WatchedPage } from './console-browser.js';
import { type FakeApi, type FakeFloor, startFakeApi } from './console-fake-api.js';
import { gapsFixture, keepingFixture } from './console-fake-health.js';
import { inventedFloor } from './console-floor.js';

let browser: Browser;
let api: FakeApi;
let watched: WatchedPage;
let page: Page;

beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());
afterEach(async () => {
  expect(watched.troubles).toEqual([]);
  await page.context().close();
  await api.stop();
});

async function open(path: string, floor: Partial<FakeFloor> = {}): Promise<void> {
  api = await startFakeApi({ winders: inventedFloor(), ...floor });
  watched = await openPage(browser, api.url + path);
  page = watched.page;
}

describe('the page of the service', () => {
  it('lists what is missing of the last 24 h, how long and why', async () => {
    await open('/service', { door: { signedInAs: 'Mo Maintenance' }, gaps: gapsFixture() });
    await page.getByRole('heading', { name: 'Missing in the last 24 h: 3 gaps' }).waitFor();
    const rows = page.getByRole('region', { name: 'What is missing, newest first' }).locator('tbody tr');
    expect(
      await rows.evaluateAll((all) =>
        all.map((row) => [...row.querySelectorAll('td')].map((cell) => cell.innerText)),
      ),
    ).toEqual([
      [
        '14:16',
        '14:22',
        '6 min',
        'the broker had not kept our session: what was sent while the link was down did not come',
        'messages of sources',
        'not known',
      ],
      [
        '10:28',
        '10:28',
        '36 s',
        '37 messages on hall1/winder5/drive did not come',
        'messages of sources',
        '37',
      ],
      [
        '23 Nov 18:28',
        '24 Nov 00:28',
        '6 h',
        'InfluxDB was away for too long',
        'the copy in InfluxDB',
        '1\u2009200\u2009000',
      ].map((words, at) => (at < 2 ? expect.stringMatching(/18:28|00:28/) : words)),
    ]);
  });

  it('says so where nothing is known to be missing', async () => {
    await open('/service', { door: { signedInAs: 'Mo Maintenance' } });
    await page.getByRole('heading', { name: 'Missing in the last 24 h: nothing that is known of' }).waitFor();
    expect(await page.getByRole('region', { name: 'What is missing, newest first' }).count()).toBe(0);
  });

  it('says where the other gaps are, where there are more than it lists', async () => {
    await open('/service', {
      door: { signedInAs: 'Mo Maintenance' },
      gaps: { ...gapsFixture(), more: true },
    });
    await page.getByRole('heading', { name: 'more than 3 gaps' }).waitFor();
    await page.getByText('GET /api/gaps').waitFor();
  });

  it('shows the times in force with their settings, and why less is let go of', async () => {
    const heldBack = reason('clock-ahead', 'this machine’s clock is 2 days ahead <of> time');
    await open('/service', {
      door: { signedInAs: 'Mo Maintenance' },
      keeping: keepingFixture({ heldBack }),
    });
    const table = page.getByRole('region', { name: 'What is kept how long, by the settings in force' });
    await table.waitFor();
    const raw = table.getByRole('row', { name: /series as they came/ });
    expect(await raw.innerText()).toMatch(/here\s+2 days, at most 20 GB\s+KEEP_RAW_SERIES_DAYS/);
    expect(await table.getByRole('row', { name: /every 10 s/ }).innerText()).toMatch(/in InfluxDB\s+90 days/);
    await page.getByText('this machine’s clock is 2 days ahead <of> time').waitFor();
    await page.getByText('Retention policies in InfluxDB are made once').waitFor();
  });
});

describe('the audit, page by page', () => {
  const audit = Array.from({ length: 450 }, (_, at) => ({
    id: 450 - at,
    atMs: fixtureNowMs - at * 1000,
    actor: `Person ${450 - at}`,
    what: 'sign-in',
    subject: null,
    from: null,
    detail: null,
  }));
  const people = () => page.locator('em-audit tbody tr td:nth-child(2)').allInnerTexts();
  const turn = async (words: string): Promise<void> => {
    await page.getByRole('button', { name: words }).focus();
    await page.keyboard.press('Enter');
  };

  it('is turned with the keyboard alone, shows each entry once, and reading goes on at the head of each page', async () => {
    await open('/audit', { door: { signedInAs: 'Ada Admin', audit } });
    await page.getByText(/\b200 entries/).waitFor();
    const seen = await people();
    expect(await page.locator('nav.pages button').allInnerTexts()).toEqual(['older entries']);
    for (const [number, count] of [
      [2, 200],
      [3, 50],
    ] as const) {
      await turn('older entries');
      await page.getByText(new RegExp(`\\b${count} entries.*; page ${number}\\.`)).waitFor();
      expect(await page.evaluate(() => document.activeElement?.id)).toBe('audit-title');
      seen.push(...(await people()));
    }
    expect(seen).toEqual(audit.map(({ actor }) => actor));
    expect(await page.locator('nav.pages button').allInnerTexts()).toEqual([
      'newer entries',
      'newest entries',
    ]);
    await turn('newer entries');
    await page.getByText(/page 2\./).waitFor();
    expect((await people())[0]).toBe('Person 250');
    await turn('newer entries');
    await page.getByText(/\b200 entries[^;]*\.\s*$/).waitFor();
    expect(await people()).toEqual(seen.slice(0, 200));
  });

  it('has nothing to turn where all entries are on one page', async () => {
    await open('/audit', { door: { signedInAs: 'Ada Admin', audit: audit.slice(0, 3) } });
    await page.getByText(/\b3 entries/).waitFor();
    expect(await page.locator('nav.pages').count()).toBe(0);
  });
});

describe('trends with holes', () => {
  const speed = () => page.getByRole('img', { name: /^speed:/ });
  /** Columns of the drawing's bed, from the left, that hold more ink than a grid line: where the line or its band is drawn. */
  const inkAt = (share: number) =>
    speed()
      .locator('canvas')
      .evaluate((element, at) => {
        const canvas = element as HTMLCanvasElement;
        const context = canvas.getContext('2d')!;
        const left = 90 * devicePixelRatio;
        const x = Math.round(left + at * (canvas.width - left - 30 * devicePixelRatio));
        // A few columns beside each other: a vertical grid line would be in one of them only.
        const inked = [0, 1, 2, 3, 4].map((step) => {
          const { data } = context.getImageData(x + step, 0, 1, Math.round(canvas.height * 0.9));
          let darkest = 255;
          for (let byte = 0; byte < data.length; byte += 4)
            if ((data[byte + 3] ?? 0) > 200) darkest = Math.min(darkest, data[byte] ?? 255);
          return darkest;
        });
        return Math.max(...inked) < 100;
      }, share);

  it('have no line where the record has a hole of many periods, and say that they are broken', async () => {
    await open('/winders/w5', { hole: [0.4, 0.6] });
    await page.getByRole('img', { name: /^speed:.*; broken once, where nothing came$/ }).waitFor();
    expect([await inkAt(0.2), await inkAt(0.5), await inkAt(0.8)]).toEqual([true, false, true]);
  });

  it('would have a line there if nothing were missing', async () => {
    await open('/winders/w5');
    await page.getByRole('img', { name: /^speed:/ }).waitFor();
    await page.waitForTimeout(500);
    expect([await inkAt(0.2), await inkAt(0.5), await inkAt(0.8)]).toEqual([true, true, true]);
    expect(await speed().getAttribute('aria-label')).not.toContain('broken');
  });

  it('are broken at a recorded gap, where the points stop for longer than usual', async () => {
    await open('/winders/w5', { hole: [0.5, 0.505], recorded: true });
    await page.getByRole('img', { name: /^speed:.*; broken once, where nothing came$/ }).waitFor();
  });

  it('bear the same pause where no gap is recorded', async () => {
    await open('/winders/w5', { hole: [0.5, 0.505] });
    await page.getByRole('img', { name: /^speed:/ }).waitFor();
    await page.waitForTimeout(500);
    expect(await speed().getAttribute('aria-label')).not.toContain('broken');
  });

  it('that were drawn from windows tell the lowest and highest of their bands and what the band is', async () => {
    await open('/winders/w5', { windowed: true });
    await page.getByText(/The line is the mean of every 2 min, the band reaches from the lowest/).waitFor();
    const words = (await page.getByRole('img', { name: /^nip load:/ }).getAttribute('aria-label')) ?? '';
    // The points swing between 2.90 and 3.04 kN/m; the windows' own swing of 3 % reaches further.
    expect(words).toMatch(/lowest 2\.8\d kN\/m, highest 3\.1\d kN\/m/);
  });
});
