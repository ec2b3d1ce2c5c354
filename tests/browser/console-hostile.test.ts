import type { StationAssessment, WinderView } from '@edge-margin/monitoring';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  alarmFixture,
  freeFromAssessment,
  stationFixture,
  winderFixture,
} from '../../apps/console/src/fixtures/station-fixtures.js';
import { reason } from '../../libs/units/src/index.js';
import { openPage, startBrowser } from './console-browser.js';
import { startFakeApi } from './console-fake-api.js';
import { healthFixture, notUsedFixture } from './console-fake-health.js';

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());

const markup = '<img src=x onerror="window.struck=true"><script>window.struck=true</script>';

async function pagesOf(
  winder: WinderView,
): Promise<{ text: string; struck: unknown; images: number; troubles: readonly string[]; wide: number }> {
  const api = await startFakeApi({ winders: [winder] });
  const found = { text: '', struck: undefined as unknown, images: 0, troubles: [] as string[], wide: 0 };
  for (const path of ['/', `/winders/${winder.id}`, '/alarms']) {
    const { page, troubles } = await openPage(browser, api.url + path);
    await page.waitForTimeout(400);
    found.text += await page.locator('body').innerText();
    found.struck ??= await page.evaluate(() => (globalThis as { struck?: unknown }).struck);
    found.images += await page.locator('img, em-console script').count();
    found.wide = Math.max(found.wide, await page.evaluate(() => document.documentElement.scrollWidth));
    found.troubles.push(...troubles);
    await page.context().close();
  }
  await api.stop();
  return found;
}

describe('markup in names and texts', () => {
  it('is shown as text and does nothing', async () => {
    const base = freeFromAssessment();
    const assessment: StationAssessment = {
      ...base,
      because: reason('x', `air: ${markup}`),
      notWatched: [reason('y', markup)],
      grade: { ...base.grade, name: markup },
    };
    const alarm = alarmFixture({ because: reason('z', markup), response: markup });
    const winder = winderFixture('w5', markup, [
      stationFixture(assessment, { name: markup, alarms: [alarm] }),
    ]);
    const { text, struck, images, troubles } = await pagesOf(winder);
    expect(text).toContain('<img src=x');
    expect(struck).toBeUndefined();
    expect(images).toBe(0);
    expect(troubles).toEqual([]);
  });
});

describe('markup in what people and machines type', () => {
  it('is shown as text on the pages of the door and of the service', async () => {
    const own = alarmFixture({
      alarmKey: 'service.site.disk',
      winderId: '',
      stationId: '',
      mechanism: 'service',
      because: reason('z', markup),
      response: markup,
      state: 'ACKED',
      acknowledged: { atMs: 1, actor: markup, comment: markup },
    });
    const health = healthFixture();
    const api = await startFakeApi({
      winders: [winderFixture('w5', 'Winder 5', [stationFixture(freeFromAssessment())])],
      door: {
        people: [
          { name: markup, role: 'operator', password: 'operator words' },
          { name: 'Eve Engineer', role: 'engineer', password: 'engineer words' },
          { name: 'Ada Admin', role: 'administrator', password: 'administrator words' },
        ],
        signedInAs: 'Ada Admin',
        audit: [
          { id: 1, atMs: 1, actor: markup, what: markup, subject: markup, from: markup, detail: markup },
        ],
      },
      serviceAlarms: [own],
      notUsed: notUsedFixture(markup),
      health: healthFixture({
        version: markup,
        alarms: [own],
        parts: health.parts.map((part) => ({
          ...part,
          because: [reason('x', markup)],
          figures: [{ name: 'x', label: markup, value: markup, unit: null }],
        })),
      }),
    });
    const shown: string[] = [];
    for (const path of ['/people', '/audit', '/service', '/alarms']) {
      const { page, troubles } = await openPage(browser, api.url + path);
      await page.getByText(markup).first().waitFor();
      shown.push(await page.locator('body').innerText());
      expect(await page.evaluate(() => (globalThis as { struck?: unknown }).struck)).toBeUndefined();
      expect(await page.locator('img, em-console script').count()).toBe(0);
      expect(troubles).toEqual([]);
      await page.context().close();
    }
    expect(shown.at(-1)).toContain(`by ${markup}: “${markup}”`);
    await api.stop();
  });
});

describe('values out of range', () => {
  const wild = (change: (base: StationAssessment) => StationAssessment): WinderView =>
    winderFixture('w5', 'Winder 5', [stationFixture(change(freeFromAssessment()))]);

  it('are told by the nearer end and break no drawing: chance above one, diameter beyond the end, shares far off', async () => {
    const { text, troubles, wide } = await pagesOf(
      wild((base) => ({
        ...base,
        roll: base.roll && { ...base.roll, diameterM: { kind: 'known', value: 1.4, uncertainty: 0 } },
        risk: {
          ...base.risk,
          now: { kind: 'known', value: 1.2, uncertainty: 0 },
          wound: base.risk.wound.map((point, at) => ({ ...point, risk: at % 2 ? 5 : -5 })),
        },
        air: { ...base.air, marginRatio: { kind: 'known', value: -14, uncertainty: 3 } },
        nip: { ...base.nip, inHandRatio: { kind: 'known', value: 7, uncertainty: 0 } },
      })),
    );
    expect(text).toContain('> 95 %');
    expect(text).toContain('−1400 % ± 300');
    expect(text).not.toMatch(/NaN|undefined|Infinity/);
    expect(troubles).toEqual([]);
    expect(wide).toBe(1920);
  });

  it('are shown as not known where a number is missing from the wire', async () => {
    // JSON has no NaN: a number that is none arrives as null.
    const none = null as unknown as number;
    const { text, troubles } = await pagesOf(
      wild((base) => ({
        ...base,
        risk: { ...base.risk, wound: [{ diameterM: none, risk: none }, ...base.risk.wound] },
        remedy: base.remedy && { ...base.remedy, to: none },
        forecast: { ...base.forecast, ahead: [], boundary: null, setEnd: null },
      })),
    );
    expect(text).toContain('WRAPS FREE TO MOVE');
    expect(text).toContain('no outlook');
    expect(text).not.toMatch(/NaN|undefined|null/);
    expect(troubles).toEqual([]);
  });

  it('leave the page in its frame with a name of 80 characters', async () => {
    const long = 'Slitter-rewinder for very thin capacitor film in the second hall, north bay no 3';
    const { wide, troubles } = await pagesOf(
      winderFixture('w5', long, [stationFixture(freeFromAssessment())]),
    );
    expect(wide).toBe(1920);
    expect(troubles).toEqual([]);
  });
});
