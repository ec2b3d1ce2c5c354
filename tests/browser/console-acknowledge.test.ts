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

/** The question who acts, with its first name focused. */
async function askedWho(): Promise<void> {
  const first = page.getByRole('dialog', { name: 'Who acknowledges?' }).getByRole('radio').first();
  await first.waitFor();
  await expect.poll(() => first.evaluate((radio) => radio === document.activeElement)).toBe(true);
}

/** Who acts, typed as a person would: the name from the list by the arrow keys, then the PIN. */
async function actAsKim(pin = '2468'): Promise<void> {
  await askedWho();
  await page.keyboard.press('Space');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Tab');
  await page.keyboard.type(pin);
  await page.keyboard.press('Enter');
}

describe('acknowledging by keyboard alone, at a screen where nobody is signed in', () => {
  it('asks who acts, sends name and secret with the occurrence, and keeps the focus on the alarm', async () => {
    await tabTo('acknowledge: Winder 2');
    await page.keyboard.press('Enter');
    await actAsKim();
    await page.getByText('by Kim Example').waitFor();
    expect(api.acknowledged).toEqual([
      {
        alarmKey: 'w2.a.air',
        occurrenceId: alarmFixture({ winderId: 'w2' }).occurrenceId,
        acting: { name: 'Kim Example', secret: '2468' },
      },
    ]);
    expect(await focused()).toContain('Winder 2');
    expect(await page.getByRole('button', { name: 'acknowledge: Winder 2' }).count()).toBe(0);
    expect(watched.troubles).toEqual([]);
  });

  it('offers only people whose role acknowledges', async () => {
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).press('Enter');
    await page.getByRole('radio', { name: 'Kim Example' }).waitFor();
    const names = await page
      .getByRole('radio')
      .evaluateAll((radios) => radios.map((radio) => (radio as HTMLInputElement).value));
    expect(names).toEqual(['Eve Engineer', 'Kim Example', 'Lou Example', 'Mo Maintenance']);
  });

  it('remembers the name for the shift but never the secret, and lets somebody else take over', async () => {
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).press('Enter');
    await actAsKim();
    await page.getByText('by Kim Example').waitFor();
    await page.getByRole('button', { name: 'acknowledge: Winder 5' }).press('Enter');
    const secret = page.getByLabel('PIN or password');
    await expect.poll(() => secret.evaluate((field) => field === document.activeElement)).toBe(true);
    expect(await secret.inputValue()).toBe('');
    await page.getByRole('button', { name: 'somebody else' }).press('Enter');
    await page.getByRole('radio', { name: 'Lou Example' }).check();
    await secret.fill('8642');
    await page.getByLabel('Comment').fill('seen <b>it</b>');
    await page.keyboard.press('Enter');
    await page.getByText('by Lou Example: “seen <b>it</b>”').waitFor();
    const kept = await page.evaluate(() =>
      JSON.stringify([Object.entries(localStorage), Object.entries(sessionStorage)]),
    );
    expect(kept).toContain('Lou Example');
    expect(kept).not.toMatch(/8642|2468/);
    expect(await page.evaluate(() => document.documentElement.outerHTML)).not.toMatch(/8642|2468/);
  });

  it('takes the digits from a finger as well', async () => {
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).click();
    await page.getByRole('radio', { name: 'Kim Example' }).click();
    for (const digit of ['2', '5', '4', '6', '8']) {
      await page.getByRole('button', { name: `digit ${digit}` }).click();
      if (digit === '5') await page.getByRole('button', { name: 'take back the last digit' }).click();
    }
    const box = await page.getByRole('button', { name: 'digit 5' }).boundingBox();
    // 15 mm, a finger in a glove, at 0.277 mm a pixel on a 24 inch screen (own measurement).
    expect(Math.min(box?.width ?? 0, box?.height ?? 0)).toBeGreaterThanOrEqual(56);
    await page.getByRole('button', { name: 'acknowledge', exact: true }).click();
    await page.getByText('by Kim Example').waitFor();
    expect(api.acknowledged[0]?.acting?.secret).toBe('2468');
  });

  it('sends nothing without a name or a secret, and nothing after escape', async () => {
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).press('Enter');
    await askedWho();
    await page.keyboard.press('Enter');
    await page.getByText('Choose who acts').waitFor();
    await page.getByRole('radio', { name: 'Kim Example' }).check();
    await page.keyboard.press('Enter');
    await page.getByText('The PIN or the password is needed').waitFor();
    await page.keyboard.press('Escape');
    expect(await page.getByRole('dialog').count()).toBe(0);
    await expect
      .poll(() => page.evaluate(() => document.activeElement?.getAttribute('aria-label')))
      .toContain('acknowledge: Winder 2');
    expect(api.acknowledged).toEqual([]);
  });

  it('says beside the field that the PIN is wrong, and when to try again', async () => {
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).press('Enter');
    await actAsKim('0000');
    await page.getByText('Not acknowledged: name, PIN or password is wrong').waitFor();
    const secret = page.getByLabel('PIN or password');
    expect(await secret.getAttribute('aria-invalid')).toBe('true');
    expect(await secret.inputValue()).toBe('');
    api.door.slowDown(240);
    await page.keyboard.type('2468');
    await page.keyboard.press('Enter');
    await page.getByText(/too many attempts\. Try again in 4 min, at \d\d:\d\d/).waitFor();
    api.door.slowDown(null);
    await page.keyboard.type('2468');
    await page.keyboard.press('Enter');
    await page.getByText('by Kim Example').waitFor();
  });

  it('shows a refusal about the alarm at the alarm and lets one try again', async () => {
    api.refuse('this occurrence is over');
    await page.getByRole('button', { name: 'acknowledge: Winder 2' }).press('Enter');
    await actAsKim();
    await page.getByText('Not acknowledged: this occurrence is over').waitFor();
    await expect
      .poll(() => page.evaluate(() => document.activeElement?.getAttribute('aria-label')))
      .toContain('acknowledge: Winder 2');
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
    await actAsKim();
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
