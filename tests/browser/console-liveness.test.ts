import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openPage, startBrowser } from './console-browser.js';
import { startFakeApi } from './console-fake-api.js';
import { inventedFloor, staleKey } from './console-floor.js';

let browser: Browser;
beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());

describe('a page that hears nothing', () => {
  it('says within seconds that the connection is lost, forgets the last good state, and heals by itself', async () => {
    const first = await startFakeApi({ winders: inventedFloor() });
    const { page } = await openPage(browser, `${first.url}/winders/w5`);
    await page.getByText('ACT BY 14:36').waitFor();
    await first.stop();
    await page
      .getByText('Connection to the service lost since 14:28: this page knows nothing after that')
      .waitFor({ timeout: 8_000 });
    const text = (await page.locator('main').innerText()).replace(/\s+/g, ' ');
    expect(text).toContain('NOT WATCHED connection lost since 14:28');
    expect(text).toContain('this page knows nothing after 14:28');
    expect(text).toContain('Alarms as known at 14:28');
    expect(text).not.toMatch(/ACT BY|data live|WRAPS FREE/);
    expect(await page.locator('.gauge').getAttribute('role')).toBe('img');

    const second = await startFakeApi({ winders: inventedFloor(), port: Number(new URL(first.url).port) });
    await page.getByText('ACT BY 14:36').waitFor({ timeout: 30_000 });
    expect(await page.locator('.notice', { hasText: 'lost' }).count()).toBe(0);
    await page.context().close();
    await second.stop();
  });

  it('notices a line that is open but silent, after 12 s', async () => {
    const api = await startFakeApi({ winders: inventedFloor() });
    const { page } = await openPage(browser, `${api.url}/`);
    await page.getByText('ACT NEXT').waitFor();
    api.fallSilent();
    const startedMs = performance.now();
    await page
      .locator('.notice', { hasText: 'Connection to the service lost since' })
      .waitFor({ timeout: 20_000 });
    expect(performance.now() - startedMs).toBeGreaterThan(10_000);
    expect(performance.now() - startedMs).toBeLessThan(16_000);
    expect(await page.locator('.next').innerText()).toContain('not known: connection to the service lost');
    expect(new Set(await page.locator('.floor .plate').allInnerTexts())).toEqual(new Set(['NOT WATCHED']));
    await page.context().close();
    await api.stop();
  });

  it('tells where the service was never reached', async () => {
    const api = await startFakeApi({ winders: inventedFloor() });
    const context = await browser.newContext({ timezoneId: 'UTC' });
    const page = await context.newPage();
    await page.route('**/api/**', (route) => route.abort());
    await page.goto(api.url);
    await page
      .getByText('The service cannot be reached: this page knows nothing')
      .waitFor({ timeout: 10_000 });
    await page.unroute('**/api/**');
    await page.getByText('ACT NEXT').waitFor({ timeout: 10_000 });
    await context.close();
    await api.stop();
  });
});

describe('one station that falls silent', () => {
  it('is not watched and hatched while the others stay live', async () => {
    const api = await startFakeApi({ winders: inventedFloor(), stale: [staleKey] });
    const { page } = await openPage(browser, `${api.url}/`);
    const row = page.locator('.w', { has: page.locator('.num', { hasText: '11' }) });
    expect((await row.innerText()).replace(/\s+/g, ' ')).toContain('NOT WATCHED no data since 13:50');
    expect(await row.locator('.g-hatched').count()).toBe(1);
    expect(await page.locator('.w .g-hatched').count()).toBe(2);
    await page.context().close();
    await api.stop();
  });

  it('turns stale on an open page once its assessment is older than 10 s', async () => {
    const stale: string[] = [];
    const api = await startFakeApi({ winders: inventedFloor(), stale });
    const { page } = await openPage(browser, `${api.url}/winders/w1`);
    await page.locator('.state', { hasText: 'CLEAR TO END OF SET' }).waitFor();
    stale.push('w1/a');
    await page.getByText('no data since 14:28').first().waitFor({ timeout: 14_000 });
    expect(await page.locator('main').innerText()).not.toContain('CLEAR');
    await page.context().close();
    await api.stop();
  });

  it('is named where the service has lost the broker', async () => {
    const api = await startFakeApi({
      winders: inventedFloor(),
      service: {
        broker: { state: 'down', sinceMs: Date.UTC(2026, 2, 4, 14, 20), detail: 'connection refused' },
      },
    });
    const { page } = await openPage(browser, api.url);
    await page
      .getByText('No readings: the service has lost the broker since 14:20: connection refused')
      .waitFor();
    await page.context().close();
    await api.stop();
  });
});
