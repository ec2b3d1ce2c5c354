import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, afterEach, describe, expect, it } from 'vitest';
import { alarmFixture } from '../../apps/console/src/fixtures/station-fixtures.js';
import { openPage, startBrowser, type WatchedPage } from './console-browser.js';
import { type FakeApi, startFakeApi } from './console-fake-api.js';
import { inventedFloor } from './console-floor.js';

let api: FakeApi;
let browser: Browser;
let watched: WatchedPage;
let page: Page;

beforeAll(async () => {
  browser = await startBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  api = await startFakeApi({ winders: inventedFloor() });
  watched = await openPage(browser, `${api.url}/alarms`);
  page = watched.page;
  await page.locator('em-alarm button').first().waitFor();
});
afterEach(async () => {
  await page.context().close();
  await api.stop();
});

/** Presses tab until the focused element's name holds the words. */
async function tabTo(words: string): Promise<void> {
  for (let presses = 0; presses < 60; presses += 1) {
    await page.keyboard.press('Tab');
    const name = await page.evaluate(
      () => document.activeElement?.getAttribute('aria-label') ?? document.activeElement?.textContent ?? '',
    );
    if (name.includes(words)) return;
  }
  throw new Error(`tab never came to "${words}"`);
}
const focused = (): Promise<string> =>
  page.evaluate(() => document.activeElement?.textContent?.replace(/\s+/g, ' ') ?? '');

describe('acknowledging by keyboard alone', () => {
  it('asks for the name, sends it with the occurrence, and keeps the focus on the alarm', async () => {
    await tabTo('acknowledge: Winder 2');
    await page.keyboard.press('Enter');
    await page.getByRole('dialog').waitFor();
    await page.keyboard.type('Kim Example');
    await page.keyboard.press('Enter');
    await page.getByText('by Kim Example').waitFor();
    expect(api.acknowledged).toEqual([
      {
        alarmKey: 'w2.a.air',
        occurrenceId: alarmFixture({ winderId: 'w2' }).occurrenceId,
        actor: 'Kim Example',
      },
    ]);
    expect(await focused()).toContain('Winder 2');
    expect(await page.getByRole('button', { name: 'acknowledge: Winder 2' }).count()).toBe(0);
    expect(watched.troubles).toEqual([]);
  });

  it('asks for the name once', async () => {
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).press('Enter');
    await page.keyboard.type('Kim Example');
    await page.keyboard.press('Enter');
    await page.getByText('by Kim Example').waitFor();
    await page.getByRole('button', { name: 'acknowledge: Winder 5' }).press('Enter');
    await expect.poll(() => api.acknowledged.length).toBe(2);
    expect(api.acknowledged[1]?.actor).toBe('Kim Example');
    expect(await page.getByRole('dialog').count()).toBe(0);
  });

  it('sends nothing without a name, and nothing after escape', async () => {
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).press('Enter');
    await page.keyboard.type('   ');
    await page.keyboard.press('Enter');
    await page.getByText('A name of 1 to 80 characters is needed').waitFor();
    await page.keyboard.press('Escape');
    expect(await page.getByRole('dialog').count()).toBe(0);
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toContain(
      'acknowledge: Winder 2',
    );
    expect(api.acknowledged).toEqual([]);
  });

  it('shows the refusal in the service’s own words and lets one try again', async () => {
    api.refuse('this occurrence is over');
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).press('Enter');
    await page.keyboard.type('Kim Example');
    await page.keyboard.press('Enter');
    await page.getByText('Not acknowledged: this occurrence is over').waitFor();
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toContain(
      'acknowledge: Winder 2',
    );
    api.refuse(null);
    await page.keyboard.press('Enter');
    await page.getByText('by Kim Example').waitFor();
  });

  it('moves the focus to the list where the alarm goes away with its acknowledgement', async () => {
    api.send({
      type: 'alarm',
      data: alarmFixture({
        winderId: 'w2',
        priority: 'high',
        state: 'RTNUN',
        clearedAtMs: Date.UTC(2026, 2, 4, 14, 27),
      }),
    });
    await page.getByText('not acknowledged').waitFor();
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).press('Enter');
    await page.keyboard.type('Kim Example');
    await page.keyboard.press('Enter');
    await page.getByText('Three open alarms').waitFor();
    expect(await focused()).toContain('Three open alarms');
  });
});

describe('alarms that come while somebody is at the list', () => {
  it('leave the focus on the same alarm', async () => {
    const button = page.getByRole('button', { name: 'acknowledge: Winder 5' });
    await button.focus();
    api.send({
      type: 'alarm',
      data: alarmFixture({ winderId: 'w1', priority: 'high', alarmKey: 'w1.a.air' }),
    });
    await page.getByText('Five open alarms').waitFor();
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toContain(
      'acknowledge: Winder 5',
    );
  });

  it('are said aloud in one line or two for a hundred, and all of them are shown', async () => {
    const said: string[] = [];
    await page.exposeFunction('noteAlert', (words: string) => said.push(words));
    await page.evaluate(() => {
      const alert = document.querySelector('[role=alert]');
      if (alert === null) throw new Error('no alert region');
      const note = (globalThis as unknown as { noteAlert: (words: string) => void }).noteAlert;
      new MutationObserver(() => note(alert.textContent ?? '')).observe(alert, {
        childList: true,
        characterData: true,
        subtree: true,
      });
    });
    for (let at = 0; at < 100; at += 1) {
      api.send({
        type: 'alarm',
        data: alarmFixture({
          winderId: 'w1',
          priority: 'high',
          alarmKey: `w1.a.signal.s${at}.both`,
          mechanism: 'signal',
          conditionSinceMs: 1000 + at,
        }),
      });
    }
    await page.getByText('104 open alarms').waitFor();
    await page.waitForTimeout(2_500);
    expect(await page.locator('em-alarm').count()).toBe(104);
    // What came in while the first line was being said is said together, a second later.
    expect(said.length).toBeLessThanOrEqual(2);
    expect(said.reduce((sum, words) => sum + Number(/^(\d+) new high alarms$/.exec(words)?.[1]), 0)).toBe(
      100,
    );
    expect(watched.troubles).toEqual([]);
  });
});
